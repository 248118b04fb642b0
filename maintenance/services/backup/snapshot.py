"""All tables as they stood at one moment, while others go on writing."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final

from django.apps import apps
from django.db import DEFAULT_DB_ALIAS, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder

from maintenance.services.backup.tables import (
    LEFT_OUT,
    Model,
    fields_of,
    kept_models,
    number_of,
    rows_of,
    table_of,
)
from maintenance.services.errors import ServiceError

_ALIAS: Final = "backup"


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The tables of one moment; their rows can be read until the block is left."""

    models: Sequence[Model]
    migrations: Sequence[tuple[str, str]]
    vendor: str

    def rows(self, model: Model) -> Iterator[list[Any]]:
        """Yield the rows of a table, plain."""
        return rows_of(model, alias=_ALIAS)

    def columns(self, model: Model) -> list[str]:
        """Return the names of a table's columns, in the order of its rows."""
        return [str(field.column) for field in fields_of(model)]

    def last_id(self, model: Model) -> int | None:
        """Return the last number given out, so that none is given out again."""
        column = number_of(model)
        return _last_id(connections[_ALIAS], model, column) if column else None


@contextmanager
def snapshot() -> Iterator[Snapshot]:
    """Hold one moment of the database, on a connection of its own.

    On SQLite a transaction that only reads sees what stood there when it began, and
    holds up no writer; on PostgreSQL one that is told so does.

    Raises
    ------
    ServiceError
        If there is a table that no part of the program knows.
    """
    connection = _second_connection()
    connections[_ALIAS] = connection
    try:
        with transaction.atomic(using=_ALIAS):
            yield _begun(connection)
    finally:
        connection.close()
        del connections[_ALIAS]


def _second_connection() -> BaseDatabaseWrapper:
    first = connections[DEFAULT_DB_ALIAS]
    chosen = {**first.settings_dict}
    if first.vendor == "sqlite":  # the usual IMMEDIATE would hold up those who write
        chosen["OPTIONS"] = chosen["OPTIONS"] | {"transaction_mode": "DEFERRED"}
    return type(first)(chosen, DEFAULT_DB_ALIAS)


def _begun(connection: BaseDatabaseWrapper) -> Snapshot:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
    models = kept_models(apps)
    known = {table_of(model) for model in models} | LEFT_OUT
    unknown = sorted(set(connection.introspection.table_names()) - known)
    if unknown:
        raise ServiceError(
            f'The database has a table "{unknown[0]}" that this program does not know: '
            "a backup would leave it out, so none is made; use the program that made it."
        )
    applied = MigrationRecorder(connection).applied_migrations()
    return Snapshot(models, sorted(applied), connection.vendor)


def _last_id(connection: BaseDatabaseWrapper, model: Model, column: str) -> int | None:
    table = table_of(model)
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [table])
        else:
            cursor.execute(
                "SELECT pg_get_serial_sequence(%s, %s)", [f'"{table}"', column]
            )
            (sequence,) = cursor.fetchone()
            cursor.execute(f"SELECT last_value FROM {sequence} WHERE is_called")  # noqa: S608  (named by the database)
        found = cursor.fetchone()
    return (int(found[0]) or None) if found else None
