"""Forecasts of the public weather service: by the hour, or its raw grid.

Both are GeoJSON features; layers, units and merged intervals as its own documentation
has them (``weather-gov/api``, openapi.yaml 1.9.0 and gridpoints.md, 2024-05-08).
"""

import re
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any, Final

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.wording import described, is_finite
from maintenance.exchange.json_text import parse_json
from maintenance.exchange.weather.forecast_hours import (
    AIR,
    FACTORS,
    MOST_HOURS,
    SKY,
    WIND,
    Hours,
    aware_time,
    hour_number,
)
from maintenance.exchange.weather.plain_text import refused

HOURLY: Final = "hourly JSON of the weather service"
GRID: Final = "raw-grid JSON of the weather service"
LAYERS: Final = {"temperature": AIR, "windSpeed": WIND, "skyCover": SKY}
_OTHER: Final = (
    "is JSON, but no forecast that the tool knows; give the service's hourly forecast, "
    "its raw grid, or a CSV with time and temperature_f"
)
_LENGTH: Final = re.compile(r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,3})H)?(?:(\d{1,4})M)?)?")
_SPEED: Final = re.compile(
    r"(?:(\d{1,3}(?:\.\d{1,3})?) to )?(\d{1,3}(?:\.\d{1,3})?) (mph|km/h)", re.ASCII
)
_SPEED_UNITS: Final = {"mph": "mi_h-1", "km/h": "km_h-1"}


def read_forecast_json(text: str) -> Forecast:
    """Read a forecast of the public weather service.

    Parameters
    ----------
    text : str
        JSON. [-]

    Returns
    -------
    Forecast
        Merged intervals spread over their hours; nulls are unknown. [SI]

    Raises
    ------
    Faults
        With everything that is wrong, each with its path.
    """
    value, repeated = parse_json(text)
    if repeated:
        raise Faults(repeated)
    inside = value.get("properties") if isinstance(value, dict) else None
    if not isinstance(inside, dict):
        raise refused(_OTHER)
    hours = Hours()
    if isinstance(inside.get("periods"), list):
        _read_periods(inside["periods"], hours)
        issued = _issued(inside, ("updateTime", "updated", "generatedAt"), hours)
        return hours.forecast(issued, HOURLY)
    if isinstance(inside.get("temperature"), dict):
        for key, of in LAYERS.items():
            if inside.get(key) is not None:
                _read_layer(inside[key], of, f"properties.{key}", hours)
        return hours.forecast(_issued(inside, ("updateTime",), hours), GRID)
    raise refused(_OTHER)


def _issued(
    inside: Mapping[str, Any], keys: tuple[str, ...], hours: Hours
) -> datetime | None:
    for key in keys:
        if inside.get(key) is not None:
            return _time(inside[key], f"properties.{key}", hours)
    return None


def _read_periods(periods: list[Any], hours: Hours) -> None:
    for index, period in enumerate(periods):
        path = f"properties.periods[{index}]"
        if not isinstance(period, dict):
            hours.faults.add_at(path, f"is {described(period)}; write an object")
            continue
        span = _period_hours(period, path, hours)
        if span is None:
            continue
        if "temperature" not in period:
            hours.faults.add_at(path, "has no temperature; write null if it is unknown")
        found = period.get("temperature")
        if isinstance(found, dict):
            _put_quantity(found, AIR, span, f"{path}.temperature", hours)
        elif found is not None:
            _put_bare(found, period.get("temperatureUnit"), span, path, hours)
        else:
            hours.put(AIR, span, None, "K", f"{path}.temperature")
        _put_wind(period.get("windSpeed"), span, f"{path}.windSpeed", hours)


def _period_hours(period: Mapping[str, Any], path: str, hours: Hours) -> range | None:
    begin = _time(period.get("startTime"), f"{path}.startTime", hours)
    end = _time(period.get("endTime"), f"{path}.endTime", hours)
    if begin is None or end is None:
        return None
    if end - begin != timedelta(hours=1):
        text = "is not one hour long; give the forecast by the hour, not by half days"
        hours.faults.add_at(path, text)
        return None
    return range(hour_number(begin), hour_number(begin) + 1)


def _put_bare(value: Any, unit: Any, span: range, path: str, hours: Hours) -> None:
    number = _number(value, f"{path}.temperature", hours)
    if unit not in ("F", "C"):
        text = f'is {described(unit)}; write "F" or "C"'
        hours.faults.add_at(f"{path}.temperatureUnit", text)
    elif number is not None:
        hours.put(AIR, span, number, f"deg{unit}", f"{path}.temperature")


def _put_quantity(
    found: Mapping[str, Any], of: str, span: range, path: str, hours: Hours
) -> None:
    unit = _unit(found.get("unitCode"), of, f"{path}.unitCode", hours)
    value = found.get("value", found.get("maxValue"))
    if value is not None:
        value = _number(value, f"{path}.value", hours)
    if unit is not None:
        hours.put(of, span, value, unit, path)


def _put_wind(found: Any, span: range, path: str, hours: Hours) -> None:
    """Keep a wind; of a range its upper end, since wind cools."""
    if found is None or found == "":
        return
    if isinstance(found, dict):
        _put_quantity(found, WIND, span, path, hours)
        return
    match = _SPEED.fullmatch(found) if isinstance(found, str) else None
    if match is None:
        text = f'is {described(found)}; write one like "10 mph", or null'
        hours.faults.add_at(path, text)
        return
    hours.put(WIND, span, float(match[2]), _SPEED_UNITS[match[3]], path)


def _read_layer(layer: Any, of: str, path: str, hours: Hours) -> None:
    if not isinstance(layer, dict) or not isinstance(layer.get("values"), list):
        hours.faults.add_at(path, "is no layer; write an object with uom and values")
        return
    if not layer["values"]:
        return
    unit = _unit(layer.get("uom"), of, f"{path}.uom", hours)
    for index, entry in enumerate(layer["values"]):
        at = f"{path}.values[{index}]"
        if not isinstance(entry, dict) or "value" not in entry:
            text = "is no entry; write an object with validTime and value"
            hours.faults.add_at(at, text)
            continue
        span = _interval(entry.get("validTime"), f"{at}.validTime", hours)
        value = entry["value"]
        if value is not None:
            value = _number(value, f"{at}.value", hours)
        if span is not None and unit is not None:
            hours.put(of, span, value, unit, at)


def _interval(text: Any, path: str, hours: Hours) -> range | None:
    """Read start/end, start/length or length/end as hours."""
    parts = text.split("/") if isinstance(text, str) else []
    if len(parts) == 2:
        times = [aware_time(part) for part in parts]
        lengths = [_length(part) for part in parts]
        begin, end = times
        try:
            if begin is None and end is not None and lengths[0] is not None:
                begin = end - lengths[0]
            elif end is None and begin is not None and lengths[1] is not None:
                end = begin + lengths[1]
        except OverflowError:
            begin = None
        if begin is not None and end is not None:
            return _whole_hours(begin, end, path, hours)
    hours.faults.add_at(
        path,
        f"is {described(text)}; write an interval like 2026-10-05T18:00:00+00:00/PT3H",
    )
    return None


def _length(text: str) -> timedelta | None:
    match = _LENGTH.fullmatch(text)
    if match is None or not any(match.groups()):
        return None
    days, hours, minutes = (int(each or 0) for each in match.groups())
    return timedelta(days=days, hours=hours, minutes=minutes)


def _whole_hours(
    begin: datetime, end: datetime, path: str, hours: Hours
) -> range | None:
    count, rest = divmod(end - begin, timedelta(hours=1))
    if rest or not 0 < count <= MOST_HOURS:
        text = f"is not of 1 to {MOST_HOURS} whole hours; mend the interval"
        hours.faults.add_at(path, text)
        return None
    first = hour_number(begin)
    return range(first, first + count)


def _unit(text: Any, of: str, path: str, hours: Hours) -> str | None:
    known = FACTORS[of]
    unit = text.rpartition(":")[2] if isinstance(text, str) else None
    if unit in known:
        return unit
    examples = ", ".join(f'"wmoUnit:{each}"' for each in known)
    hours.faults.add_at(path, f"is {described(text)}; write one of {examples}")
    return None


def _time(value: Any, path: str, hours: Hours) -> datetime | None:
    time = aware_time(value) if isinstance(value, str) else None
    if time is None:
        text = f"is {described(value)}; write a time like 2026-10-05T18:00:00-07:00"
        hours.faults.add_at(path, text)
    return time


def _number(value: Any, path: str, hours: Hours) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        text = f"is {described(value)}; write a number, or null if it is unknown"
        hours.faults.add_at(path, text)
        return None
    if not is_finite(value) or abs(value) > LARGEST:
        text = f"is {described(value)}; write null if it is unknown"
        hours.faults.add_at(path, text)
        return None
    return float(value)


LARGEST: Final = 1e7
"""Beyond this a number is a slip, not a strange value of the service."""
