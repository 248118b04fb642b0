"""Ways past the triggers that keep signed tests: only tests may go there."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

from maintenance.models import TestRecord

TABLE = TestRecord._meta.db_table


@contextmanager
def without_triggers() -> Iterator[None]:
    """Take the triggers of signed tests away for a while."""
    made_again = _triggers()
    on = f" ON {TABLE}" if connection.vendor == "postgresql" else ""
    _change_table([f"DROP TRIGGER {name}{on}" for name in made_again])
    try:
        yield
    finally:
        _change_table(list(made_again.values()))


def _change_table(statements: list[str]) -> None:
    # PostgreSQL changes no table on which checks are waiting for the commit.
    if connection.vendor == "postgresql" and connection.in_atomic_block:
        statements = [
            "SET CONSTRAINTS ALL IMMEDIATE",
            *statements,
            "SET CONSTRAINTS ALL DEFERRED",
        ]
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def take_away_signed_tests() -> None:
    """Delete every signed test: what empties the tables between tests may not."""
    if TestRecord.objects.exists():
        with (
            without_triggers(),
            connection.constraint_checks_disabled(),
            connection.cursor() as cursor,
        ):
            cursor.execute(f"DELETE FROM {TABLE}")  # noqa: S608


def _triggers() -> dict[str, str]:
    asked = (
        "SELECT tgname, pg_get_triggerdef(oid) FROM pg_trigger"
        " WHERE tgrelid = %s::regclass AND NOT tgisinternal"
        if connection.vendor == "postgresql"
        else "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        " AND tbl_name = %s"
    )
    with connection.cursor() as cursor:
        cursor.execute(asked, [TABLE])
        found = dict(cursor.fetchall())
    assert found, "the triggers are not there"
    return found
