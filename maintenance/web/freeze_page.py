"""What the page of a site's freeze outlook shows, gathered top-down."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from maintenance.documents.drawing.odds import odds_svg
from maintenance.documents.outlook_dates import date_told
from maintenance.documents.outlook_kinds import (
    Alike,
    alike_parts,
    harmed_at,
    not_drawn,
    odds_of,
)
from maintenance.documents.outlook_night import act_at_told, lead_rows, night_rows
from maintenance.documents.outlook_notes import Notes, Told
from maintenance.documents.outlook_season import (
    depth_told,
    forgone_told,
    spring_lines,
    spring_of,
    waiting_lines,
)
from maintenance.documents.outlook_units import in_units
from maintenance.documents.outlook_words import (
    CAUTION,
    LEVEL_MEANS,
    Level,
    age_words,
    answer_words,
    named,
    part_level,
    site_level,
    spring_answer,
)
from maintenance.engine.climate.forecast_errors import FEWEST_NIGHTS
from maintenance.engine.climate.forecast_minima import coldest_hour
from maintenance.engine.climate.outlook_report import why_level
from maintenance.engine.climate.outlook_warnings import outlook_warnings
from maintenance.engine.climate.part_dates import CHANCES
from maintenance.engine.climate.site_outlook import SiteOutlook
from maintenance.engine.climate.waiting import site_waiting
from maintenance.engine.units import UnitSystem, display
from maintenance.services.weather.outlooks import WorkedOut
from maintenance.services.weather.queries import SiteWeatherLine
from maintenance.web.freeze_steps import WEATHER, address_of, first_steps
from maintenance.web.local_times import local_words


@dataclass(frozen=True, slots=True)
class PartsRow:
    """Parts that nothing tells apart, in the list of what freezes first."""

    alike: Alike
    names: str
    few: str
    harmed_at: str
    level: Level
    dates: tuple[Told, ...]
    why: str


def outlook_context(
    worked: WorkedOut, weather: SiteWeatherLine, system: UnitSystem, *, contact: str
) -> dict[str, Any]:
    """Gather the page; notes are numbered in the order in which they are read."""
    found, notes = worked.found, Notes(system)
    key = worked.basis.row.key
    groups = alike_parts(found)
    odds = odds_of(found, system)
    context: dict[str, Any] = {
        "site": found.site,
        "key": key,
        "weather_page": address_of(WEATHER, key),
        "at": local_words(found.now, worked.basis.row.time_zone),
        "level": site_level(found),
        "means": LEVEL_MEANS,
        "answer": answer_words(found, system),
        "caution": CAUTION,
        "steps": first_steps(worked, weather, system),
        "found": found,
        "act_at": act_at_told(found, notes),
        "forgone": forgone_told(found, notes),
        "coldest": _coldest(worked, system),
        "tonight": named(_icy(found), most=8),
        "groups": [_parts_row(each, found, notes, system) for each in groups],
        "nights": night_rows(groups, found, notes, system),
        "odds": odds_svg(odds) if odds.lines else None,
        "not_drawn": not_drawn(found),
        "leads": lead_rows(found, notes, system),
        "slow": found.dates is not None and not worked.basis.dates_kept,
    }
    context |= _season(worked, weather, notes, system)
    if (spring := spring_of(found)) is not None:
        context |= {
            "spring_answer": spring_answer(spring),
            "spring": spring_lines(spring, found, notes, system),
        }
    context |= {
        "forecast": _forecast(worked, weather),
        "station": weather.station,
        "offset": _offset(weather.offset_k, system),
        "height": _height(weather, system),
        "distance": None
        if weather.station is None
        else _distance(weather.station.distance_m, system),
        "contact": contact,
        "warnings": [
            (in_units(each.text, system), each.about)
            for each in outlook_warnings(found)
        ],
        "notes": notes.listed,
    }
    return context


def _icy(found: SiteOutlook) -> tuple[str, ...]:
    return tuple(each.part.part for each in found.parts if each.alert.level >= 3)


def _parts_row(
    alike: Alike, found: SiteOutlook, notes: Notes, system: UnitSystem
) -> PartsRow:
    each = alike.one
    return PartsRow(
        alike=alike,
        names=named(alike.parts),
        few=named(alike.parts, most=2),
        harmed_at=harmed_at(each.part, system),
        level=part_level(each),
        dates=tuple(date_told(each, at, found, notes, system) for at in CHANCES),
        why=in_units(why_level(each, found), system),
    )


def _season(
    worked: WorkedOut, weather: SiteWeatherLine, notes: Notes, system: UnitSystem
) -> dict[str, Any]:
    """Gather what the record tells of the season: waiting, spring, depth of frost."""
    found = worked.found
    if found.dates is None:
        return {"waiting": None}
    waiting = site_waiting(
        found.site, found.dates, found.today, worth=weather.stated.worth
    )
    return {
        "waiting": waiting,
        "waiting_lines": waiting_lines(waiting, notes) if waiting else [],
        "waiting_told": [in_units(text, system) for text in waiting.told]
        if waiting
        else [],
        "costs": weather.stated.worth is not None,
        "depth": depth_told(found.dates, notes, system),
    }


def _coldest(worked: WorkedOut, system: UnitSystem) -> str:
    found = worked.found
    if found.forecast is None or not found.trusted:
        return ""
    coldest = coldest_hour(found.forecast, found.now)
    if coldest is None:
        return ""
    when, air_k = coldest
    air = display(air_k, "temperature", system)
    return f"{air} at {local_words(when, worked.basis.row.time_zone)}"


def _forecast(worked: WorkedOut, weather: SiteWeatherLine) -> dict[str, str]:
    """Tell where the forecast is from, how old it is, and what went wrong."""
    kept, source = weather.forecast, weather.source
    zone = worked.basis.row.time_zone

    def told(moment: datetime) -> str:
        return local_words(moment, zone)

    facts = {}
    if kept is not None:
        origin = "the weather service" if kept.came_from == "service" else "a file"
        facts["From"] = f"{origin}: {kept.source}" if kept.source else origin
        facts["Issued"] = told(kept.issued_at) if kept.issued_at else "not told"
        facts["Received"] = told(kept.received_at)
    if worked.found.age_s is not None:
        facts["Age"] = age_words(worked.found.age_s)
    compared = worked.found.errors.nights
    if any(compared):
        facts["Nights compared"] = (
            f"{', '.join(map(str, compared))} for the days 1 to {len(compared)}; from "
            f"{FEWEST_NIGHTS} on an error is the site’s own"
        )
    if source is not None:
        facts["Last asked for"] = told(source.tried_at)
        if source.trouble:
            facts["Trouble"] = source.trouble
            facts["Asked again"] = f"not before {told(source.next_try_at)}"
    return facts


def _offset(offset_k: float, system: UnitSystem) -> str:
    if not offset_k:
        return "none stated: hollows and hill tops differ"
    apart = display(abs(offset_k), "temperature_difference", system, digits=1)
    side = "colder" if offset_k < 0.0 else "warmer"
    return f"{apart} {side} than station and forecast, as stated"


def _height(weather: SiteWeatherLine, system: UnitSystem) -> str:
    station = weather.station
    if station is None or station.higher_m is None:
        return "not known: station or site has no elevation or position"
    apart = display(abs(station.higher_m), "length", system, digits=0)
    side = "above" if station.higher_m > 0 else "below"
    return f"the site lies {apart} {side} it; nothing is corrected for that"


def _distance(distance_m: float | None, system: UnitSystem) -> str:
    if distance_m is None:
        return "not known: station or site has no position"
    if system == "us":
        return f"{distance_m / 1609.344:.0f} miles"
    return f"{distance_m / 1000.0:.0f} km"
