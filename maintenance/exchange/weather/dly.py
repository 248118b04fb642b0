"""GHCN-Daily ``.dly``: one line for each station, month and element, in fixed columns.

Columns of the archive's own readme, section III, as reprinted: station 1-11, year
12-15, month 16-17, element 18-21, then for each of 31 days a value of five characters
and three flags: of measurement, of quality and of source. Temperatures are in tenths of
°C, -9999 is missing; a value with a quality flag failed a check (from memory).
"""

import re
from calendar import monthrange
from datetime import date
from typing import Final

from maintenance.exchange.weather.days import FIRST_YEAR, LAST_YEAR
from maintenance.exchange.weather.plain_text import LineFaults, quoted
from maintenance.exchange.weather.readings import Readings

MISSING: Final = "-9999"
LENGTH: Final = 21 + 31 * 8
LAST_VALUE_ENDS: Final = LENGTH - 3
"""Editors strip blanks at the end, and so the last flags; a value never ends later."""

_HEAD: Final = re.compile(
    r"(?P<station>[A-Z0-9_-]{11})(?P<year>\d{4})(?P<month>\d{2})(?P<element>[A-Z0-9]{4})",
    re.ASCII,
)
_VALUE: Final = re.compile(r" {0,4}-?\d{1,5}", re.ASCII)


def looks_like_dly(line: str) -> bool:
    """Tell a line of this format.

    Parameters
    ----------
    line : str
        First line of a file. [-]

    Returns
    -------
    bool
        True where its head is one. [-]
    """
    return _HEAD.match(line) is not None


def read_dly(text: str, least: Readings, most: Readings) -> str:
    """Read minima and maxima.

    Parameters
    ----------
    text : str
        The file's text. [-]
    least, most : Readings
        Where minima and maxima go. [0.1 °C]

    Returns
    -------
    str
        The station. [-]

    Raises
    ------
    Faults
        With every line that is wrong.
    """
    faults = LineFaults()
    readings = {"TMIN": least, "TMAX": most}
    station = ""
    for number, whole in enumerate(text.split("\n"), start=1):
        line = whole.rstrip()
        if not line:
            continue
        head = _HEAD.match(line)
        if head is None:
            faults.add(
                number, f"{quoted(line[:21])} is no head of a .dly line; mend it"
            )
            continue
        station = station or head["station"]
        if head["station"] != station:
            text_ = f"is of station {head['station']}, the lines before of {station}"
            faults.add(number, f"{text_}; keep one station in the file")
        elif not LAST_VALUE_ENDS <= len(line) <= LENGTH:
            faults.add(
                number,
                f"is {len(line)} characters long where {LENGTH} are due; fetch the file "
                "again",
            )
        elif head["element"] in readings:
            _read_month(line, number, head, readings[head["element"]], faults)
    faults.refuse_any()
    return station


def _read_month(
    line: str, number: int, head: re.Match[str], into: Readings, faults: LineFaults
) -> None:
    year, month = int(head["year"]), int(head["month"])
    if not (FIRST_YEAR <= year <= LAST_YEAR and 1 <= month <= 12):
        faults.add(number, f"{quoted(line[11:17])} is no year and month; mend it")
        return
    length = monthrange(year, month)[1]
    first = date(year, month, 1).toordinal()
    for index in range(31):
        begin = 21 + 8 * index
        value, flag = line[begin : begin + 5], line[begin + 6 : begin + 7].strip()
        if value == MISSING:
            if index < length:
                into.add(first + index, number, float("nan"))
        elif not _VALUE.fullmatch(value):
            faults.add(
                number, f"{quoted(value)} is no number on day {index + 1}; mend it"
            )
        elif index >= length:
            text = f"has a value for day {index + 1}, and the month has {length}"
            faults.add(number, f"{text}; fetch the file again")
        else:
            into.add(first + index, number, float(value), flag)
