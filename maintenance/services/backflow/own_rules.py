"""An account's own rules: added, and superseded by a next version; never changed."""

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Final

from django.db import IntegrityError, transaction
from django.db.models import F

from maintenance.engine.backflow.due.rows import COLUMNS
from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.engine.errors import InputError
from maintenance.models import Account, OwnRule
from maintenance.services.backflow.rule_table import (
    ENDED,
    REPLACES,
    KnownRule,
    RuleTable,
    read_cells,
    rule_table,
)
from maintenance.services.errors import ConflictError, NotFoundError

OWN_PREFIX: Final = "own-"
_LONGEST_CELL: Final = 500
_NO_SIGN: Final = re.compile(r"[^a-z0-9]+")
_LINE: Final = re.compile(r"^rules, line \d+: ")
_NOT_STATED: Final = ("id", "version", "superseded_by")


@transaction.atomic
def add_rule(
    account: Account, *, name: str, cells: Mapping[str, str], now: datetime, actor: str
) -> RuleRef:
    """Add a rule of the account's own.

    Parameters
    ----------
    account : Account
        Whose rule it is.
    name : str
        What it is called; its id is made of it.
    cells : mapping
        What it says, under the columns of the table of rules.
    now, actor : datetime and str
        When, and by whom.

    Raises
    ------
    InputError
        If a cell cannot be read; it names the column.
    ConflictError
        If there is a rule of that name already.
    """
    key = _key(name)
    record = _record(cells)
    table = _held_table(account)
    if any(line.rule.id == key for line in table.lines):
        raise ConflictError(
            f'There is a rule "{key}" already: supersede that one with a new version, '
            "or choose another name."
        )
    return _add(account, key, 1, record, now, actor)


@transaction.atomic
def supersede_rule(
    account: Account,
    *,
    ref: RuleRef,
    cells: Mapping[str, str],
    ended: bool = False,
    now: datetime,
    actor: str,
) -> RuleRef:
    """Put the next version in the place of a rule; the former one stays as it is.

    One that ships is superseded by one of the account's own. With ``ended`` the rule
    counts no more.

    Raises
    ------
    NotFoundError
        If there is no such version.
    ConflictError
        If another version took its place already.
    InputError
        If a cell cannot be read; it names the column.
    """
    table = _held_table(account)
    known = table.by_ref.get(ref)
    if known is None:
        raise NotFoundError(f'There is no rule "{ref}" here: see the table of rules.')
    if known.rule.superseded_by is not None:
        raise ConflictError(
            f"{ref} was superseded by {known.rule.superseded_by} already: look at that "
            "version, and supersede it if it is wrong."
        )
    record = _record(cells)
    if ended:
        record[ENDED] = "yes"
    if known.own:
        if known.replaces:
            record[REPLACES] = str(known.replaces)
        return _add(account, ref.id, ref.version + 1, record, now, actor)
    record[REPLACES] = str(ref)
    key = f"{OWN_PREFIX}{ref.id}"
    later = [line.rule.version for line in table.lines if line.rule.id == key]
    return _add(account, key, max(later, default=0) + 1, record, now, actor)


def known_rule(table: RuleTable, ref: RuleRef) -> KnownRule:
    """Return one version, or refuse."""
    known = table.by_ref.get(ref)
    if known is None:
        raise NotFoundError(f'There is no rule "{ref}" here: see the table of rules.')
    return known


def place_key(name: str) -> str:
    """Return the key of a place that a person names."""
    return f"{OWN_PREFIX}{_slug(name)}" if _slug(name) else ""


def _held_table(account: Account) -> RuleTable:
    """Hold the account for this transaction: two versions come one after the other."""
    Account.objects.filter(pk=account.pk).update(name=F("name"))
    return rule_table(account)


def _record(cells: Mapping[str, str]) -> dict[str, str]:
    record = {
        name: cells[name].strip()
        for name in COLUMNS
        if name not in _NOT_STATED and cells.get(name, "").strip()
    }
    for name, text in record.items():
        if len(text) > _LONGEST_CELL or not text.isprintable():
            raise InputError(
                f"{name}: write it on one line, in at most {_LONGEST_CELL} signs",
                input=name,
            )
    try:
        read_cells(record | {"id": "own", "version": "1"})
    except InputError as fault:
        raise _at_its_column(str(fault)) from fault
    return record


def _at_its_column(text: str) -> InputError:
    """Name the column alone: a person filled in a form and sees no lines."""
    plain = _LINE.sub("", text)
    column, _, told = plain.partition(": ")
    if told and column in COLUMNS:
        return InputError(plain, input=column)
    return InputError(plain, input=next((c for c in COLUMNS if c in plain), ""))


def _add(
    account: Account,
    key: str,
    version: int,
    record: dict[str, str],
    now: datetime,
    actor: str,
) -> RuleRef:
    row = OwnRule(
        account=account,
        key=key,
        version=version,
        record=record,
        added_at=now,
        added_by=actor,
    )
    row.clean_fields(exclude=["account"])
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError as twin:
        raise ConflictError(
            f"Someone else added {key}/{version} at this moment: look at it first."
        ) from twin
    return RuleRef(key, version)


def _key(name: str) -> str:
    slug = _slug(name)
    if not slug:
        raise InputError("name: write what the rule is called", input="name")
    return f"{OWN_PREFIX}{slug}"


def _slug(name: str) -> str:
    return _NO_SIGN.sub("-", name.lower()).strip("-")[:80].strip("-")
