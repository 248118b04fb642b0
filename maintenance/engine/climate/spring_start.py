"""When a site may be filled in spring: the last freeze, the soil, the week ahead."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import floor
from typing import Final, Literal

import numpy as np

from maintenance.engine.climate.forecast import LEADS
from maintenance.engine.climate.mixed_law import day_at_chance, fit_mixed_law
from maintenance.engine.climate.outlook_figures import percent
from maintenance.engine.climate.part_dates import Numbers
from maintenance.engine.climate.site_outlook import SiteOutlook
from maintenance.engine.units import display

CHANCE: Final = 0.10
"""Chance of a late freeze, of cold soil and of a cold night that is accepted [-]."""

Name = Literal["last_freeze", "soil", "forecast"]


@dataclass(frozen=True, slots=True)
class Condition:
    """One of the three: whether it holds, None where nobody knows, and since when.

    ``since`` is the day from which it holds or is expected to, None where there is
    none or where it always does.
    """

    name: Name
    holds: bool | None
    since: date | None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringStart:
    """The earliest day to fill, None where it cannot be told, and what decides it."""

    earliest: date | None
    conditions: tuple[Condition, ...]

    @property
    def holds(self) -> bool:
        """Whether all three hold today."""
        return all(each.holds is True for each in self.conditions)


def spring_start(
    found: SiteOutlook, *, chance: float = CHANCE, protected: bool = False
) -> SpringStart:
    """Say when a site may be filled in spring.

    Parameters
    ----------
    found : SiteOutlook
        Its outlook, with dates and a forecast as far as there are any. [SI]
    chance : float
        Accepted chance, above 0 and below 1. [-]
    protected : bool
        Whether the parts are protected and somebody can drain them: then a late
        freeze is no reason to wait. [-]

    Returns
    -------
    SpringStart
        No day where the last freezes or the soil are unknown. [-]

    Notes
    -----
    (i) A night at or below 28 °F comes on or after the day by no more than the chance,
    or the parts are protected; (ii) the soil at the pipes has been above 33 °F for a
    week, in all past winters but that chance: the ground followed to 30 June; (iii) no
    night of the week ahead harms a part by more than the chance.
    """
    year = found.today.year + (found.today.month >= 8)
    conditions = (
        _last_freeze(found, chance, year, protected=protected),
        _soil(found, chance, year),
        _forecast(found, chance),
    )
    earliest = None
    if all(each.holds is not None for each in conditions[:2]):
        days = [each.since for each in conditions if each.since is not None]
        earliest = max([found.today, *days])
    return SpringStart(earliest=earliest, conditions=conditions)


def start_after(numbers: Numbers, chance: float) -> int | None:
    """Return the day from which a last event comes later by no more than a chance.

    Parameters
    ----------
    numbers : tuple of int or None
        Day of the last event in each season, None where there was none. [d]
    chance : float
        Above 0, below 1. [-]

    Returns
    -------
    int or None
        Day number, rounded half up; None where the event is rarer than the chance. A
        single event makes no law: then the day after it. [d]
    """
    law = fit_mixed_law(numbers)
    if law.n_with == 1 and chance * law.n < 1.0 and law.mean_day is not None:
        return int(law.mean_day) + 1
    day = day_at_chance(law, chance, "spring")
    return None if day is None else floor(day + 0.5)


def _last_freeze(
    found: SiteOutlook, chance: float, year: int, *, protected: bool
) -> Condition:
    numbers = () if found.dates is None else found.dates.last_freezes
    if protected:
        text = (
            "The parts are protected and somebody can drain them before a late frost."
        )
        return Condition("last_freeze", True, None, text)
    if not numbers:
        text = "No record tells the last freeze of past springs."
        return Condition("last_freeze", None, None, text)
    day = start_after(numbers, chance)
    if day is None:
        text = f"A night at or below 28 °F comes in under {percent(chance)} of years."
        return Condition("last_freeze", True, None, text)
    since = date(year, 1, 1) + timedelta(days=day - 1)
    today = (found.today - date(year, 1, 1)).days + 1
    ahead = sum(number is not None and number >= today for number in numbers)
    text = (
        f"A night at or below 28 °F comes on or after {since:%-d %b} in "
        f"{percent(chance)} of years; in {ahead} of {len(numbers)} springs one came on "
        "this day or later. Earlier only where the parts are protected and somebody can "
        "drain them."
    )
    return Condition("last_freeze", found.today >= since, since, text)


def _soil(found: SiteOutlook, chance: float, year: int) -> Condition:
    buried = [each for each in found.parts if each.part.threshold_of == "soil"]
    if not buried:
        return Condition("soil", True, None, "No buried pipe is recorded.")
    warm = [
        (each.part.part, each.part.depth_m, each.dates.warm)
        for each in buried
        if each.dates and each.dates.warm and each.part.depth_m is not None
    ]
    if not warm:
        text = "No record tells when the soil at the pipes is warm: measure it."
        return Condition("soil", None, None, text)
    rough = (
        "worked out from past winters for loam without snow and sun, good to ten days; "
        "a thermometer at the depth knows better"
    )
    starts = [
        (day, name, depth)
        for name, depth, numbers in warm
        if (day := start_after(numbers, chance)) is not None
    ]
    if not starts:
        text = f"The soil at the pipes stays above 33 °F in most winters: {rough}."
        return Condition("soil", True, None, text)
    day, name, depth = max(starts, key=lambda each: each[0])
    since = date(year - 1, 8, 1) + timedelta(days=day)
    text = (
        f"The soil at {display(depth, 'depth')} ({name}) has been above 33 °F for a "
        f"week by {since:%-d %b} in all but {percent(chance)} of winters: {rough}."
    )
    return Condition("soil", found.today >= since, since, text)


def _forecast(found: SiteOutlook, chance: float) -> Condition:
    known = [each.chances for each in found.parts if each.chances is not None]
    worst = np.nan_to_num(np.array(known), nan=-1.0).max(axis=0) if known else None
    if worst is None or worst.max() < 0.0:
        text = "No forecast tells of the week ahead: look at one before filling."
        return Condition("forecast", None, None, text)
    cold = np.flatnonzero(worst > chance)
    if cold.size:
        last = int(cold[-1]) + 1
        text = (
            f"{percent(float(worst.max()))} for a night that harms a part within "
            f"{last} days: wait for a forecast without one."
        )
        return Condition("forecast", False, found.today + timedelta(days=last), text)
    days = int((worst >= 0.0).sum())
    text = (
        f"{percent(float(worst.max()))} at most for a night that harms a part in the "
        f"{days} days that the forecast knows"
    )
    if days < LEADS:
        return Condition("forecast", None, None, f"{text}; look at {LEADS}.")
    return Condition("forecast", True, None, f"{text}.")
