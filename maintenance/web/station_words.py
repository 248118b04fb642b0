"""Stations, forecasts and offsets in words, in the units of the page."""

from datetime import date, datetime
from typing import Final

from maintenance.engine.climate.series import Station
from maintenance.engine.units import UnitSystem, display, round_text, to_unit
from maintenance.services.weather.queries import StationLine
from maintenance.services.weather.replaced import Replaced
from maintenance.services.weather.site_weather import Stated
from maintenance.services.weather.station_files import StoredFile

_MILE_M: Final = 1609.344
_SAME_HEIGHT_M: Final = 1.0


def day_words(day: date) -> str:
    """Write a day as people do, such as ``4 Oct 2026``."""
    return f"{day.day} {day:%b %Y}"


def span_words(first: date, last: date) -> str:
    """Write a span of days."""
    return f"{day_words(first)} to {day_words(last)}"


def distance_words(distance_m: float | None, system: UnitSystem) -> str:
    """Write how far away a station is; empty where a position is unknown."""
    if distance_m is None:
        return ""
    size, unit = (_MILE_M, "mi") if system == "us" else (1000.0, "km")
    far = distance_m / size
    return f"{round_text(far, 1 if far < 10 else 0)} {unit}"


def height_words(line: StationLine, system: UnitSystem) -> str:
    """Write how much higher or lower than a station the site lies."""
    if line.higher_m is None:
        return ""
    size = display(abs(line.higher_m), "height", system, digits=0)
    if abs(line.higher_m) < _SAME_HEIGHT_M:
        return "at the same height"
    return f"{size} {'higher' if line.higher_m > 0 else 'lower'}"


def position_words(station: Station | None) -> str:
    """Write where a station stands; empty where that is not known."""
    if station is None or station.latitude_deg is None or station.longitude_deg is None:
        return ""
    north = "N" if station.latitude_deg >= 0 else "S"
    east = "E" if station.longitude_deg >= 0 else "W"
    latitude, longitude = abs(station.latitude_deg), abs(station.longitude_deg)
    return f"{latitude:.4f}° {north}, {longitude:.4f}° {east}"


def difference_words(difference_k: float, system: UnitSystem) -> str:
    """Write a difference of temperatures, without sign, such as ``2 °F``."""
    number, unit = to_unit(abs(difference_k), "temperature_difference", system)
    return f"{round_text(number, 1).removesuffix('.0')} {unit}"


def offset_words(offset_k: float, system: UnitSystem) -> str:
    """Say how the site differs from its station and its forecast."""
    if not offset_k:
        return "The site is taken to be as cold as its station and its forecast."
    side = "warmer" if offset_k > 0 else "colder"
    return (
        f"The site is {difference_words(offset_k, system)} {side} than its station and "
        "its forecast, by your own word; both are shifted by that."
    )


def terms_words(stated: Stated) -> str:
    """Say what the advice goes by; what nobody stated is marked."""
    terms = stated.terms
    crew = "" if stated.crew_days is not None else " (assumed)"
    worth = "" if stated.worth is not None else " (assumed)"
    days = "day" if terms.crew_days == 1 else "days"
    told = f"A crew has the work done {terms.crew_days} {days} after the call{crew}. "
    if terms.act_at >= 1.0:
        return (
            f"{told}By these amounts no chance of frost is worth a call: watering is "
            "worth more than the damage."
        )
    percent = f"{100 * terms.act_at:.3g}"
    return (
        f"{told}It is called from a chance of {percent} %{worth} of a damaging night."
    )


def age_words(moment: datetime, now: datetime) -> str:
    """Say how long ago something was, such as ``3 hours old``."""
    minutes = max(0, int((now - moment).total_seconds() // 60))
    for size, name in ((1440, "day"), (60, "hour")):
        if minutes >= size:
            count = minutes // size
            return f"{count} {name}{'' if count == 1 else 's'} old"
    return "less than an hour old"


def stored_words(stored: StoredFile, days: int) -> str:
    """Say what storing a station's file did."""
    kept = stored.kept
    if kept.replaced is not None:
        return f"Stored. {_replaced_words(kept.replaced)}"
    if kept.created:
        return f"Stored: {days:,} days with a minimum."
    return "This file was here already; nothing of the station changed."


def _replaced_words(replaced: Replaced) -> str:
    spans = span_words(replaced.first, replaced.last)
    was = span_words(replaced.was_first, replaced.was_last)
    told = f"The record runs {spans}"
    told += f", before {was}: " if was != spans else ", as before: "
    counts = (
        (replaced.came, "more with a minimum"),
        (replaced.went, "without one now"),
        (replaced.otherwise, "read otherwise"),
    )
    parts = [_days(count, words) for count, words in counts if count]
    return f"{told}{', '.join(parts) or 'all minima are the same'}."


def _days(count: int, words: str) -> str:
    return f"{count:,} day{'' if count == 1 else 's'} {words}"
