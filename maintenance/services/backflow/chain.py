"""The chain of signed tests: each record carries the hash of the one before.

The hash is taken over every column as text, so that it comes out the same whichever
database keeps the record. To verify, columns are read as bytes, past all
conversions: a driver would forgive some changed bits (a comma in a time, a 2 for a
yes).
"""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, Final

from django.db import connection
from django.db.models import F

from maintenance.models import Account, TestChain, TestRecord

COLUMNS: Final = tuple(
    str(field.column)
    for field in TestRecord._meta.concrete_fields  # noqa: SLF001  (public all the same)
    if field.column != "hash"
)
_MOMENTS: Final = ("tested_at", "signed_at")
_MOMENT: Final = re.compile(
    r"(\d{4}-\d\d-\d\d) (\d\d:\d\d:\d\d)(?:\.(\d{1,6}))?(?:\+00)?", re.ASCII
)
_FLAGS: Final = {"0": "no", "1": "yes", "false": "no", "true": "yes"}

Stored = Mapping[str, str | None]


@dataclass(frozen=True, slots=True)
class Link:
    """The place of the next record in its chain."""

    number: int
    previous_hash: str


def hold_chain(account: Account, *, demo: bool) -> tuple[TestChain, Link]:
    """Hold an account's chain for this transaction; return it and the next place."""
    chain, _ = TestChain.objects.get_or_create(account=account, demo=demo)
    # An update that changes nothing makes whoever else signs wait where rows are locked.
    TestChain.objects.filter(pk=chain.pk).update(count=F("count"))
    chain.refresh_from_db()
    return chain, Link(chain.count + 1, chain.hash)


def add_to_chain(chain: TestChain, record: TestRecord) -> TestRecord:
    """Add a record at the place that the held chain gave it."""
    record.hash = record_hash(columns_of(record))
    # The rows that it points to were read in this transaction.
    record.clean_fields(exclude={"account", "device", "follows", "corrects"})
    record.save(force_insert=True)
    TestChain.objects.filter(pk=chain.pk).update(count=record.number, hash=record.hash)
    return record


def record_hash(stored: Stored) -> str:
    """Return SHA-256 over every column but the hash itself, in hexadecimal."""
    text = json.dumps(
        {column: stored[column] for column in COLUMNS},
        sort_keys=True,
        separators=(",", ":"),
    )
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def columns_of(record: TestRecord) -> Stored:
    """Return each column of a record as text, in the form that is hashed."""
    return {column: _as_text(getattr(record, column)) for column in COLUMNS}


def _as_text(value: object) -> str | None:
    match value:
        case None:
            return None
        case bool():
            return "yes" if value else "no"
        case datetime():
            return f"{value.astimezone(UTC):%Y-%m-%dT%H:%M:%S.%f}Z"
        case date():
            return value.isoformat()
        case _:
            return str(value)


def stored_rows(account_id: int | None = None) -> Iterator[dict[str, str | None]]:
    """Give the rows as stored, byte by byte, in the order of their numbers."""
    names = (*COLUMNS, "hash")
    as_bytes = (
        "convert_to(CAST({0} AS TEXT), 'UTF8')"
        if connection.vendor == "postgresql"
        else "CAST(CAST({0} AS TEXT) AS BLOB)"
    )
    asked = ", ".join(as_bytes.format(name) for name in names)
    table = TestRecord._meta.db_table  # noqa: SLF001  (public all the same)
    where = "" if account_id is None else " WHERE account_id = %s"
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT {asked} FROM {table}{where} ORDER BY account_id, demo, number, id",  # noqa: S608  (names of our own)
            [] if account_id is None else [account_id],
        )
        while rows := cursor.fetchmany(200):
            for row in rows:
                yield dict(zip(names, map(_text, names, row), strict=True))


def _text(column: str, stored: Any) -> str | None:
    """Read bytes strictly: what is not just as it would be written stays odd."""
    if stored is None:
        return None
    try:
        text = bytes(stored).decode()
    except UnicodeDecodeError:
        return f"\0{bytes(stored).hex()}"
    if column == "demo":
        return _FLAGS.get(text, f"\0{text}")
    if column in _MOMENTS and (match := _MOMENT.fullmatch(text)):
        day, clock, part = match.groups()
        return f"{day}T{clock}.{(part or '').ljust(6, '0')}Z"
    return text
