"""CSV with a date and a daily minimum: plain, or the daily summaries of the archive.

The daily summaries have columns STATION, DATE, TMIN, TMAX; attributes beside a value
are its flags of measurement, quality and source, parted by commas (from memory).
"""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from maintenance.engine.climate.series import Station
from maintenance.exchange.weather.csv_columns import Columns, find_columns
from maintenance.exchange.weather.days import iso_day, plain_number
from maintenance.exchange.weather.plain_text import LineFaults, quoted, refused
from maintenance.exchange.weather.readings import Readings

MISSING: Final = -9999.0
"""The archive's mark of a missing value; a blank is one everywhere."""

NOTHING: Final = float("nan")


@dataclass(frozen=True, slots=True)
class CsvHead:
    """What the file says of itself."""

    columns: Columns
    station: Station | None


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of temperatures, that of its flags, and where its readings go."""

    at: int
    flags: int | None
    readings: Readings


def read_csv(text: str, least: Readings, most: Readings) -> CsvHead:
    """Read minima and maxima.

    Parameters
    ----------
    text : str
        The file's text. [-]
    least, most : Readings
        Where minima and maxima go. [unit]

    Returns
    -------
    CsvHead
        Columns and station. [-]

    Raises
    ------
    Faults
        With every line that is wrong.
    """
    faults = LineFaults()
    rows = csv_rows(text, faults)
    head = next(rows, None)
    if head is None:
        faults.refuse_any()
        raise refused("has no header; write one such as date,tmin_f")
    columns = find_columns(head[1])
    wanted = [
        _Column(at, flags, readings)
        for at, flags, readings in zip(
            (columns.tmin, columns.tmax), columns.flags, (least, most), strict=True
        )
        if at is not None
    ]
    station_at = columns.place.get("station", columns.date)
    first: Sequence[str] = ()
    for line, cells in rows:
        if len(cells) != columns.width:
            faults.add(
                line,
                f"has {len(cells)} cells where the header has {columns.width}; mend it",
            )
            continue
        first = first or cells
        if station_at != columns.date and cells[station_at] != first[station_at]:
            faults.add(
                line,
                f"is of station {quoted(cells[station_at])}, the lines before of "
                f"{quoted(first[station_at])}; keep one station in the file",
            )
            continue
        _read_row(line, cells, columns, wanted, faults)
    faults.refuse_any()
    if not least.days:
        raise refused("has a header and no days; give a series of daily temperatures")
    said = {name: first[at].strip() for name, at in columns.place.items()}
    return CsvHead(columns, _station(said))


def csv_rows(text: str, faults: LineFaults) -> Iterator[tuple[int, Sequence[str]]]:
    """Yield the rows that are not blank, each with its line; note where it is no CSV.

    Parameters
    ----------
    text : str
        The file's text. [-]
    faults : LineFaults
        Where a row that cannot be parted is noted; none comes after it. [-]

    Yields
    ------
    tuple of int and sequence of str
        Line and cells. [-]
    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    try:
        for cells in reader:
            # A quoted cell may run over lines: the row is where it begins.
            if any(map(str.strip, cells)):
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        faults.add(line, f"is no row of a CSV file ({error}); mend it")


def _read_row(
    line: int,
    cells: Sequence[str],
    columns: Columns,
    wanted: Sequence[_Column],
    faults: LineFaults,
) -> None:
    text = cells[columns.date].strip()
    day = iso_day(text)
    if day is None:
        faults.add(line, f"{quoted(text)} is no day; write one like 2012-01-31")
        return
    for column in wanted:
        text = cells[column.at].strip()
        value = plain_number(text) if text else NOTHING
        if value is None:
            faults.add(
                line,
                f"{quoted(text)} is no temperature; write a number, or leave the cell "
                "empty where none is known",
            )
        elif value == MISSING and not columns.unit:
            column.readings.add(day, line, NOTHING)
        else:
            flag = "" if column.flags is None else _quality_flag(cells[column.flags])
            column.readings.add(day, line, value, flag)


@lru_cache(maxsize=256)  # most rows have the same
def _quality_flag(attributes: str) -> str:
    return attributes.split(",", 2)[1].strip() if "," in attributes else ""


def _station(said: dict[str, str]) -> Station | None:
    if not any(said.values()):
        return None
    latitude, longitude, elevation = (
        plain_number(said.get(key, ""))
        for key in ("latitude", "longitude", "elevation")
    )
    return Station(
        said.get("station", ""), said.get("name", ""), latitude, longitude, elevation
    )
