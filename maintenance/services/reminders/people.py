"""People who are reminded: added, changed, taken off, and told that it works."""

import secrets
from dataclasses import dataclass
from datetime import datetime, time
from typing import Final

from django.db import transaction

from maintenance.engine.calendar.local_time import zone_named
from maintenance.engine.reminding.kinds import KINDS
from maintenance.engine.reminding.quiet import MORNING
from maintenance.models import Account, Message, Recipient
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.reminders.sources.looked import office_zone
from maintenance.services.reminders.stop_links import (
    cancel_waiting,
    hash_of,
    stop_token,
)

MOST_ESCALATE_DAYS: Final = 365
_COLUMNS: Final = (
    "name",
    "email",
    "daily",
    "kinds",
    "sites",
    "morning",
    "quiet_from",
    "quiet_until",
    "time_zone",
    "escalate_to",
    "escalate_after_days",
    "stopped_at",
    "version",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedPerson:
    """A person as an office states them; empty kinds and sites stand for all."""

    name: str
    email: str
    daily: bool = False
    kinds: tuple[str, ...] = ()
    sites: tuple[str, ...] = ()
    morning: time = MORNING
    quiet_from: time | None = None
    quiet_until: time | None = None
    time_zone: str = ""
    escalate_to: int | None = None
    escalate_after_days: int = 7


def all_people(account: Account) -> list[Recipient]:
    """Return the people who are reminded, by name, in one query."""
    rows = Recipient.objects.for_account(account).standing()
    return list(rows.select_related("escalate_to").order_by("name", "pk"))


def get_person(account: Account, *, person_id: int) -> Recipient:
    """Return one of them.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    rows = Recipient.objects.for_account(account).standing()
    found = rows.filter(pk=person_id).first()
    if found is None:
        raise NotFoundError("Nobody of that number is reminded here.")
    return found


@transaction.atomic
def store_person(
    account: Account,
    *,
    stated: StatedPerson,
    person_id: int | None = None,
    version: int = 0,
    now: datetime,
    actor: str,
) -> Recipient:
    """Add a person, or change one under the version that was seen.

    One who had stopped their reminders gets them again only where `resume` says so.

    Raises
    ------
    ServiceError
        If something stated cannot be.
    ConflictError
        If someone else changed it meanwhile.
    """
    if person_id is None:
        row = Recipient(account=account, added_at=now, version=0)
    else:
        row = _claimed(account, person_id, version)
    _fill(account, row, stated)
    row.version += 1
    act = Act(actor, now)
    if person_id is None:
        add_rows(Recipient, [row], act)
        row.stop_hash = hash_of(stop_token(row.pk))
        Recipient.objects.filter(pk=row.pk).update(stop_hash=row.stop_hash)
    else:
        change_rows(Recipient, [row], _COLUMNS, act)
    return row


@transaction.atomic
def resume(account: Account, *, person_id: int, now: datetime, actor: str) -> None:
    """Let a person who had stopped their reminders get them again, from now on."""
    row = get_person(account, person_id=person_id)
    row.stopped_at, row.added_at = None, now
    row.version += 1
    change_rows(
        Recipient, [row], ["stopped_at", "added_at", "version"], Act(actor, now)
    )


@transaction.atomic
def retire_person(
    account: Account, *, person_id: int, version: int, now: datetime, actor: str
) -> None:
    """Take a person off; whoever escalated to them escalates to nobody."""
    row = _claimed(account, person_id, version)
    row.retired_at = now
    row.version += 1
    act = Act(actor, now)
    change_rows(Recipient, [row], ["retired_at", "version"], act)
    before = list(Recipient.objects.for_account(account).filter(escalate_to=row))
    for each in before:
        each.escalate_to = None
        each.version += 1
    change_rows(Recipient, before, ["escalate_to", "version"], act)
    cancel_waiting(Message.objects.filter(recipient=row), "This person was taken off.")


@transaction.atomic
def send_test(account: Account, *, person_id: int, now: datetime) -> Message:
    """Write a message that only shows that messages arrive.

    Raises
    ------
    ServiceError
        If the person has stopped all messages.
    """
    row = get_person(account, person_id=person_id)
    if row.stopped_at is not None or not row.email:
        raise ServiceError(f"{row.name} gets no messages: let them be sent first.")
    return Message.objects.create(
        account=account,
        recipient=row,
        channel="email",
        step=0,
        due_on=now.date(),
        send_at=now,
        key=f"test:{secrets.token_hex(16)}",
    )


def _fill(account: Account, row: Recipient, stated: StatedPerson) -> None:
    if not stated.name.strip():
        raise ServiceError("Write the person’s name.")
    if not stated.email:
        raise ServiceError("Write the address that reminders go to.")
    if unknown := set(stated.kinds) - set(KINDS):
        raise ServiceError(f'There is no kind "{min(unknown)}".')
    if stated.time_zone:
        zone_named(stated.time_zone)
    if (stated.quiet_from is None) != (stated.quiet_until is None):
        raise ServiceError("Quiet hours need both a beginning and an end, or neither.")
    if not 1 <= stated.escalate_after_days <= MOST_ESCALATE_DAYS:
        raise ServiceError(f"Write 1 to {MOST_ESCALATE_DAYS} days.")
    row.name = " ".join(stated.name.split())
    row.email, row.daily = stated.email, stated.daily
    row.kinds = {"kinds": sorted(stated.kinds)} if stated.kinds else {}
    row.sites = {"sites": sorted(stated.sites)} if stated.sites else {}
    row.morning = stated.morning
    row.quiet_from, row.quiet_until = stated.quiet_from, stated.quiet_until
    # A letter of the day needs a zone of its own: its sites may lie in several.
    row.time_zone = stated.time_zone or (office_zone(account) if stated.daily else "")
    row.escalate_to = _second(account, row, stated.escalate_to)
    row.escalate_after_days = stated.escalate_after_days


def _second(account: Account, row: Recipient, second: int | None) -> Recipient | None:
    if second is None:
        return None
    if second == row.pk:
        raise ServiceError("Nobody can stand in for themselves: choose someone else.")
    return get_person(account, person_id=second)


def _claimed(account: Account, person_id: int, version: int) -> Recipient:
    row = get_person(account, person_id=person_id)
    if row.version != version:
        raise ConflictError(
            f"{row.name} was changed by someone else since you opened it: open it again "
            "and make your change there; nothing of yours was stored."
        )
    return row
