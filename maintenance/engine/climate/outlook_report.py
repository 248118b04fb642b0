"""A freeze outlook as the contract's JSON object, and why each part is at its level."""

import math

import numpy as np

from maintenance.engine.climate.alert import ICE_FORMS
from maintenance.engine.climate.outlook_figures import outlook_figures, percent
from maintenance.engine.climate.outlook_warnings import outlook_warnings
from maintenance.engine.climate.part_dates import CHANCES
from maintenance.engine.climate.part_nights import Tonight
from maintenance.engine.climate.seasons import month_day
from maintenance.engine.climate.site_outlook import (
    PartOutlook,
    SiteOutlook,
    planning_date,
)


def outlook_as_json(found: SiteOutlook) -> dict[str, object]:
    """Return the object of ``freeze --json``, format ``freeze/1``.

    Parameters
    ----------
    found : SiteOutlook
        The outlook. [SI]

    Returns
    -------
    dict
        SI numbers, unrounded, the unit in the key; dates of parts as ``MM-DD``. [-]
    """
    advice = found.advice
    by = advice.shutdown_by
    return {
        "format": "freeze/1",
        "site": found.site.id,
        "parts": [_part(each, found) for each in found.parts],
        "advice": {
            "shutdown_by": None if by is None else by.isoformat(),
            "act": advice.act,
            "reason": advice.reason,
            "days_of_watering_forgone": advice.days_of_watering_forgone,
        },
        "forecast_age_s": found.age_s,
        "figures": {
            key: each.as_json() for key, each in outlook_figures(found).items()
        },
        "warnings": [each.as_json() for each in outlook_warnings(found)],
    }


def why_level(each: PartOutlook, found: SiteOutlook) -> str:
    """Say why a part is at its level.

    Parameters
    ----------
    each : PartOutlook
        The part. [SI]
    found : SiteOutlook
        The outlook that it belongs to. [SI]

    Returns
    -------
    str
        One sentence or two. [-]
    """
    text = f"{_why(each, found)}{_cautious_end(each)}"
    if each.alert.level > each.alert.found:
        return f"{text} The level is held until another forecast agrees."
    return text


def _part(each: PartOutlook, found: SiteOutlook) -> dict[str, object]:
    dates = None
    if each.dates is not None:
        days = each.dates.days
        dates = {
            str(chance): None
            if (day := days[chance]) is None
            else month_day(day, "fall")
            for chance in CHANCES
        }
    return {
        "part": each.part.part,
        "kind": each.part.kind,
        "threshold_k": each.part.threshold_k,
        "dates": dates,
        "tonight": None if each.tonight is None else _night(each.tonight),
        "level": each.alert.level,
        "why": why_level(each, found),
    }


def _night(tonight: Tonight) -> dict[str, float | None]:
    return {
        "first_ice_s": tonight.first_ice_s,
        "half_frozen_s": tonight.half_frozen_s,
        "ice_fraction": tonight.ice_fraction,
    }


def _why(each: PartOutlook, found: SiteOutlook) -> str:
    night = each.tonight
    if each.alert.found >= 3 and night is not None:
        return _of_ice(each.alert.found, night)
    if each.alert.found == 2 and each.chances is not None:
        soon = each.chances[: found.terms.crew_days + 1]
        return (
            f"{percent(float(np.nanmax(soon)))} for a damaging night before a crew "
            "called tomorrow could protect it."
        )
    return " ".join(filter(None, (_of_the_nights(each), _of_the_dates(each, found))))


def _of_ice(level: int, night: Tonight) -> str:
    if level == 4:
        when = "" if night.half_frozen_s is None else f" {_within(night.half_frozen_s)}"
        return (
            f"Half of its water may be ice{when}: drain it now, and look for damage "
            "before opening."
        )
    if night.first_ice_s is None:
        return (
            "Ice may form within a day if it turns colder than forecast by the usual "
            "error: drain or cover it."
        )
    return (
        f"First ice {_within(night.first_ice_s)}, at most "
        f"{percent(night.ice_fraction)} of its water within a day: drain or cover it."
    )


def _cautious_end(each: PartOutlook) -> str:
    night = each.tonight
    if night is None or night.ice_coldest < ICE_FORMS or each.alert.found == 4:
        return ""
    return (
        " In a night as cold as one in twenty for this forecast, up to "
        f"{percent(night.ice_coldest)} of its water is ice."
    )


def _of_the_nights(each: PartOutlook) -> str:
    if each.part.threshold_of == "soil":
        return "Lies in the ground: a single night does not reach it."
    if each.chances is None or not np.isfinite(each.chances).any():
        return "No forecast to go by."
    worst = float(np.nanmax(each.chances))
    days = int(np.flatnonzero(np.isfinite(each.chances))[-1]) + 1
    ahead = "the next day" if days == 1 else f"the next {days} days"
    return f"{percent(worst)} at most for a damaging night in {ahead}."


def _of_the_dates(each: PartOutlook, found: SiteOutlook) -> str:
    if each.dates is None:
        if each.part.threshold_of == "soil" and each.part.depth_m is None:
            return "Its depth is not recorded: no date."
        return "No date without a record that tells one."
    planning = planning_date(each.dates, found.today)
    if planning is None:
        numbers = each.dates.numbers
        froze = sum(number is not None for number in numbers)
        return f"Frost reached it in {froze} of {len(numbers)} seasons."
    return f"Frost comes to it before {planning:%-d %b} in one year of ten."


def _within(seconds: float) -> str:
    hours = math.floor(seconds / 3600.0)
    return "within the hour" if hours < 1 else f"in {hours} h"
