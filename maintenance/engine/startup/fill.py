"""Filling an empty main slowly, array in and array out."""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

DEFAULT_VELOCITY_M_PER_S: Final = 0.3048
"""Filling speed taken where none is given, 1 ft/s [m/s].

Common practice; in no source that was read.
"""

HARD_LIMIT_M_PER_S: Final = 0.6096
"""Filling speed never to pass, 2 ft/s [m/s].

Source: Indian River County (Florida), specification for PE mains, p. 183.
"""


def flow_at_velocity(
    velocity_m_per_s: ArrayLike, inside_diameter_m: ArrayLike
) -> Array:
    """Flow that moves at a given mean speed.

    Parameters
    ----------
    velocity_m_per_s : array_like
        Mean speed [m/s].
    inside_diameter_m : array_like
        Bore; of the narrowest pipe on the way, where they differ [m].

    Returns
    -------
    ndarray
        Flow [m3/s].

    Examples
    --------
    >>> round(float(flow_at_velocity(0.3048, 0.0545846)) * 60_000, 1)  # L/min
    42.8
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    result: Array = np.asarray(velocity_m_per_s) * 0.25 * np.pi * bore**2
    return result


def fill_volume(length_m: ArrayLike, inside_diameter_m: ArrayLike) -> Array:
    """Water that an empty pipe takes.

    Parameters
    ----------
    length_m : array_like
        Length [m].
    inside_diameter_m : array_like
        Bore [m].

    Returns
    -------
    ndarray
        Volume [m3].

    Examples
    --------
    >>> round(float(fill_volume(100.0, 0.05)), 5)
    0.19635
    """
    bore = np.asarray(inside_diameter_m, dtype=np.float64)
    result: Array = np.asarray(length_m) * 0.25 * np.pi * bore**2
    return result


def fill_time(volume_m3: ArrayLike, flow_m3_per_s: ArrayLike) -> Array:
    """Time in which a flow fills a volume.

    Parameters
    ----------
    volume_m3 : array_like
        Volume of all pipes that fill [m3].
    flow_m3_per_s : array_like
        Flow, above 0 [m3/s].

    Returns
    -------
    ndarray
        Time; length over speed where the pipe has one bore [s].

    Examples
    --------
    >>> float(fill_time(0.2, 0.001))
    200.0
    """
    result: Array = np.asarray(volume_m3, dtype=np.float64) / np.asarray(flow_m3_per_s)
    return result
