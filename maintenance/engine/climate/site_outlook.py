"""The freeze outlook of a site: dates, tonight, levels and advice together."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from types import MappingProxyType
from typing import Final

import numpy as np

from maintenance.engine.climate.alert import (
    NO_TRUST_AFTER_S,
    WATCH_BEFORE,
    Alert,
    Seen,
    Terms,
    alert_level,
    next_alert,
)
from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.forecast import Forecast, days_ahead, forecast_age
from maintenance.engine.climate.outlook import Advice, advise
from maintenance.engine.climate.part_dates import PartDates, SiteDates, part_dates
from maintenance.engine.climate.part_nights import Tonight, part_chances, tonight
from maintenance.engine.climate.series import Record
from maintenance.engine.freezing.part_at_risk import PartAtRisk
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.engine.site import Site

USUAL_SOIL_K: Final = (36.0 + 459.67) / 1.8
"""Soil at 8 in where no record tells the usual one [K]: 36 degF, late autumn; assumed,
on the cold side."""

SEASON_ENDS: Final = 303
"""Days after 1 August from which the planning date is that of next autumn [d]: 31 May;
project choice."""

NO_ALERTS: Final[Mapping[str, Alert]] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOutlook:
    """One part: its dates, its next 24 hours, chances at leads 1 to 7, its alert."""

    part: PartAtRisk
    dates: PartDates | None
    tonight: Tonight | None
    chances: Array | None
    alert: Alert


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteOutlook:
    """The outlook of a site; ``age_s`` is that of the forecast [s].

    ``trusted`` says whether the forecast was young enough and reaches beyond now.
    """

    site: Site
    now: datetime
    today: date
    terms: Terms
    parts: tuple[PartOutlook, ...]
    advice: Advice
    record: Record | None
    forecast: Forecast | None
    age_s: float | None
    trusted: bool
    soil_k: float
    soil_assumed: bool


def site_outlook(
    site: Site,
    now: datetime,
    today: date,
    *,
    record: Record | None = None,
    forecast: Forecast | None = None,
    terms: Terms | None = None,
    before: Mapping[str, Alert] = NO_ALERTS,
) -> SiteOutlook:
    """Work out the freeze outlook of a site.

    Parameters
    ----------
    site : Site
        The site as recorded. [SI]
    now : datetime
        Aware. [-]
    today : date
        The day at the site. [-]
    record : Record, optional
        Daily temperatures that stand for the site. [K]
    forecast : Forecast, optional
        For the site. [SI]
    terms : Terms, optional
        What the person states; the marked defaults if not given. [-]
    before : mapping of str and Alert
        What was shown by the forecast before, by part. [-]

    Returns
    -------
    SiteOutlook
        Parts in the order of the file. [SI]
    """
    terms = terms or Terms()
    parts = parts_at_risk(site)
    dates = SiteDates({}, None)
    if record is not None and parts:
        dates = part_dates(parts, record.series)
    soil_k = _soil(dates, today)
    age_s = None if forecast is None else forecast_age(forecast, now)
    ahead: Forecast | None = None
    if forecast is not None and age_s is not None and age_s <= NO_TRUST_AFTER_S:
        ahead = forecast if forecast.end > now else None
    bare = _parts(parts, dates, ahead, now, USUAL_SOIL_K if soil_k is None else soil_k)
    found = tuple(
        replace(each, alert=_alert(each, today, terms, before.get(each.part.part)))
        for each in bare
    )
    return SiteOutlook(
        site=site,
        now=now,
        today=today,
        terms=terms,
        parts=found,
        advice=_advice(found, today, terms),
        record=record,
        forecast=forecast,
        age_s=age_s,
        trusted=ahead is not None,
        soil_k=USUAL_SOIL_K if soil_k is None else soil_k,
        soil_assumed=soil_k is None,
    )


def season_day(today: date) -> tuple[date, int]:
    """Return 1 August of the winter that a day looks to, and the day's number in it.

    Parameters
    ----------
    today : date
        A day. [-]

    Returns
    -------
    tuple of date and int
        From the end of May on, those of next autumn: the number is negative. [d]

    Examples
    --------
    >>> season_day(date(2026, 7, 30))
    (datetime.date(2026, 8, 1), -2)
    """
    begin = date(today.year if today.month >= 8 else today.year - 1, 8, 1)
    if (today - begin).days >= SEASON_ENDS:
        begin = date(begin.year + 1, 8, 1)
    return begin, (today - begin).days


def planning_date(dates: PartDates | None, today: date) -> date | None:
    """Return the day before which a part comes to harm in one year of ten.

    Parameters
    ----------
    dates : PartDates or None
        Its dates. [d]
    today : date
        Tells the winter. [-]

    Returns
    -------
    date or None
        In this winter; None where there is none. [-]
    """
    number = None if dates is None else dates.days[10]
    if number is None:
        return None
    return season_day(today)[0] + timedelta(days=math.floor(number + 0.5))


def _parts(
    parts: Sequence[PartAtRisk],
    dates: SiteDates,
    forecast: Forecast | None,
    now: datetime,
    soil_k: float,
) -> tuple[PartOutlook, ...]:
    nights: dict[str, Tonight] = {}
    chances: dict[str, Array] = {}
    if forecast is not None:
        age_s = forecast_age(forecast, now)
        days = days_ahead(forecast, now)
        nights = tonight(parts, forecast, now, age_s, soil_k)
        chances = {
            part.part: part_chances(part, days, age_s, soil_k)
            for part in parts
            if part.threshold_of != "soil"
        }
    return tuple(
        PartOutlook(
            part=part,
            dates=dates.of.get(part.part),
            tonight=nights.get(part.part),
            chances=chances.get(part.part),
            alert=Alert(0, 0),
        )
        for part in parts
    )


def _alert(each: PartOutlook, today: date, terms: Terms, before: Alert | None) -> Alert:
    planning = planning_date(each.dates, today)
    seen = Seen(
        chances=each.chances,
        ice=each.tonight.ice_fraction if each.tonight else None,
        ice_colder=each.tonight.ice_colder if each.tonight else None,
        date_near=planning is not None and today >= planning - WATCH_BEFORE,
    )
    watched = before is not None and before.level > 0
    return next_alert(before, alert_level(seen, terms, watched=watched))


def _advice(parts: Sequence[PartOutlook], today: date, terms: Terms) -> Advice:
    if not parts:
        return Advice(
            None, "none", "No part of this site is recorded where frost can reach it."
        )
    dated = [
        (planning, each.dates)
        for each in parts
        if each.dates and (planning := planning_date(each.dates, today))
    ]
    first = min(dated, key=lambda pair: pair[0], default=None)
    known = [each.chances for each in parts if each.chances is not None]
    chances = None
    if known:
        whole = np.array(known)
        blank = np.isnan(whole).all(axis=0)
        worst = np.where(np.isnan(whole), -1.0, whole).max(axis=0)
        chances = np.where(blank, np.nan, worst)
    icy = tuple(each.part.part for each in parts if each.alert.level >= 3)
    advice = advise(today, terms, chances, first[0] if first else None, icy)
    if advice.shutdown_by is None or first is None or first[1] is None:
        return advice
    forgone = _forgone(first[1], season_day(today), today, advice.shutdown_by)
    return replace(advice, days_of_watering_forgone=forgone)


def _forgone(
    dates: PartDates, season: tuple[date, int], today: date, by: date
) -> float | None:
    """Mean days from the shutdown to the day before the freeze, over past seasons.

    Only seasons count in which it had not come by now and came after the shutdown.
    """
    begin, now = season
    work = (by - begin).days
    lost = [n - work - 1 for n in dates.numbers if n is not None and n > max(work, now)]
    return sum(lost) / len(lost) if lost else None


def _soil(dates: SiteDates, today: date) -> float | None:
    if dates.ground is None:
        return None
    return dates.ground.usual_soil(season_day(today)[1])
