"""A backup is put into an empty database: its tables, its rows, then later changes."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any, Final, Protocol

from django.apps.registry import Apps
from django.contrib.contenttypes.models import ContentType
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from maintenance.services.backup.tables import (
    Model,
    fields_of,
    kept_models,
    number_of,
    table_of,
)
from maintenance.services.errors import ServiceError

ROWS_AT_ONCE: Final = 500

_Key = tuple[str, str]


class KeptTable(Protocol):
    """What is known of a table in a backup."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def columns(self) -> Sequence[str]: ...  # noqa: D102
    @property
    def last_id(self) -> int | None: ...  # noqa: D102


def database_is_empty() -> bool:
    """Tell whether the database has no table at all."""
    return not connection.introspection.table_names()


def put_back(
    tables: Iterable[KeptTable],
    migrations: Collection[_Key],
    rows: Callable[[Any], Iterator[Sequence[Any]]],
    *,
    say: Callable[[str], object],
) -> int:
    """Put all tables into an empty database and return the number of rows.

    The rows are in one transaction. On PostgreSQL the tables are in it too; on SQLite
    the caller throws the file away when this fails.

    Parameters
    ----------
    tables : iterable of KeptTable
        The tables of the backup.
    migrations : collection of (app, name)
        What the tables were of; the program may know more by now.
    rows : callable
        Yields the rows of a table, values plain.
    say : callable
        Takes a sentence for the person who waits.

    Raises
    ------
    ServiceError
        If the backup is of a newer program, or does not fit the tables.
    """
    if connection.vendor == "sqlite":
        return _put_back(tables, migrations, rows, say)
    with transaction.atomic():
        return _put_back(tables, migrations, rows, say)


def _put_back(
    tables: Iterable[KeptTable],
    migrations: Collection[_Key],
    rows: Callable[[Any], Iterator[Sequence[Any]]],
    say: Callable[[str], object],
) -> int:
    say("Making the tables.")
    apps = _tables_as_they_were(set(migrations))
    models = {table_of(model): model for model in kept_models(apps)}
    count = 0
    say("Putting the rows back.")
    with transaction.atomic():
        _check_at_the_end()  # making the tables may have changed that
        for model in models.values():
            _empty(model)  # what making the tables has put in
        for table in tables:
            if table.name not in models:
                raise ServiceError(
                    f'The backup has a table "{table.name}" that its own program did '
                    "not know: take another backup."
                )
            count += _fill(models[table.name], table, rows(table))
        connection.check_constraints()
    call_command("migrate", interactive=False, verbosity=0, skip_checks=True)
    ContentType.objects.clear_cache()
    return count


def _tables_as_they_were(migrations: set[_Key]) -> Apps:
    """Make the tables of the backup's own program; return its models."""
    executor = MigrationExecutor(connection)
    graph = executor.loader.graph
    newer = sorted(migrations - set(graph.nodes))
    if newer:
        raise ServiceError(
            f"This backup is of a newer program (it knows {'.'.join(newer[0])}): "
            "restore it with that one."
        )
    last = [
        key
        for key in sorted(migrations)
        if not any(
            child.key in migrations and child.key[0] == key[0]
            for child in graph.node_map[key].children
        )
    ]
    executor.migrate(last)
    return executor.loader.project_state(last).apps


def _check_at_the_end() -> None:
    """Let rows refer to rows that come later."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")


def _empty(model: Model) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"DELETE FROM {_quoted(table_of(model))}")  # noqa: S608  (of the model)


def _fill(model: Model, table: KeptTable, rows: Iterator[Sequence[Any]]) -> int:
    fields = {str(field.column): field for field in fields_of(model)}
    if set(fields) != set(table.columns):
        raise ServiceError(
            f'The columns of "{table.name}" are not those of its program: take another '
            "backup."
        )
    chosen = [fields[name] for name in table.columns]
    names = ", ".join(_quoted(name) for name in table.columns)
    marks = ", ".join("%s" for _name in table.columns)
    into = f"INSERT INTO {_quoted(table.name)} ({names}) VALUES ({marks})"  # noqa: S608  (of the model)
    count = 0
    with connection.cursor() as cursor:
        while some := list(islice(rows, ROWS_AT_ONCE)):
            values = [
                [
                    field.get_db_prep_save(field.to_python(value), connection)
                    for field, value in zip(chosen, row, strict=True)
                ]
                for row in some
            ]
            cursor.executemany(into, values)
            count += len(some)
    column = number_of(model)
    if column and table.last_id:
        _go_on_after(table.name, column, table.last_id)
    return count


def _go_on_after(table: str, column: str, last_id: int) -> None:
    """Give out no number a second time, even one whose row is gone."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                "SELECT setval(pg_get_serial_sequence(%s, %s), %s)",
                [_quoted(table), column, last_id],
            )
            return
        cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
        cursor.execute("INSERT INTO sqlite_sequence VALUES (%s, %s)", [table, last_id])


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)
