"""When each part of a site first comes to harm, from a record of daily temperatures."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.ground_seasons import GroundSeasons, ground_seasons
from maintenance.engine.climate.mixed_law import (
    day_at_chance,
    fit_mixed_law,
    standard_error,
)
from maintenance.engine.climate.seasons import complete_seasons
from maintenance.engine.climate.series import DailySeries
from maintenance.engine.errors import InputError
from maintenance.engine.freezing.part_at_risk import PartAtRisk

CHANCES: Final = (10, 50, 90)
"""Chances that are told for a part [%]."""

Numbers = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class PartDates:
    """The dates of a part, days after 1 August by chance [d].

    ``numbers`` are the days of the seasons that count, None for one without;
    ``errors`` the standard errors of the dates [d].
    """

    days: dict[int, float | None]
    errors: dict[int, float | None]
    numbers: Numbers


@dataclass(frozen=True, slots=True)
class SiteDates:
    """Dates by part, None where they cannot be told, and the ground of past winters."""

    of: dict[str, PartDates | None]
    ground: GroundSeasons | None


def part_dates(parts: Sequence[PartAtRisk], series: DailySeries) -> SiteDates:
    """Work out the dates of the parts of a site.

    Parameters
    ----------
    parts : sequence of PartAtRisk
        The parts. [SI]
    series : DailySeries
        A record, cleaned. [K]

    Returns
    -------
    SiteDates
        None for a pipe whose depth is not recorded, and for what lies in the ground
        or in a box where the record has no maxima. [d]

    Raises
    ------
    InputError
        If the record holds no whole season.

    Notes
    -----
    In the air: the first night at or below the part's threshold. In a box: the first
    day on which the air in it freezes. In the ground: the first day on which frost
    stands as deep as the pipe. Each by the mixed law over the seasons.
    """
    if complete_seasons(series, "fall") is None:
        raise InputError(
            f"The record runs from {series.first} to {series.last} and holds no whole "
            "season (1 August to 31 July): give a longer one",
            input="series",
        )
    covers = [part.cover for part in parts if part.cover]
    ground = None
    if any(part.threshold_of != "night_air" for part in parts):
        ground = ground_seasons(series, covers)
    known: dict[object, PartDates | None] = {}
    found: dict[str, PartDates | None] = {}
    for part in parts:
        key = (part.threshold_of, part.threshold_k, part.depth_m, part.cover)
        if key not in known:
            numbers = _numbers(part, series, ground)
            known[key] = None if numbers is None else _dates(numbers)
        found[part.part] = known[key]
    return SiteDates(found, ground)


def _numbers(
    part: PartAtRisk, series: DailySeries, ground: GroundSeasons | None
) -> Numbers | None:
    if part.threshold_of == "night_air":
        events = freeze_dates(series, part.threshold_k).events
        return tuple(event.number for event in events if event.valid)
    if ground is None:
        return None
    if part.threshold_of == "box_air":
        return tuple(ground.days_of_frost_in_boxes())
    if part.depth_m is None or part.cover is None:
        return None
    return tuple(ground.days_of_frost(part.cover, part.depth_m))


def _dates(numbers: Numbers) -> PartDates:
    law = fit_mixed_law(numbers)
    return PartDates(
        {chance: day_at_chance(law, chance / 100.0, "fall") for chance in CHANCES},
        {chance: standard_error(law, chance / 100.0) for chance in CHANCES},
        numbers,
    )
