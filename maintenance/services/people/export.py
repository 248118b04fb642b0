"""Everything that an account keeps, as plain rows."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from maintenance.models import Account, Member
from maintenance.services.people.tables import tables_of

# What opens something, and hashes of it: nobody's record.
_LEFT_OUT: Final = frozenset({"stop_hash", "token_hash", "token", "secret"})


@dataclass(frozen=True, slots=True)
class ExportedTable:
    """One table: its name, its columns, and its rows in the order they were made."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[dict[str, Any], ...]


def exported_tables(account: Account) -> Iterator[ExportedTable]:
    """Give every table of an account, each followed by its history.

    Where a row names a person's sign-in, the person's address stands instead.
    """
    addresses = dict(
        Member.objects.for_account(account)
        .exclude(user=None)
        .values_list("user_id", "user__email")
    )
    for table in tables_of(account):
        yield _table(table.name, table.rows, addresses)
        if table.history is not None:
            yield _table(f"{table.name}_history", table.history, addresses)


def _table(name: str, rows: Any, addresses: dict[int, str]) -> ExportedTable:
    columns = tuple(
        column.attname
        for column in rows.model._meta.concrete_fields  # noqa: SLF001
        if column.name not in _LEFT_OUT
    )
    found = tuple(rows.values(*columns))
    for row in found:
        for person in ("user_id", "history_user_id"):
            if person in row:
                row[person] = addresses.get(row[person], "")
    return ExportedTable(name, columns, found)
