"""Forecasts made for a test, in each format that is read."""

import json
import random
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

BEGIN = datetime(2026, 10, 5, 18, tzinfo=UTC)
Hour = tuple[datetime, float | None, float | None, float | None]
"""Time, whole degF, whole km/h, percent; None where unknown."""


def some_hours(count: int = 60, seed: int = 1) -> list[Hour]:
    """Return hours with a run of equal ones and unknown ones now and then."""
    dice = random.Random(seed)  # noqa: S311
    hours: list[Hour] = []
    while len(hours) < count:
        values = (
            None if dice.random() < 0.05 else float(dice.randint(20, 60)),
            None if dice.random() < 0.05 else float(dice.randint(0, 40)),
            None if dice.random() < 0.05 else float(dice.randint(0, 100)),
        )
        for _ in range(dice.choice([1, 1, 2, 3])):
            hours.append((BEGIN + timedelta(hours=len(hours)), *values))
    return hours[:count]


def stamp(time: datetime, offset: int = -7) -> str:
    return time.astimezone(timezone(timedelta(hours=offset))).isoformat()


def csv_forecast(hours: list[Hour]) -> str:
    lines = ["time,temperature_f,wind_km_h,sky_cover"]
    for time, *values in hours:
        cells = ["" if value is None else f"{value:g}" for value in values]
        lines.append(",".join([stamp(time), *cells]))
    return "\n".join(lines) + "\n"


def hourly_json(hours: list[Hour], *, quantities: bool = False) -> str:
    periods = []
    for number, (time, degf, wind, _) in enumerate(hours, start=1):
        air: dict[str, Any] = {"temperature": degf, "temperatureUnit": "F"}
        speed: object = None if wind is None else f"{wind:g} km/h"
        if quantities:
            code = {"unitCode": "wmoUnit:degF", "value": degf}
            air = {"temperature": code}
            speed = {"unitCode": "wmoUnit:km_h-1", "value": wind}
        periods.append(
            {
                "number": number,
                "startTime": stamp(time),
                "endTime": stamp(time + timedelta(hours=1)),
                "isDaytime": False,
                **air,
                "windSpeed": speed,
                "shortForecast": "Clear",
            }
        )
    return json.dumps(
        {
            "type": "Feature",
            "properties": {
                "generatedAt": "2026-10-05T17:50:00+00:00",
                "updateTime": "2026-10-05T17:20:00+00:00",
                "periods": periods,
            },
        },
        indent=1,
    )


def hourly_quantities(hours: list[Hour]) -> str:
    return hourly_json(hours, quantities=True)


def grid_json(hours: list[Hour]) -> str:
    layers = {
        key: {"uom": uom, "values": merged([(h[0], h[1:][at]) for h in hours])}
        for key, uom, at in (
            ("temperature", "wmoUnit:degF", 0),
            ("windSpeed", "wmoUnit:km_h-1", 1),
            ("skyCover", "wmoUnit:percent", 2),
        )
    }
    properties = {"updateTime": "2026-10-05T17:20:00+00:00", **layers}
    return json.dumps({"type": "Feature", "properties": properties}, indent=1)


def merged(values: list[tuple[datetime, float | None]]) -> list[dict[str, Any]]:
    """Merge equal hours that follow each other into one interval."""
    found: list[dict[str, Any]] = []
    for time, value in values:
        if found and found[-1]["value"] == value:
            found[-1]["count"] += 1
        else:
            found.append({"time": time, "count": 1, "value": value})
    return [
        {
            "validTime": f"{stamp(each['time'], 0)}/{length(each['count'])}",
            "value": each["value"],
        }
        for each in found
    ]


def length(hours: int) -> str:
    days, rest = divmod(hours, 24)
    return "P" + (f"{days}D" if days else "") + (f"T{rest}H" if rest else "")


WRITERS = {
    "CSV": csv_forecast,
    "hourly": hourly_json,
    "hourly quantities": hourly_quantities,
    "grid": grid_json,
}
