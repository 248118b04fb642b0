"""Seven hundred damaged forecasts of each format: read whole, or refused by place."""

import csv
import io
import json
import math
import random
from collections import Counter
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.forecast_file import read_forecast
from tests.exchange.weather.forecast_files import WRITERS, some_hours
from tests.exchange.weather.mutations import damaged_forecast

EACH = 700


def told(text: str) -> dict[datetime, set[float]]:
    """Read the temperatures by the standard library alone, in K."""
    text = text.removeprefix("\ufeff")
    if not text.lstrip().startswith("{"):
        rows = csv.DictReader(io.StringIO(text, newline=""))
        names = {
            (name or "").strip().casefold(): name for name in rows.fieldnames or ()
        }
        column = next(name for name in names if name.startswith("temperature_"))
        found: list[Any] = [
            (row[names["time"]].strip(), 1, row[names[column]].strip(), column[-1])
            for row in rows
            if any((cell or "").strip() for cell in row.values())
        ]
    else:
        found = list(told_by_json(json.loads(text)["properties"]))
    hours: dict[datetime, set[float]] = {}
    for begin, count, value, unit in found:
        for number in range(count):
            if value not in (None, ""):
                # with an offset like -07:24 an hour counts from the one in UTC
                time = datetime.fromisoformat(begin) + timedelta(hours=number)
                hour = time.astimezone(UTC).replace(minute=0, second=0)
                kelvin = in_kelvin(float(value), unit[-1])
                hours.setdefault(hour, set()).add(kelvin)
    return hours


def told_by_json(inside):
    if isinstance(inside.get("periods"), list):
        for period in inside["periods"]:
            air, unit = period["temperature"], period.get("temperatureUnit")
            if isinstance(air, dict):
                unit = air["unitCode"]
                air = air.get("value", air.get("maxValue"))
            yield period["startTime"], 1, air, unit
        return
    layer = inside["temperature"]
    for entry in layer["values"]:
        begin, _, span = entry["validTime"].partition("/")
        days, _, rest = span.removeprefix("P").partition("T")
        count = 24 * int(days.removesuffix("D") or 0) + int(rest.removesuffix("H") or 0)
        yield begin, count, entry["value"], layer["uom"]


def in_kelvin(value: float, unit: str) -> float:
    if unit.casefold() == "k":
        return value
    return (value + 459.67) / 1.8 if unit.casefold() == "f" else value + 273.15


def assert_whole(found: Forecast, text: str) -> None:
    hours = {
        found.begin + timedelta(hours=number): float(value)
        for number, value in enumerate(found.temperature_k)
        if not math.isnan(value)
    }
    said = told(text)
    if not found.rejected:
        assert set(said) == set(hours)
    assert set(hours) <= set(said)
    for hour, value in hours.items():
        assert any(math.isclose(value, each) for each in said[hour]), hour


def outcome(content: str | bytes) -> str:
    """Read a file; anything else than a refusal is raised."""
    try:
        found = read_forecast(content)
    except Faults as refusal:
        for fault in refusal.faults:
            assert fault.path.startswith(("file", "line ", "properties", "[")) or (
                fault.path.isidentifier()
            )
            assert fault.text.isprintable()
            assert len(fault.text) < 400
        return "refused"
    assert_whole(found, content if isinstance(content, str) else content.decode())
    return "read"


@pytest.mark.parametrize("name", WRITERS)
def test_a_damaged_forecast_is_read_whole_or_refused_by_its_place(name):
    text = WRITERS[name](some_hours(30))
    assert outcome(text) == "read"
    found = Counter(
        outcome(damaged_forecast(text, random.Random(f"{name} {seed}")))  # noqa: S311
        for seed in range(EACH)
    )
    assert sum(found.values()) == EACH
    assert 0.2 * EACH < found["refused"] < 0.97 * EACH, found


def test_an_hour_that_is_left_out_would_be_noticed():
    text = WRITERS["CSV"](some_hours(30))
    shorter = "\n".join([*text.splitlines()[:5], *text.splitlines()[6:]])
    with pytest.raises(AssertionError):
        assert_whole(read_forecast(shorter), text)
