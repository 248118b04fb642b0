"""Weather files of every format, made from one list of days."""

import math
import random
from calendar import monthrange
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

STATION: Final = "USC00251664"


@dataclass(frozen=True)
class Day:
    """A day in tenths of °C; None where unknown."""

    day: date
    tmin: int | None
    tmax: int | None


def some_days(
    count: int = 800, *, seed: int = 1, first: date | None = None
) -> list[Day]:
    """Return invented days with winters and summers, now and then one unknown."""
    dice = random.Random(seed)  # noqa: S311
    begin = first or date(2001, 3, 5)
    days = []
    for after in range(count):
        day = begin + timedelta(days=after)
        warmth = -130 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 20) / 365.25)
        tmin = round(warmth + 20 + dice.gauss(0, 35))
        known = dice.random() > 0.02
        tmax = tmin + 90 + dice.randrange(80)
        days.append(Day(day, tmin if known else None, tmax))
    return days


def shown(tenths: int | None, unit: str) -> str:
    if tenths is None:
        return ""
    degc = tenths / 10
    number = {
        "degC": f"{degc:.1f}",
        "degF": f"{math.floor(degc * 1.8 + 32.5)}",
        "tenths_degC": str(tenths),
    }
    return number[unit]


def plain_csv(days: Sequence[Day], unit: str = "degC") -> str:
    end = {"degC": "_c", "degF": "_f"}.get(unit, "")
    rows = [f"date,tmin{end},tmax{end}"]
    rows += [f"{d.day},{shown(d.tmin, unit)},{shown(d.tmax, unit)}" for d in days]
    return "\n".join(rows) + "\n"


def summaries_csv(days: Sequence[Day], unit: str = "degC") -> str:
    """Write the daily summaries with station, place and attributes."""
    rows = [
        (
            '"STATION","NAME","LATITUDE","LONGITUDE","ELEVATION","DATE","PRCP","TMAX",'
            '"TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"'
        )
    ]
    place = f'"{STATION}","CHAMPION, NE US","40.40","-101.73","1072.0"'
    for d in days:
        low, high = shown(d.tmin, unit), shown(d.tmax, unit)
        rows.append(f'{place},"{d.day}","0.0","{high}",",,7,0700","{low}",",,7,0700"')
    return "\n".join(rows) + "\n"


def dly(days: Sequence[Day], flags: dict[date, str] | None = None) -> str:
    """Write the archive's fixed columns, minima flagged on some days."""
    by_day = {d.day: d for d in days}
    months = dict.fromkeys((d.day.year, d.day.month) for d in days)
    lines = []
    for year, month in months:
        for element in ("TMAX", "TMIN", "PRCP"):
            line = f"{STATION}{year:04d}{month:02d}{element}"
            for n in range(1, 32):
                value, flag = None, " "
                if n <= monthrange(year, month)[1]:
                    d = by_day.get(date(year, month, n))
                    value = d and {"TMAX": d.tmax, "TMIN": d.tmin, "PRCP": 0}[element]
                    if element == "TMIN" and value is not None:
                        flag = (flags or {}).get(date(year, month, n), " ")
                line += f"{-9999 if value is None else value:5d} {flag}7"
            lines.append(line)
    return "\n".join(lines) + "\n"


WRITERS: Final[dict[str, Callable[[Sequence[Day]], str]]] = {
    "plain": plain_csv,
    "summaries": summaries_csv,
    "dly": dly,
}
