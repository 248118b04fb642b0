"""When each part of a site first comes to harm, from a record of daily temperatures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.ground_seasons import (
    BOX_COVER,
    GroundSeasons,
    ground_seasons,
)
from maintenance.engine.climate.mixed_law import (
    day_at_chance,
    fit_mixed_law,
    standard_error,
)
from maintenance.engine.climate.record_summary import RecordSummary, record_summary
from maintenance.engine.climate.seasons import complete_seasons
from maintenance.engine.climate.series import DailySeries, Record, with_offset
from maintenance.engine.climate.usual_days import UsualDays, usual_days
from maintenance.engine.errors import InputError
from maintenance.engine.freezing.part_at_risk import PartAtRisk, Threshold
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.engine.site import Site

CHANCES: Final = (10, 50, 90)
"""Chances that are told for a part [%]."""

SPRING_THRESHOLD_K: Final = (28.0 + 459.67) / 1.8
"""A night at or below it harms small bare parts [K]: reference threshold of spring."""

SAME: Final = 4
"""Decimals to which thresholds and depths are alike [K, m]."""

Numbers = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Reach:
    """What decides when the frost reaches a part: parts alike in it share dates."""

    threshold_of: Threshold
    threshold_k: float
    depth_m: float | None
    cover: str | None


@dataclass(frozen=True, slots=True)
class PartDates:
    """The dates of a part, days after 1 August by chance [d].

    ``numbers`` are the days of the seasons that count, None for one without;
    ``errors`` the standard errors of the dates [d]. For a buried pipe ``warm`` are
    the days from which it lay in warm soil again, None where it always did.
    """

    days: dict[int, float | None]
    errors: dict[int, float | None]
    numbers: Numbers
    warm: Numbers = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteDates:
    """All that a record tells of a site, worked out once.

    ``dates`` by reach, None where they cannot be told; ``last_freezes`` are the days
    of the year of the last nights at or below 28 °F [d]; ``soil_k`` the usual soil at
    8 in by days after 1 August, empty without maxima [K]; ``deepest_m`` the deepest
    frost of each winter by cover [m]. ``offset_k`` was added to the record [K].
    """

    dates: Mapping[Reach, PartDates | None]
    last_freezes: Numbers
    soil_k: tuple[float, ...]
    deepest_m: Mapping[str, tuple[float, ...]]
    usual: UsualDays | None
    record: RecordSummary
    offset_k: float = 0.0

    def of(self, part: PartAtRisk) -> PartDates | None:
        """Return the dates of a part.

        Parameters
        ----------
        part : PartAtRisk
            The part. [SI]

        Returns
        -------
        PartDates or None
            None where there are none. [d]
        """
        return self.dates.get(reach_of(part))

    def knows(self, part: PartAtRisk) -> bool:
        """Tell whether a part was there, as it is now, when these were worked out.

        Parameters
        ----------
        part : PartAtRisk
            The part. [SI]

        Returns
        -------
        bool
            False for one that was added or changed since. [-]
        """
        return reach_of(part) in self.dates

    def usual_soil(self, day: int) -> float | None:
        """Return the soil at 8 in that is usual on a day.

        Parameters
        ----------
        day : int
            Days after 1 August. [d]

        Returns
        -------
        float or None
            Mean of the seasons; None outside these, or without maxima. [K]
        """
        return self.soil_k[day] if 0 <= day < len(self.soil_k) else None


def reach_of(part: PartAtRisk) -> Reach:
    """Return what decides when the frost reaches a part.

    Parameters
    ----------
    part : PartAtRisk
        The part. [SI]

    Returns
    -------
    Reach
        Rounded, so that a value stored and read again is the same. [SI]
    """
    depth = None if part.depth_m is None else round(part.depth_m, SAME)
    return Reach(part.threshold_of, round(part.threshold_k, SAME), depth, part.cover)


def site_dates(site: Site, record: Record, *, offset_k: float = 0.0) -> SiteDates:
    """Work out all that a record tells of a site; this takes seconds.

    Parameters
    ----------
    site : Site
        The site as recorded. [SI]
    record : Record
        Daily temperatures that stand for it. [K]
    offset_k : float
        What the person says of the site against the station, added to every
        temperature; negative in a hollow that is colder. [K]

    Returns
    -------
    SiteDates
        No dates for a pipe whose depth is not recorded, and for what lies in the
        ground or in a box where the record has no maxima. [d]

    Raises
    ------
    InputError
        If the record holds no whole season, or the offset is not possible.

    Notes
    -----
    In the air: the first night at or below the part's threshold. In a box: the first
    day on which the air in it freezes. In the ground: the first day on which frost
    stands as deep as the pipe. Each by the mixed law over the seasons.
    """
    (found,) = dates_of_sites([site], record, offset_k=offset_k)
    return found


def dates_of_sites(
    sites: Sequence[Site], record: Record, *, offset_k: float = 0.0
) -> tuple[SiteDates, ...]:
    """Work out what a record tells of several sites; the ground is followed once.

    Parameters
    ----------
    sites : sequence of Site
        Sites that the record stands for. [SI]
    record : Record
        Daily temperatures. [K]
    offset_k : float
        What the sites are against the station. [K]

    Returns
    -------
    tuple of SiteDates
        In the order of the sites, each as `site_dates` gives it. [d]

    Raises
    ------
    InputError
        If the record holds no whole season, or the offset is not possible.
    """
    shifted = replace(record, series=with_offset(record.series, offset_k))
    series = shifted.series
    if complete_seasons(series, "fall") is None:
        raise InputError(
            f"The record runs from {series.first} to {series.last} and holds no whole "
            "season (1 August to 31 July): give a longer one",
            input="series",
        )
    parts = [parts_at_risk(site) for site in sites]
    every = [part for of_site in parts for part in of_site]
    ground = ground_seasons(
        series,
        [part.cover for part in every if part.cover],
        [part.depth_m for part in every if part.depth_m is not None],
    )
    springs = freeze_dates(series, SPRING_THRESHOLD_K, "spring").events
    last_freezes = tuple(event.number for event in springs if event.valid)
    soil_k = () if ground is None else tuple(map(float, ground.soil_k.mean(axis=1)))
    usual = usual_days(series)
    return tuple(
        SiteDates(
            dates=_by_reach(of_site, series, ground),
            last_freezes=last_freezes,
            soil_k=soil_k,
            deepest_m={} if ground is None else _deepest(ground, of_site),
            usual=usual,
            record=record_summary(shifted, _warmest(of_site)),
            offset_k=offset_k,
        )
        for of_site in parts
    )


def _warmest(parts: Sequence[PartAtRisk]) -> float:
    in_air = [p.threshold_k for p in parts if p.threshold_of == "night_air"]
    return max(in_air, default=SPRING_THRESHOLD_K)


def _deepest(
    ground: GroundSeasons, parts: Sequence[PartAtRisk]
) -> dict[str, tuple[float, ...]]:
    """Take the covers that a site has, and the one around its boxes."""
    covers = {BOX_COVER, *(part.cover for part in parts)}
    return {
        cover: deepest for cover, deepest in ground.deepest_m.items() if cover in covers
    }


def _by_reach(
    parts: Sequence[PartAtRisk], series: DailySeries, ground: GroundSeasons | None
) -> dict[Reach, PartDates | None]:
    one_of_each = {reach_of(part): part for part in reversed(parts)}
    return {
        reach: _dates(part, series, ground)
        for reach, part in reversed(one_of_each.items())
    }


def _dates(
    part: PartAtRisk, series: DailySeries, ground: GroundSeasons | None
) -> PartDates | None:
    if part.threshold_of == "night_air":
        events = freeze_dates(series, part.threshold_k).events
        return _by_law(tuple(event.number for event in events if event.valid))
    if ground is None:
        return None
    if part.threshold_of == "box_air":
        return _by_law(tuple(ground.days_of_frost_in_boxes()))
    if part.depth_m is None or part.cover is None:
        return None
    return _by_law(
        tuple(ground.days_of_frost(part.cover, part.depth_m)),
        tuple(ground.days_of_warm_soil(part.cover, part.depth_m)),
    )


def _by_law(numbers: Numbers, warm: Numbers = ()) -> PartDates:
    law = fit_mixed_law(numbers)
    return PartDates(
        {chance: day_at_chance(law, chance / 100.0, "fall") for chance in CHANCES},
        {chance: standard_error(law, chance / 100.0) for chance in CHANCES},
        numbers,
        warm,
    )
