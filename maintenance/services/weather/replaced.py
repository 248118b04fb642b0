"""What a newer file of a station changed: told after it took the place of the last."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from maintenance.engine.climate.series import DailySeries


@dataclass(frozen=True, slots=True)
class Replaced:
    """Spans before and now; days with a minimum that came, went, or read otherwise."""

    was_first: date
    was_last: date
    first: date
    last: date
    came: int
    went: int
    otherwise: int


def what_changed(before: DailySeries, after: DailySeries) -> Replaced:
    """Compare the daily minima of two records of one station."""
    first = min(before.first, after.first)
    days = (max(before.last, after.last) - first).days + 1
    old, new = (np.full(days, np.nan) for _ in range(2))
    for row, series in ((old, before), (new, after)):
        begin = (series.first - first).days
        row[begin : begin + len(series.tmin_k)] = series.tmin_k
    had, has = np.isfinite(old), np.isfinite(new)
    return Replaced(
        was_first=before.first,
        was_last=before.last,
        first=after.first,
        last=after.last,
        came=int((has & ~had).sum()),
        went=int((had & ~has).sum()),
        otherwise=int((old != new)[had & has].sum()),
    )
