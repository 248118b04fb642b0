"""A test report as a sheet: what was known at the test, in an authority's order.

It tells what was read and how that compares with the limits that judged it. What
follows from it, the local authority says.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from maintenance.engine.backflow.readings import READING_KEYS, Device, reading_words
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.services.backflow.report_rows import in_order_of

DECIDES: Final = (
    "The local authority decides whether a report is accepted and what has to follow. "
    "This sheet tells what was read and how it compares with the limits named in it."
)
_SETS: Final = ("initial", "final")
_REPAIR: Final = frozenset({"Repair", "Retest"})
SET_WORDS: Final = {"initial": "initial", "final": "after repair"}

Payload = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class SheetField:
    """One field of the sheet; an empty text is a line to write on."""

    key: str
    words: str
    text: str


@dataclass(frozen=True, slots=True)
class SheetGroup:
    """Fields that stand together under one heading."""

    heading: str
    fields: tuple[SheetField, ...]


@dataclass(frozen=True, slots=True)
class ReadingColumn:
    """One set of readings as a column: its test, its day, its texts by row."""

    head: str
    on: str
    texts: tuple[str, ...]
    result: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadingTable:
    """All sets of readings side by side, the oldest first."""

    rows: tuple[str, ...]
    columns: tuple[ReadingColumn, ...]

    @property
    def lines(self) -> list[tuple[str, tuple[str, ...]]]:
        """Each row's name and its texts."""
        return [
            (name, tuple(column.texts[place] for column in self.columns))
            for place, name in enumerate(self.rows)
        ]


@dataclass(frozen=True, slots=True)
class ReportSheet:
    """One assembly on one sheet; ``number`` is None where nothing is signed."""

    title: str
    number: int | None
    place: str
    result: str
    result_words: str
    sentences: tuple[str, ...]
    flags: tuple[str, ...]
    groups: tuple[SheetGroup, ...]
    table: ReadingTable
    signed: str
    hash: str

    @property
    def has_more_sets(self) -> bool:
        """Whether there are more readings than the fields can tell."""
        return len(self.table.columns) > len(_SETS)


def sheet_in_order(
    payload: Payload, order: Sequence[str], *, hash_: str = ""
) -> ReportSheet:
    """Lay the sheet of a test out, its fields in an authority's order of keys."""
    return report_sheet(payload, in_order_of(payload["report"], order), hash_=hash_)


def report_sheet(
    payload: Payload, rows: Sequence[Sequence[str]], *, hash_: str = ""
) -> ReportSheet:
    """Lay the sheet of a test out; ``rows`` are its report fields in order."""
    signed = payload.get("signed")
    assembly = payload["assembly"]
    named = f"{assembly['words']} {assembly['serial']}".strip()
    decides = payload["sets"][-1]
    result = payload["result"]
    return ReportSheet(
        title=f"Test report: {named}",
        number=signed["number"] if signed else None,
        place=f"{payload['site']['name']}, {assembly['link']}",
        result=result,
        result_words=RESULT_WORDS[result],
        sentences=tuple(each["text"] for each in decides["reasons"]),
        flags=(*payload["flags"], *payload["doubts"]),
        groups=_groups(assembly["device"], rows),
        table=reading_table(payload),
        signed=_signed_words(signed),
        hash=hash_,
    )


def reading_table(payload: Payload) -> ReadingTable:
    """Put every set of readings that led to this test side by side."""
    device: Device = payload["assembly"]["device"]
    keys = READING_KEYS[device]
    buffer = ("buffer",) if device == "RP" else ()
    names = tuple(_capital(reading_words(device, key)) for key in (*keys, *buffer))
    columns: list[ReadingColumn] = []
    number = payload["signed"]["number"] if payload.get("signed") else None
    for test in (*payload["before"], {"number": number, "sets": payload["sets"]}):
        head = f"Test {test['number']}" if test["number"] else "This draft"
        columns += [_column(head, keys, bool(buffer), each) for each in test["sets"]]
    return ReadingTable(names, tuple(columns))


def _column(
    head: str, keys: Sequence[str], with_buffer: bool, taken: Mapping[str, Any]
) -> ReadingColumn:
    texts = [taken["readings"].get(key, "–") for key in keys]
    if with_buffer:
        texts.append(taken["buffer"] or "–")
    return ReadingColumn(
        head=f"{head}, {SET_WORDS[taken['name']]}",
        on=taken["on"],
        texts=tuple(texts),
        result=RESULT_WORDS[taken["result"]],
        reasons=tuple(each["text"] for each in taken["reasons"]),
    )


def _groups(device: Device, rows: Sequence[Sequence[str]]) -> tuple[SheetGroup, ...]:
    repaired = any(text for group, _, _, text in rows if group in _REPAIR)
    shown = [row for row in rows if _applies(device, row, repaired=repaired)]
    return tuple(
        SheetGroup(
            heading, tuple(SheetField(key, words, text) for _, key, words, text in part)
        )
        for heading, part in groupby(shown, key=lambda row: row[0])
    )


def _applies(device: Device, row: Sequence[str], *, repaired: bool) -> bool:
    """Leave out what this kind does not have, and a repair that was not made."""
    group, key, _, text = row
    if text:
        return True
    if group in _REPAIR and not repaired:
        return False
    for name in _SETS:
        reading = key.removeprefix(f"{name}_")
        if reading != key and reading != "result":
            return reading in READING_KEYS[device]
    if key in ("relief_air_gap", "shut_off_2_holds", "supply_pressure"):
        return key in READING_KEYS[device] or (
            key != "relief_air_gap" and device not in ("AVB", "AG")
        )
    return key != "unable_because"


def _signed_words(signed: Mapping[str, Any] | None) -> str:
    if not signed:
        return ""
    return f"Signed by {signed['by']} on {signed['on']} as test {signed['number']}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
