"""The writers of the inventory. A site is stored whole, or not at all.

An edit by form is a pure change of the engine's `Site`, stored here like a file:
there is no other writer of sites and their parts.
"""

from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction

from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.checks import check_site
from maintenance.engine.site.record import Faults, to_record
from maintenance.models import Account
from maintenance.models.compressors import Compressor as CompressorRow
from maintenance.models.fields import record_text
from maintenance.models.sites import Site as SiteRow
from maintenance.services.errors import ConflictError
from maintenance.services.inventory.claims import (
    claim_row,
    find_row,
    get_row,
    refuse_stale,
    restore_row,
    retire_row,
)
from maintenance.services.inventory.columns import (
    Columns,
    compressor_columns,
    site_columns,
)
from maintenance.services.inventory.demo import remove_demo
from maintenance.services.inventory.parts import Record
from maintenance.services.inventory.plan import (
    apply_site_plan,
    plan_site,
    split_record,
)
from maintenance.services.inventory.rows import Act, add_rows, change_rows

__all__ = [
    "StoredCompressor",
    "StoredSite",
    "remove_demo",
    "restore_compressor",
    "restore_site",
    "retire_compressor",
    "retire_site",
    "store_compressor",
    "store_site",
]


@dataclass(frozen=True, slots=True)
class StoredSite:
    """What storing did.

    ``changed`` names what was added, changed or restored, the site itself by its
    own id; ``retired`` names the parts that are gone from the file.
    """

    key: str
    version: int
    created: bool
    changed: tuple[str, ...]
    retired: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StoredCompressor:
    """What storing did."""

    key: str
    version: int
    created: bool
    changed: bool


def store_site(
    site: Site,
    *,
    account: Account,
    now: datetime,
    version: int | None = None,
    actor: str = "",
    demo: bool = False,
) -> StoredSite:
    """Make what is kept of a site equal to this, part by part, by id.

    What is the same is not touched; what is gone is retired; what was retired and
    is back stands again.

    Parameters
    ----------
    site : Site
        As read from a file, or changed by a form.
    account : Account
        Whose site it is.
    now : datetime
        When this happens.
    version : int, optional
        The version that was changed; 0 for a site that must be new. Without it,
        whatever is kept is overwritten.
    actor : str
        Who does it, for the history.
    demo : bool
        Whether a site that is new here goes away with the demonstration.

    Raises
    ------
    Faults
        If the site does not hold together: all faults, and nothing is stored.
    ConflictError
        If the version is not the last one.
    """
    if faults := check_site(site):
        raise Faults(faults)
    own, parts = split_record(to_record(site))
    columns = {"record": own, **site_columns(site)}
    act = Act(actor, now)
    with transaction.atomic():
        row = find_row(SiteRow, account, site.id)
        refuse_stale(SiteRow, row, site.id, version)
        _refuse_hiding(row, demo=demo)
        plan = plan_site(site, parts, row)
        created = row is None
        itself = row is None or _differs(row, columns)
        if row is None:
            row = SiteRow(account=account, key=site.id, demo=demo, **columns)
            _add_new(row, act)
        elif itself or any(plan):
            claim_row(SiteRow, row)
            _change(row, columns, act)
        if any(plan):
            apply_site_plan(plan, site, row, act)
    return StoredSite(
        key=site.id,
        version=row.version,
        created=created,
        changed=((site.id,) if itself else ()) + plan.changed,
        retired=plan.retired,
    )


def store_compressor(
    compressor: Compressor,
    *,
    account: Account,
    now: datetime,
    version: int | None = None,
    actor: str = "",
    demo: bool = False,
) -> StoredCompressor:
    """Keep a compressor; the arguments are those of `store_site`."""
    columns = {"record": to_record(compressor), **compressor_columns(compressor)}
    act = Act(actor, now)
    with transaction.atomic():
        row = find_row(CompressorRow, account, compressor.id)
        refuse_stale(CompressorRow, row, compressor.id, version)
        _refuse_hiding(row, demo=demo)
        created = row is None
        changed = row is None or _differs(row, columns)
        if row is None:
            row = CompressorRow(
                account=account, key=compressor.id, demo=demo, **columns
            )
            _add_new(row, act)
        elif changed:
            claim_row(CompressorRow, row)
            _change(row, columns, act)
    return StoredCompressor(
        key=compressor.id, version=row.version, created=created, changed=changed
    )


@transaction.atomic
def retire_site(account: Account, *, key: str, now: datetime, actor: str = "") -> None:
    """Take a site off the list; it is kept with its history."""
    retire_row(SiteRow, get_row(SiteRow, account, key), Act(actor, now))


@transaction.atomic
def restore_site(account: Account, *, key: str, now: datetime, actor: str = "") -> None:
    """Put a retired site on the list again."""
    restore_row(SiteRow, get_row(SiteRow, account, key), Act(actor, now))


@transaction.atomic
def retire_compressor(
    account: Account, *, key: str, now: datetime, actor: str = ""
) -> None:
    """Take a compressor off the list; it is kept with its history."""
    retire_row(CompressorRow, get_row(CompressorRow, account, key), Act(actor, now))


@transaction.atomic
def restore_compressor(
    account: Account, *, key: str, now: datetime, actor: str = ""
) -> None:
    """Put a retired compressor on the list again."""
    restore_row(CompressorRow, get_row(CompressorRow, account, key), Act(actor, now))


def _refuse_hiding(row: SiteRow | CompressorRow | None, *, demo: bool) -> None:
    """Refuse a demonstration that would overwrite what a person entered."""
    if demo and row and not row.demo:
        raise ConflictError(
            f'"{row.key}" is of your own making and has the id of a part of the '
            "demonstration: give yours another id (export it, change the id, import "
            "it) and start the demonstration again."
        )


def _differs(row: SiteRow | CompressorRow, columns: Columns) -> bool:
    return row.retired_at is not None or any(
        record_text(getattr(row, name)) != record_text(value)
        if name == "record"
        else getattr(row, name) != value
        for name, value in columns.items()
    )


def _add_new(row: SiteRow | CompressorRow, act: Act) -> None:
    try:
        add_rows(type(row), [row], act)
    except IntegrityError as fault:
        raise ConflictError(
            f'"{row.key}" was stored by someone else at this moment: look at theirs '
            "first; nothing of yours was stored."
        ) from fault


def _change(row: SiteRow | CompressorRow, columns: Record, act: Act) -> None:
    row.retired_at = None
    for name, value in columns.items():
        setattr(row, name, value)
    change_rows(type(row), [row], [*columns, "retired_at"], act)
