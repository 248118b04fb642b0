"""Places that a backup goes into, and what stands in them, read past the program."""

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

REPOSITORY = Path(__file__).resolve().parent.parent.parent
NOT_KEPT = {
    "django_migrations",
    "django_session",
    "maintenance_held",
    "sqlite_sequence",
}
JSON_COLUMNS = {"si", "data"}
Tables = dict[str, list[tuple[Any, ...]]]


def manage(data: Path, *words: str, url: str = "") -> subprocess.CompletedProcess[str]:
    """Run a command as a person does, on a data folder or a PostgreSQL database."""
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
        "IRRIGATION_DATA": str(data),
        "DATABASE_URL": url,
    }
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=REPOSITORY,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


@contextmanager
def empty_postgres(url: str) -> Iterator[str]:
    """Make a database on the server of the tests, and take it away again."""
    import psycopg  # noqa: PLC0415  (an extra: it may be absent)

    name = f"restored_{os.getpid()}_{os.urandom(3).hex()}"
    with psycopg.connect(url, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
    try:
        yield urlsplit(url)._replace(path=f"/{name}").geturl()
    finally:
        with psycopg.connect(url, autocommit=True) as server:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def tables_of_sqlite(path: Path) -> Tables:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as database:
        names = [
            name
            for (name,) in database.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table'"
            )
        ]
        return {
            name: _rows(database.execute(f'SELECT * FROM "{name}"'))  # noqa: S608
            for name in names
            if name not in NOT_KEPT
        }


def tables_of_postgres(url: str) -> Tables:
    import psycopg  # noqa: PLC0415

    with psycopg.connect(url) as database:
        names = database.execute(
            "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
        ).fetchall()
        return {
            name: _rows(database.execute(f'SELECT * FROM "{name}"'))  # noqa: S608
            for (name,) in names
            if name not in NOT_KEPT
        }


def differences(before: Tables, after: Tables) -> list[str]:
    """Name each row that stands in one of them only, short enough to be read."""
    return [
        f"{name} {sign} {row}"
        for name in sorted({*before, *after})
        for sign, here, there in (
            ("-", before.get(name, []), after.get(name, [])),
            ("+", after.get(name, []), before.get(name, [])),
        )
        for row in here
        if row not in there
    ]


def _rows(found: Any) -> list[tuple[Any, ...]]:
    """Return rows as sets of named values: the order of columns may differ."""
    names = [each[0] for each in found.description]
    rows = [
        tuple(sorted((name, _value(name, value)) for name, value in zip(names, row)))  # noqa: B905
        for row in found
    ]
    return sorted(rows, key=repr)


def _value(name: str, value: Any) -> str | None:
    """Write a value as either database keeps it.

    PostgreSQL sorts the keys of its own JSON; records are text there too, in order.
    SQLite's columns of numbers keep no sign of a zero; the record beside them does.
    """
    if isinstance(value, float):
        value += 0.0
    if name in JSON_COLUMNS and isinstance(value, str) and value[:1] in "{[":
        value = json.loads(value)
    if isinstance(value, datetime):
        value = value.astimezone(UTC).replace(tzinfo=None).isoformat(" ")
    elif isinstance(value, date | time):
        value = value.isoformat()
    elif isinstance(value, dict | list):
        value = json.dumps(value, sort_keys=True)
    elif isinstance(value, bytes | memoryview):
        value = bytes(value).hex()
    elif isinstance(value, bool):
        value = int(value)
    return None if value is None else str(value)
