"""A row of an account is found, claimed, retired and restored in the same way.

A row is claimed by a conditional update: whoever changes its version owns the
change, and anyone who read it before is told so. No lock is held meanwhile.
"""

from typing import TypeVar

from maintenance.models import Account, Compressor, Site, WeatherStation
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.inventory.rows import Act, change_rows

_Owned = TypeVar("_Owned", Site, Compressor, WeatherStation)


def find_row(model: type[_Owned], account: Account, key: str) -> _Owned | None:
    """Return the account's row of that id, retired or not, in one query."""
    if "\x00" in key:  # PostgreSQL refuses even to look for it
        return None
    return model.objects.for_account(account).filter(key=key).first()


def get_row(model: type[_Owned], account: Account, key: str) -> _Owned:
    """Return the account's row of that id, or refuse, in one query."""
    row = find_row(model, account, key)
    if row is None:
        raise NotFoundError(
            f'There is no {_kind(model)} "{key}" here: see the list, or '
            "import its file first."
        )
    return row


def refuse_stale(
    model: type[_Owned], row: _Owned | None, key: str, version: int | None
) -> None:
    """Refuse a change made on a version that is no longer the last one.

    Version 0 stands for one that is not there yet.
    """
    if version is not None and version != (row.version if row else 0):
        raise _conflict(model, key)


def claim_row(model: type[_Owned], row: _Owned) -> None:
    """Make the row's version the next one, or refuse if someone was faster."""
    claimed = model.objects.filter(pk=row.pk, version=row.version).update(
        version=row.version + 1
    )
    if claimed != 1:
        raise _conflict(model, row.key)
    row.version += 1


def retire_row(model: type[_Owned], row: _Owned, act: Act) -> None:
    """Retire a row; one that is retired already stays as it is."""
    if row.retired_at is None:
        claim_row(model, row)
        row.retired_at = act.now
        change_rows(model, [row], ["retired_at"], act)


def restore_row(model: type[_Owned], row: _Owned, act: Act) -> None:
    """Take a row back from retirement; one that stands stays as it is."""
    if row.retired_at is not None:
        claim_row(model, row)
        row.retired_at = None
        change_rows(model, [row], ["retired_at"], act)


def _kind(model: type[_Owned]) -> str:
    return str(model._meta.verbose_name)  # noqa: SLF001  (public all the same)


def _conflict(model: type[_Owned], key: str) -> ConflictError:
    return ConflictError(
        f'The {_kind(model)} "{key}" was changed by someone else since '
        "you opened it: open it again and make your change there; nothing of yours "
        "was stored."
    )
