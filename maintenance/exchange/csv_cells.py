"""Cells of CSV files that a spreadsheet takes as text, whatever they begin with.

A cell that begins with ``=``, ``+``, ``-``, ``@`` or a control character may be run as
a formula. So a text that does gets an apostrophe in front, and one that begins with an
apostrophe gets another: a reader that takes one apostrophe off has the text again.
Numbers are written as numbers. (OWASP ASVS 5.0, 1.2.10; the apostrophe is what
spreadsheets themselves put before a text.)
"""

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any, Final

LEADERS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "\x00", "'")


def text_cell(text: str) -> str:
    """Return a text as a cell holds it."""
    return f"'{text}" if text.startswith(LEADERS) else text


def text_of_cell(cell: str) -> str:
    """Return the text that a cell of ours holds."""
    return cell.removeprefix("'")


def any_cell(value: Any) -> str:
    """Return a value as a cell holds it; None is an empty one."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, str):
        return text_cell(value)
    return text_cell(json.dumps(value, ensure_ascii=False))


def csv_text(columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> str:
    """Write rows as CSV with a head."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([any_cell(row[column]) for column in columns])
    return stream.getvalue()
