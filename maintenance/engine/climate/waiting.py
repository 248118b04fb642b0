"""What waiting with the shutdown costs: the chance of damage against water kept."""

import math
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.climate.advice import chance_worth_acting_on
from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.mixed_law import (
    MixedLaw,
    chance_by,
    day_at_score,
    fit_mixed_law,
)
from maintenance.engine.climate.part_dates import PartDates, SiteDates
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.climate.usual_days import place_in_year
from maintenance.engine.climate.water_demand import demand_shares
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.engine.site import Site

Worth = tuple[float, float, float]
"""Value of a day of watering, cost of damage, share of it that hurrying still saves
[money, money, -]."""

LAST_SCORE: Final = 1.645
"""Deviations past the mean date at which the table ends [-]: by then the freeze has
come in nineteen of twenty seasons that have one."""

TOLD: Final = (
    "Chances are those of past seasons in which the frost had not come before today; "
    "no forecast is in them."
)
TOLD_NO_WORTH: Final = (
    "Nobody has stated what a day of watering and damage are worth: no costs are given."
)
TOLD_NO_DEMAND: Final = "so every day of watering counts the same."
TOLD_DEMAND: Final = (
    "A day of watering is worth less as the water that turf asks for falls "
    "(Hargreaves-Samani, FAO-56 eq. 52, from the usual temperatures), and nothing where "
    "the mean air is below 40 °F and turf rests (assumed). Rain is not in the record "
    "and counts as none."
)
TOLD_PAST: Final = "In nearly all past seasons the frost had come by now: there is nothing to wait for."
TOLD_LATER: Final = (
    "By the amounts stated waiting still pays on the last day of the table: check them."
)


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """One day to shut down on.

    Chance that damage comes before it [-], days of watering from today on [d], expected
    cost less the worth of the water kept [money].
    """

    day: date
    chance: float
    watering_days: int
    expected_cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """The days to choose from, by the part that the frost reaches first.

    ``best`` is the day of the least expected cost, None where no worth is stated;
    ``told`` are sentences to read with it.
    """

    part: str
    rows: tuple[WaitingRow, ...]
    best: date | None
    told: tuple[str, ...]


def site_waiting(
    site: Site, dates: SiteDates, today: date, *, worth: Worth | None = None
) -> Waiting | None:
    """Work out what waiting costs at a site.

    Parameters
    ----------
    site : Site
        The site as recorded; its latitude tells the sun. [SI]
    dates : SiteDates
        What its record tells. [SI]
    today : date
        The day at the site. [-]
    worth : tuple of float, optional
        Value of a day of watering, cost of damage, share saved in a hurry. [money]

    Returns
    -------
    Waiting or None
        None where no part has dates. [-]

    Raises
    ------
    InputError
        If an amount is not possible.
    """
    dated = [
        (tenth, part.part, found)
        for part in parts_at_risk(site)
        if (found := dates.of(part)) and (tenth := found.days[10]) is not None
    ]
    if not dated:
        return None
    _, name, first = min(dated, key=lambda each: each[0])
    shares, about = _shares(site, dates)
    return part_waiting(name, first, today, worth=worth, shares=shares, about=about)


def part_waiting(
    name: str,
    dates: PartDates,
    today: date,
    *,
    worth: Worth | None = None,
    shares: Array | None = None,
    about: str = "",
) -> Waiting:
    """Work out what waiting costs by the dates of one part.

    Parameters
    ----------
    name : str
        The part. [-]
    dates : PartDates
        Its dates, with at least two freezes. [d]
    today : date
        The day at the site. [-]
    worth : tuple of float, optional
        As for `site_waiting`. [money]
    shares : ndarray, optional
        What a day of watering is worth over its most, by day of the year; the same
        all year if not given. [-]
    about : str
        Sentence on these shares. [-]

    Returns
    -------
    Waiting
        A row for each day from today on; none where the frost has come. [-]
    """
    law = fit_mixed_law(dates.numbers)
    begin, now = season_day(today)
    days = np.arange(max(now, 0), math.ceil(day_at_score(law, LAST_SCORE)) + 1)
    if not days.size:
        return Waiting(part=name, rows=(), best=None, told=(TOLD_PAST,))
    chances = _not_yet_come(law, days)
    costs = None
    told: tuple[str, ...] = (TOLD, TOLD_NO_WORTH)
    if worth is not None:
        at = [place_in_year(begin + timedelta(days=int(day))) for day in days]
        values = np.ones(days.size) if shares is None else shares[at]
        costs = expected_costs(chances, worth, values)
        told = (TOLD, about) if about else (TOLD,)
    rows = tuple(
        WaitingRow(
            day := begin + timedelta(days=int(number)),
            float(chances[at]),
            (day - today).days,
            None if costs is None else float(costs[at]),
        )
        for at, number in enumerate(days)
    )
    best = None if costs is None else rows[int(costs.argmin())].day
    if best == rows[-1].day:
        told = (*told, TOLD_LATER)
    return Waiting(part=name, rows=rows, best=best, told=told)


def expected_costs(chances: Array, worth: Worth, shares: Array) -> Array:
    """Return the expected cost of shutting down on each of some days in a row.

    Parameters
    ----------
    chances : ndarray
        That the freeze has come before each of the days, and before the day after the
        last: one more than there are days. [-]
    worth : tuple of float
        Value of a day of watering v, cost of damage C, share saved a. [money]
    shares : ndarray
        What each day's watering is worth over its most. [-]

    Returns
    -------
    ndarray
        Cost, negative where the water kept is worth more. [money]

    Raises
    ------
    InputError
        If an amount is not possible.

    Notes
    -----
    E(d) = C (1 - a) F(d - 1) - sum over t < d of v(t) (1 - F(t)): the cost-loss model,
    summed over the season from the first of the days.
    """
    chance_worth_acting_on(*worth)
    value, damage, saved = worth
    kept = value * shares * (1.0 - chances[1:])
    before = np.concatenate([[0.0], np.cumsum(kept)[:-1]])
    result: Array = damage * (1.0 - saved) * chances[:-1] - before
    return result


def _not_yet_come(law: MixedLaw, days: NDArray[np.int_]) -> Array:
    """Chance that it comes before each day and the one after the last, if not yet."""
    by = chance_by(law, np.append(days - 1, days[-1]))
    result: Array = (by - by[0]) / (1.0 - by[0])
    return result


def _shares(site: Site, dates: SiteDates) -> tuple[Array | None, str]:
    latitude = site.place.latitude
    if latitude is None:
        return None, f"The latitude of the site is not recorded, {TOLD_NO_DEMAND}"
    if dates.usual is None:
        return None, f"The record has no maxima, {TOLD_NO_DEMAND}"
    return demand_shares(latitude, dates.usual), TOLD_DEMAND
