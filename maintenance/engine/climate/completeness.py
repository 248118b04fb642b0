"""How complete a record is: what to look at before a station is trusted."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from maintenance.engine.climate.series import DailySeries


@dataclass(frozen=True, slots=True)
class Gap:
    """Days on end without a daily minimum."""

    first: date
    last: date
    days: int


@dataclass(frozen=True, slots=True)
class Completeness:
    """Days with and without a daily minimum, and where they are missing.

    ``missing_by_year`` holds calendar years, only those with a missing day inside the
    record's span.
    """

    first: date
    last: date
    known: int
    missing: int
    gaps: tuple[Gap, ...]
    missing_by_year: tuple[tuple[int, int], ...]

    @property
    def share(self) -> float:
        """The share of days with a minimum."""
        return self.known / (self.known + self.missing)

    @property
    def longest_gaps(self) -> tuple[Gap, ...]:
        """The gaps, longest first."""
        return tuple(sorted(self.gaps, key=lambda gap: (-gap.days, gap.first)))


def completeness(series: DailySeries) -> Completeness:
    """Count the days with a daily minimum.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]

    Returns
    -------
    Completeness
        The report. [d]
    """
    missing = np.isnan(series.tmin_k)
    count = int(missing.sum())
    edges = np.flatnonzero(np.diff(np.concatenate([[0], missing, [0]])))
    gaps = tuple(
        Gap(series.day(int(begin)), series.day(int(end) - 1), int(end - begin))
        for begin, end in edges.reshape(-1, 2)
    )
    return Completeness(
        first=series.first,
        last=series.last,
        known=len(missing) - count,
        missing=count,
        gaps=gaps,
        missing_by_year=_by_year(gaps),
    )


def _by_year(gaps: tuple[Gap, ...]) -> tuple[tuple[int, int], ...]:
    counts: dict[int, int] = {}
    for gap in gaps:
        for year in range(gap.first.year, gap.last.year + 1):
            begin = max(gap.first, date(year, 1, 1))
            end = min(gap.last, date(year, 12, 31))
            counts[year] = counts.get(year, 0) + (end - begin).days + 1
    return tuple(counts.items())
