"""Values that cannot be: rejected, listed, and from then on missing."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.climate.degrees import SAME_DEGF, Array, degf_of
from maintenance.engine.climate.series import DailySeries, Extreme, Rejected, frozen

COLDEST_DEGF: Final = -90.0
HOTTEST_DEGF: Final = 135.0
"""Outside these a value is absurd; project choice, a little beyond all records."""

NEAR_DAYS: Final = 10
FURTHEST_DEGF: Final = 60.0
"""So far from the mean of the days within ten days, a value is absurd; choice."""

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Kind:
    """One of the two temperatures of a day, in °F, and how a sentence names it."""

    name: Extreme
    value_k: Array
    degf: Array


def clean(series: DailySeries) -> tuple[DailySeries, tuple[Rejected, ...]]:
    """Reject absurd values.

    Parameters
    ----------
    series : DailySeries
        As read. [K]

    Returns
    -------
    tuple of DailySeries and tuple of Rejected
        The series with the rejected values missing, and those, by day. [K]

    Notes
    -----
    In this order: outside -90 to +135 °F; minimum above the day's maximum (nobody
    knows which of the two is wrong, so both go); more than 60 °F from the mean of
    what is left of the days within ten days, the day itself not counted.
    """
    least = _Kind("minimum", series.tmin_k, degf_of(series.tmin_k))
    most = _Kind("maximum", series.tmax_k, degf_of(series.tmax_k))
    found: list[Rejected] = []
    gone = {}
    for kind in (least, most):
        outside = (kind.degf < COLDEST_DEGF - SAME_DEGF) | (
            kind.degf > HOTTEST_DEGF + SAME_DEGF
        )
        span = f"{COLDEST_DEGF:.0f} to {HOTTEST_DEGF:.0f} °F"
        found += _listed(series, kind, outside, f"outside {span}")
        gone[kind.name] = outside
    crossed = least.degf > most.degf + SAME_DEGF
    crossed &= ~gone["minimum"] & ~gone["maximum"]
    found += _listed(series, least, crossed, "above the maximum of its day")
    for kind in (least, most):
        lost = gone[kind.name] | crossed
        stray = _strays(np.where(lost, np.nan, kind.degf))
        why = f"more than {FURTHEST_DEGF:.0f} °F from the days around it"
        found += _listed(series, kind, stray, why)
        gone[kind.name] = lost | stray
    cleaned = replace(
        series,
        tmin_k=frozen(np.where(gone["minimum"], np.nan, series.tmin_k)),
        tmax_k=frozen(np.where(gone["maximum"], np.nan, series.tmax_k)),
    )
    return cleaned, tuple(sorted(found, key=lambda each: each.day))


def _listed(
    series: DailySeries, kind: _Kind, which: Mask, why: str
) -> tuple[Rejected, ...]:
    return tuple(
        Rejected(
            series.day(int(index)), kind.name, float(kind.value_k[index]), f"is {why}"
        )
        for index in np.flatnonzero(which)
    )


def _strays(degf: Array) -> Mask:
    """Find what lies too far from the mean of the other days near it."""
    known = np.isfinite(degf)
    values = np.where(known, degf, 0.0)
    total = np.concatenate([[0.0], np.cumsum(values)])
    count = np.concatenate([[0], np.cumsum(known)])
    index = np.arange(len(degf))
    begin = np.maximum(index - NEAR_DAYS, 0)
    end = np.minimum(index + NEAR_DAYS + 1, len(degf))
    others = count[end] - count[begin] - known
    mean = (total[end] - total[begin] - values) / np.maximum(others, 1)
    far = np.abs(values - mean) > FURTHEST_DEGF + SAME_DEGF
    result: Mask = known & (others > 0) & far
    return result
