"""Readings of a file put in order: one least and one greatest value for each day."""

import math
from dataclasses import dataclass, field
from datetime import date
from typing import Final, SupportsInt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.climate.degrees import Array, kelvin_of
from maintenance.engine.climate.series import Extreme, Rejected
from maintenance.engine.site.wording import shown
from maintenance.exchange.weather.plain_text import refused

MOST_DISPUTED: Final = 0.1
"""With more of its days given differently twice, a file is not one series."""


@dataclass(slots=True)
class Readings:
    """One of the two temperatures as met: day (ordinal), line and number as written.

    ``failed`` holds those that the archive's own checks marked, with their flag.
    """

    name: Extreme
    days: list[int] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    failed: list[tuple[int, int, float, str]] = field(default_factory=list)

    def add(self, day: int, line: int, value: float, flag: str = "") -> None:
        """Keep a reading; NaN stands for a day without one."""
        if flag and not math.isnan(value):
            self.failed.append((day, line, value, flag))
            value = float("nan")
        self.days.append(day)
        self.lines.append(line)
        self.values.append(value)

    def in_order(self) -> Array:
        """Return the numbers day after day as written, to look at their size."""
        days, values = np.array(self.days), np.array(self.values)
        ordered: Array = values[np.argsort(days, kind="stable")]
        return ordered


@dataclass(frozen=True, slots=True)
class DailyValues:
    """What readings come to: day (ordinal) from ``first`` on, value and line."""

    first: int
    values_k: Array
    lines: NDArray[np.int64]
    rejected: tuple[Rejected, ...]
    repeated: int


def day_by_day(readings: Readings, unit: str) -> DailyValues:
    """Put readings in order, one for each day from the first known to the last.

    Parameters
    ----------
    readings : Readings
        As met, not empty. [unit]
    unit : str
        Unit of their numbers, a key of `RECORD_UNITS`. [-]

    Returns
    -------
    DailyValues
        NaN where a day has none. A day given again alike counts once; one given
        differently counts as missing, since nobody knows which is right. [K]

    Raises
    ------
    Faults
        If there is no reading at all, or too many days are given differently.
    """
    order = np.argsort(np.array(readings.days), kind="stable")
    days = np.array(readings.days)[order]
    lines = np.array(readings.lines)[order]
    values_k = kelvin_of(np.array(readings.values)[order], unit)
    known = np.isfinite(values_k)
    if not known.any():
        raise refused(f"holds no daily {readings.name}; give one that does")
    days, lines, values_k = days[known], lines[known], values_k[known]
    first = int(days[0])
    grid = np.full(int(days[-1]) - first + 1, np.nan)
    grid_lines = np.zeros(len(grid), dtype=np.int64)
    grid[days - first] = values_k
    grid_lines[days - first] = lines
    disputed = np.unique(days[grid[days - first] != values_k])
    in_dispute = np.isin(days, disputed)
    if len(disputed) > MOST_DISPUTED * len(np.unique(days)):
        raise refused(
            f"gives two values for {len(disputed):,} of its days, first on line "
            f"{lines[in_dispute].min()}: it seems to be hourly or of more than one "
            "station, so keep one value for each day"
        )
    why = "is not the only one given for its day"
    rejected = [
        _rejected(readings.name, days[at], lines[at], values_k[at], why)
        for at in np.flatnonzero(in_dispute)
    ]
    for day, line, value, flag in readings.failed:
        why = f"failed the archive's own checks (flag {shown(flag)})"
        rejected.append(
            _rejected(readings.name, day, line, kelvin_of(value, unit), why)
        )
    grid[disputed - first] = np.nan
    repeated = int((~in_dispute).sum()) - len(np.unique(days[~in_dispute]))
    return DailyValues(first, grid, grid_lines, tuple(rejected), repeated)


def _rejected(
    name: Extreme, day: SupportsInt, line: SupportsInt, value_k: ArrayLike, why: str
) -> Rejected:
    value = float(np.asarray(value_k))
    return Rejected(date.fromordinal(int(day)), name, value, why, int(line))
