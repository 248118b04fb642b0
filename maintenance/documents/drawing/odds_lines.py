"""The odds of a kind of part by date, as a line with the band of its error."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from maintenance.engine.climate.mixed_law import (
    MixedLaw,
    chance_by,
    day_at_chance,
    standard_error,
)

MARKED: Final = (0.1, 0.5, 0.9)
"""Chances that are marked on each line and told beside it."""

NINE_OF_TEN: Final = 1.645
"""Standard errors each way that hold nine times of ten, by the normal law."""

LAST_DAY: Final = 302
"""Days after 1 August at which every line ends: 30 May, when the winter is over."""

_POINTS: Final = 81
_ENDS: Final = (0.005, 0.99)
"""Shares of its own height from which and to which a line is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsLine:
    """One kind of part: its letter, name and short name, and the law of its dates.

    The law must hold at least two freezes.
    """

    letter: str
    name: str
    short: str
    law: MixedLaw

    @property
    def height(self) -> float:
        """The chance that the line ends at: the share of winters with harm."""
        return self.law.n_with / self.law.n


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """The lines of one site in the winter that begins on 1 August ``begin``."""

    begin: date
    today: date
    lines: tuple[OddsLine, ...]

    @property
    def today_number(self) -> int:
        """Today, in days after 1 August."""
        return (self.today - self.begin).days

    def day(self, number: float) -> date:
        """Return the date of a day's number, rounded half up."""
        return self.begin + timedelta(days=int(np.floor(number + 0.5)))


@dataclass(frozen=True, slots=True)
class Point:
    """A chance with its day and the standard error of that day [d]."""

    day: float
    chance: float
    error: float


def points_of(line: OddsLine) -> list[Point]:
    """Return a line from where it leaves the ground to where it ends."""
    law, height = line.law, line.height
    ends = [day_at_chance(law, share * height, "fall") for share in _ENDS]
    first, last = (0.0 if end is None else end for end in ends)
    last = min(last, float(LAST_DAY))
    found = []
    for day in np.linspace(min(first, last), last, _POINTS if last > first else 1):
        chance = float(chance_by(law, day))
        error = standard_error(law, chance) if 0.0 < chance < height else None
        found.append(Point(float(day), chance, error or 0.0))
    if last <= first:
        # All on one day, or past the end of the winter: a step there.
        return [Point(last, 0.0, 0.0), Point(last, found[-1].chance, 0.0)]
    return found


def marks_of(line: OddsLine) -> list[Point]:
    """Return the marked chances that a line reaches within the winter."""
    found = []
    for chance in MARKED:
        day = day_at_chance(line.law, chance, "fall")
        if day is not None and day <= LAST_DAY:
            error = standard_error(line.law, chance)
            found.append(Point(day, chance, error or 0.0))
    return found
