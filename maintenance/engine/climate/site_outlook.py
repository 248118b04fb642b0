"""The freeze outlook of a site: dates, tonight, levels and advice together."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from types import MappingProxyType
from typing import Final

import numpy as np

from maintenance.engine.climate.alert import (
    WATCH_BEFORE,
    Alert,
    Seen,
    Terms,
    alert_level,
    next_alert,
)
from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.forecast import (
    NO_TRUST_AFTER_S,
    Forecast,
    days_ahead,
    forecast_age,
)
from maintenance.engine.climate.forecast_errors import (
    ForecastErrors,
    at_age,
    default_errors,
)
from maintenance.engine.climate.outlook import Advice, advise
from maintenance.engine.climate.part_dates import PartDates, SiteDates
from maintenance.engine.climate.part_nights import Tonight, part_chances, tonight
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.freezing.part_at_risk import PartAtRisk
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.engine.site import Site

USUAL_SOIL_K: Final = (36.0 + 459.67) / 1.8
"""Soil at 8 in where no record tells the usual one [K]: 36 degF, late autumn; assumed,
on the cold side."""

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

    ``errors`` are those of a young forecast here. ``trusted`` says whether this one
    was young enough and reaches beyond now.
    """

    site: Site
    now: datetime
    today: date
    terms: Terms
    parts: tuple[PartOutlook, ...]
    advice: Advice
    dates: SiteDates | None
    forecast: Forecast | None
    errors: ForecastErrors
    age_s: float | None
    trusted: bool
    soil_k: float
    soil_assumed: bool


def site_outlook(
    site: Site,
    now: datetime,
    today: date,
    *,
    dates: SiteDates | None = None,
    forecast: Forecast | None = None,
    terms: Terms | None = None,
    before: Mapping[str, Alert] = NO_ALERTS,
    errors: ForecastErrors | None = None,
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
    dates : SiteDates, optional
        What a record tells of the site, by `site_dates`. [SI]
    forecast : Forecast, optional
        For the site. [SI]
    terms : Terms, optional
        What the person states; the marked defaults if not given. [-]
    before : mapping of str and Alert
        What was shown by the forecast before, by part. [-]
    errors : ForecastErrors, optional
        Of a young forecast at this site; the assumed ones if not given. [K]

    Returns
    -------
    SiteOutlook
        Parts in the order of the file. [SI]
    """
    terms, errors = terms or Terms(), errors or default_errors()
    known_k = None if dates is None else dates.usual_soil(season_day(today)[1])
    soil_k = USUAL_SOIL_K if known_k is None else known_k
    age_s = None if forecast is None else forecast_age(forecast, now)
    ahead: Forecast | None = None
    if forecast is not None and age_s is not None and age_s <= NO_TRUST_AFTER_S:
        ahead = forecast if forecast.end > now else None
    parts = parts_at_risk(site)
    bare = [
        PartOutlook(
            part=part,
            dates=None if dates is None else dates.of(part),
            tonight=None,
            chances=None,
            alert=Alert(0, 0),
        )
        for part in parts
    ]
    if ahead is not None and age_s is not None:
        bare = _with_forecast(bare, ahead, now, at_age(errors, age_s), soil_k)
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
        dates=dates,
        forecast=forecast,
        errors=errors,
        age_s=age_s,
        trusted=ahead is not None,
        soil_k=soil_k,
        soil_assumed=known_k is None,
    )


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


def _with_forecast(
    parts: Sequence[PartOutlook],
    forecast: Forecast,
    now: datetime,
    errors: ForecastErrors,
    soil_k: float,
) -> list[PartOutlook]:
    days = days_ahead(forecast, now)
    nights = tonight([each.part for each in parts], forecast, now, errors, soil_k)
    return [
        replace(
            each,
            tonight=nights.get(each.part.part),
            chances=None
            if each.part.threshold_of == "soil"
            else part_chances(each.part, days, errors, soil_k),
        )
        for each in parts
    ]


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
