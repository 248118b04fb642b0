"""A forecast as CSV: a time with its offset, the air, and wind and sky if known."""

from collections.abc import Sequence
from typing import Final

from maintenance.engine.climate.forecast import Forecast
from maintenance.exchange.weather.csv_series import csv_rows
from maintenance.exchange.weather.days import plain_number
from maintenance.exchange.weather.forecast_hours import (
    AIR,
    SKY,
    WIND,
    Hours,
    aware_time,
    hour_number,
)
from maintenance.exchange.weather.plain_text import LineFaults, quoted, refused

COLUMNS: Final = {
    "temperature_f": (AIR, "degF"),
    "temperature_c": (AIR, "degC"),
    "wind_mph": (WIND, "mi_h-1"),
    "wind_km_h": (WIND, "km_h-1"),
    "wind_m_per_s": (WIND, "m_s-1"),
    "wind_kt": (WIND, "kt"),
    "sky_cover": (SKY, "percent"),
}
"""Columns that are read, with the unit of each; others are passed over."""

CSV: Final = "CSV"
EXAMPLE: Final = "2026-10-05T18:00-07:00"
_HEADER: Final = 'write a header such as "time,temperature_f,wind_mph,sky_cover"'


def read_forecast_csv(text: str) -> Forecast:
    """Read a forecast from CSV.

    Parameters
    ----------
    text : str
        With a header; cells left empty are unknown. [-]

    Returns
    -------
    Forecast
        It does not tell when it was issued. [SI]

    Raises
    ------
    Faults
        With everything that is wrong, each with its line.
    """
    hours = Hours()
    rows = csv_rows(text, hours.faults)
    head = next(rows, None)
    if head is None:
        hours.faults.refuse_any()
        raise refused(f"has no header; {_HEADER}")
    where = _columns(head[1])
    seen: dict[int, int] = {}
    shares: list[float] = []
    for line, cells in rows:
        if len(cells) != len(head[1]):
            hours.faults.add(
                line,
                f"has {len(cells)} cells where the header has {len(head[1])}; mend it",
            )
            continue
        hour = _hour(cells[where["time"]].strip(), line, hours.faults)
        if hour is None:
            continue
        if hour in seen:
            text = f"gives the hour of line {seen[hour]} again; keep one"
            hours.faults.add(line, text)
            continue
        seen[hour] = line
        _put_row(hour, line, cells, where, hours)
        if "sky_cover" in where:
            shares.append(plain_number(cells[where["sky_cover"]].strip()) or 0.0)
    hours.faults.refuse_any()
    if any(0.0 < share < 1.0 for share in shares) and max(shares) <= 1.0:
        raise refused(
            "has sky_cover from 0 to 1; write it in percent, 0 for clear and 100 for "
            "covered"
        )
    if not seen:
        raise refused("has a header and no hours; give a forecast")
    return hours.forecast(None, CSV)


def _columns(header: Sequence[str]) -> dict[str, int]:
    names = [cell.strip().casefold() for cell in header]
    for name in ("time", *COLUMNS):
        if names.count(name) > 1:
            raise refused(f"has two columns {quoted(name)}; keep one")
    where = {name: at for at, name in enumerate(names) if name in ("time", *COLUMNS)}
    if "time" not in where:
        raise refused(
            f"is no forecast that the tool knows: it begins with "
            f"{quoted(','.join(header))}; {_HEADER}, or give the weather service's JSON"
        )
    for of in (AIR, WIND):
        found = [name for name in where if name in COLUMNS and COLUMNS[name][0] == of]
        if len(found) > 1:
            raise refused(f"has {found[0]} and {found[1]}; keep one of them")
        if of == AIR and not found:
            raise refused(f"has no temperature_f and no temperature_c; {_HEADER}")
    odd = [name for name in names if name.startswith("wind") and name not in where]
    if odd:
        known = ", ".join(name for name, (of, _) in COLUMNS.items() if of == WIND)
        raise refused(f"has a column {quoted(odd[0])}; name it one of {known}")
    return where


def _hour(text: str, line: int, faults: LineFaults) -> int | None:
    time = aware_time(text)
    if time is None:
        faults.add(
            line,
            f"{quoted(text)} is no time with its offset from UTC; write one like "
            f"{EXAMPLE}",
        )
        return None
    if time.minute or time.second or time.microsecond:
        faults.add(line, f"{quoted(text)} is no full hour; give values by the hour")
        return None
    return hour_number(time)


def _put_row(
    hour: int, line: int, cells: Sequence[str], where: dict[str, int], hours: Hours
) -> None:
    for name, at in where.items():
        if name not in COLUMNS:
            continue
        of, unit = COLUMNS[name]
        text = cells[at].strip()
        value = plain_number(text) if text else None
        if text and value is None:
            hours.faults.add(
                line,
                f"{quoted(text)} is no {of}; write a number, or leave the cell empty "
                "where none is known",
            )
            continue
        hours.put(of, range(hour, hour + 1), value, unit, f"line {line}")
