"""What a person does about something that is due: ends it, puts it off, writes it."""

import secrets
from datetime import date, datetime, timedelta
from typing import Final

from django.db import transaction

from maintenance.engine.calendar.local_time import local_date
from maintenance.models import Account, Message, Obligation, Site
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.reminders.sources.looked import office_zone
from maintenance.services.reminders.stop_links import cancel_waiting
from maintenance.services.reminders.telling import known_zone

ENDS: Final = {
    "done": "Done",
    "done_elsewhere": "Done by someone else",
    "not_required": "Not required",
}
MOST_SNOOZE_DAYS: Final = 365


def get_obligation(account: Account, *, obligation_id: int) -> Obligation:
    """Return an obligation of an account with its site, in one query.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    found = (
        Obligation.objects.for_account(account)
        .select_related("site")
        .filter(pk=obligation_id)
        .first()
    )
    if found is None:
        raise NotFoundError("There is nothing of that number on the due list.")
    return found


@transaction.atomic
def end_obligation(
    account: Account,
    *,
    obligation_id: int,
    word: str,
    version: int,
    now: datetime,
    actor: str,
) -> Obligation:
    """End an obligation with a word; what waits to be sent about it is cancelled.

    Raises
    ------
    ServiceError
        If the word is none of ours.
    ConflictError
        If someone else changed it meanwhile.
    """
    row = _claimed(account, obligation_id, version)
    if word not in ENDS:
        raise ServiceError(
            "Say how it ended: done, done by someone else, not required."
        )
    row.ended_at, row.ended_as, row.ended_by = now, word, actor
    _change(row, ["ended_at", "ended_as", "ended_by"], Act(actor, now))
    cancel_waiting(
        Message.objects.filter(obligation=row), "It ended before this was sent."
    )
    return row


@transaction.atomic
def reopen_obligation(
    account: Account, *, obligation_id: int, version: int, now: datetime, actor: str
) -> Obligation:
    """Take the end of an obligation back.

    Raises
    ------
    ConflictError
        If someone else changed it meanwhile.
    """
    row = _claimed(account, obligation_id, version)
    row.ended_at, row.ended_as, row.ended_by = None, "", ""
    _change(row, ["ended_at", "ended_as", "ended_by"], Act(actor, now))
    return row


@transaction.atomic
def snooze(
    account: Account,
    *,
    obligation_id: int,
    until: date,
    version: int,
    now: datetime,
    actor: str,
) -> Obligation:
    """Let nobody be told before a day; on that day it is told again.

    Raises
    ------
    ServiceError
        If the day is not ahead, or more than a year ahead.
    ConflictError
        If someone else changed it meanwhile.
    """
    row = _claimed(account, obligation_id, version)
    today = local_date(now, known_zone(row.time_zone))
    if not today < until <= today + timedelta(days=MOST_SNOOZE_DAYS):
        raise ServiceError(
            f"Put it off until a day after {today}, and by a year at most."
        )
    row.snoozed_until = until
    _change(row, ["snoozed_until"], Act(actor, now))
    cancel_waiting(Message.objects.filter(obligation=row), f"Put off until {until}.")
    return row


@transaction.atomic
def add_obligation(
    account: Account,
    *,
    what: str,
    due_on: date,
    why: str = "",
    site_key: str = "",
    now: datetime,
    actor: str,
) -> Obligation:
    """Write something of one's own that is due.

    Raises
    ------
    ServiceError
        If it says nothing, or its date is out of reach.
    NotFoundError
        If there is no such site.
    """
    what = " ".join(what.split())
    if not what:
        raise ServiceError("Say what is due.")
    site = get_row(Site, account, site_key) if site_key else None
    zone = known_zone(site.time_zone) if site else office_zone(account)
    today = local_date(now, zone)
    if abs((due_on - today).days) > 3660:
        raise ServiceError(f"{due_on} is more than ten years away: see the year.")
    row = Obligation(
        account=account,
        site=site,
        kind="custom",
        about=f"custom:{secrets.token_hex(8)}",
        what=what,
        why=why.strip() or f"Written by {actor} on {today}.",
        due_on=due_on,
        time_zone=zone,
    )
    add_rows(Obligation, [row], Act(actor, now))
    return row


@transaction.atomic
def send_again(account: Account, *, message_id: int) -> None:
    """Let a message that failed or is uncertain be sent once more, as a person decides.

    Raises
    ------
    NotFoundError
        If there is no such message.
    ConflictError
        If it has neither failed nor is uncertain.
    """
    messages = Message.objects.for_account(account).filter(pk=message_id)
    if not messages.exists():
        raise NotFoundError("There is no reminder of that number.")
    changed = messages.filter(state="failed").update(state="due", lease_until=None)
    changed += messages.filter(state="uncertain").update(
        state="due", lease_until=None, maybe_twice=0
    )
    if not changed:
        raise ConflictError("This reminder has neither failed nor is it uncertain now.")


def _claimed(account: Account, obligation_id: int, version: int) -> Obligation:
    row = get_obligation(account, obligation_id=obligation_id)
    claimed = Obligation.objects.filter(pk=row.pk, version=version).update(
        version=version + 1
    )
    if claimed != 1:
        raise ConflictError(
            "This was changed by someone else since you opened it: open it again and "
            "make your change there; nothing of yours was stored."
        )
    row.version = version + 1
    return row


def _change(row: Obligation, columns: list[str], act: Act) -> None:
    change_rows(Obligation, [row], columns, act)
