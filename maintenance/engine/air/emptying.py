"""A rigid column of water driven out of one pipe by air at constant pressure."""

import numpy as np
from scipy.integrate import solve_ivp

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.errors import NoConvergenceError


def emptying_time_closed(
    length_m: float,
    inside_diameter_m: float,
    friction_factor: float,
    end_loss: float,
    pressure_pa: float,
    left: float = 0.0,
) -> float:
    """Time to drive the column out, without inertia.

    Parameters
    ----------
    length_m : float
        Length of the level pipe, full at the start [m].
    inside_diameter_m : float
        Bore [m].
    friction_factor : float
        Darcy friction factor, above 0 [-].
    end_loss : float
        Loss coefficient of the opening at the end, at least 0 [-].
    pressure_pa : float
        Gauge pressure of the air, above 0 [Pa].
    left : float
        Share of the length still full at the end, 0 to 1 [-].

    Returns
    -------
    float
        Time [s].

    Notes
    -----
    t = sqrt(rho/2p) (2D/3f) [(f L/D + K)^1.5 - (f left L/D + K)^1.5]; derived from
    p = (f x/D + K) rho v^2/2.

    Examples
    --------
    >>> time = emptying_time_closed(100.0, 0.0266, 0.022, 50.0, 275790.3)
    >>> round(time, 2)
    40.33
    """
    slope = friction_factor / inside_diameter_m
    full = (slope * length_m + end_loss) ** 1.5
    last = (slope * left * length_m + end_loss) ** 1.5
    return float(
        np.sqrt(WATER_DENSITY / (2.0 * pressure_pa)) * 2.0 / 3.0 / slope * (full - last)
    )


def emptying_with_inertia(
    length_m: float,
    inside_diameter_m: float,
    friction_factor: float,
    end_loss: float,
    pressure_pa: float,
    left: float = 0.02,
) -> tuple[float, float]:
    """Time and peak speed of the column from rest, with its inertia.

    Parameters
    ----------
    length_m : float
        Length of the level pipe, full at the start [m].
    inside_diameter_m : float
        Bore [m].
    friction_factor : float
        Darcy friction factor, above 0 [-].
    end_loss : float
        Loss coefficient of the opening at the end, at least 0 [-].
    pressure_pa : float
        Gauge pressure of the air, above 0 [Pa].
    left : float
        Share of the length still full at the end, above 0 and below 1 [-].

    Returns
    -------
    tuple of float
        Time to `left`, and highest speed until then [s, m/s].

    Raises
    ------
    NoConvergenceError
        If the integration does not reach the end.

    Notes
    -----
    rho x dv/dt = p - (f x/D + K) rho v^2/2, dx/dt = -v, integrated with LSODA to a
    relative tolerance of 1e-9.
    """
    slope = friction_factor / inside_diameter_m
    drive = pressure_pa / WATER_DENSITY

    def rates(
        _: float, state: "np.ndarray[tuple[int], np.dtype[np.float64]]"
    ) -> list[float]:
        x, v = float(state[0]), float(state[1])
        return [-v, (drive - 0.5 * (slope * x + end_loss) * v * abs(v)) / x]

    def reached(
        _: float, state: "np.ndarray[tuple[int], np.dtype[np.float64]]"
    ) -> float:
        return float(state[0]) - left * length_m

    reached.terminal = True  # type: ignore[attr-defined]
    limit = 10.0 * emptying_time_closed(
        length_m, inside_diameter_m, friction_factor, end_loss, pressure_pa
    ) + 10.0 * length_m / np.sqrt(2.0 * drive)
    solution = solve_ivp(
        rates,
        (0.0, limit),
        [length_m, 0.0],
        method="LSODA",
        events=reached,
        rtol=1e-9,
        atol=1e-10,
    )
    events = solution.t_events
    if not events or not events[0].size:
        raise NoConvergenceError(
            "The emptying of the pipe could not be followed to its end; "
            "check length, bore and pressure."
        )
    return float(events[0][0]), float(np.max(solution.y[1]))
