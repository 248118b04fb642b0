"""All tests as a table for a spreadsheet, which must take no text for a formula."""

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from maintenance.engine.backflow.readings import READING_KINDS
from maintenance.engine.backflow.report_fields import REPORT_FIELDS
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.exchange.csv_cells import text_cell

_NUMBER: Final = re.compile(r"-?\d+(?:\.\d+)?", re.ASCII)
_NUMERIC: Final = frozenset(
    {"test", "corrected_by", "corrects", "follows", "supply_pressure"}
    | {
        f"{name}_{key}"
        for name in ("initial", "final")
        for key in (
            *(k for k, kind in READING_KINDS.items() if kind == "psid"),
            "buffer",
        )
    }
)
_OWN: Final = (
    *("test", "site", "assembly", "kind", "result", "decided_on"),
    *("follows", "corrects", "corrected_by", "filed", "flags", "hash"),
)
COLUMNS: Final = (*_OWN, *(field.key for field in REPORT_FIELDS))


def cell(column: str, text: str) -> str:
    """Write a cell: numbers as they are, other text so that no program computes it."""
    if column in _NUMERIC and _NUMBER.fullmatch(text):
        return text
    return text_cell(text)


def csv_of_tests(tests: Iterable[tuple[Mapping[str, str], Mapping[str, Any]]]) -> str:
    """Write tests, each with what lists know of it and what was known at it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line, payload in tests:
        told = {key: text for _, key, _, text in payload["report"]}
        told |= {
            "site": payload["site"]["name"],
            "assembly": payload["assembly"]["link"],
            "kind": payload["assembly"]["device"],
            "result": RESULT_WORDS[payload["result"]],
            "flags": " ".join(payload["flags"]),
            **line,
        }
        writer.writerow(_row(told))
    return out.getvalue()


def _row(told: Mapping[str, str]) -> Sequence[str]:
    return [cell(column, told.get(column, "")) for column in COLUMNS]
