"""Whom an account tells, and when: rows as the plan's own values."""

from collections.abc import Iterable

from maintenance.engine.calendar.local_time import zone_named
from maintenance.engine.errors import InputError
from maintenance.engine.reminding.plan import Owed, Reader, Telling
from maintenance.engine.reminding.quiet import Quiet
from maintenance.engine.reminding.steps import Steps, steps_of
from maintenance.models import (
    Account,
    Obligation,
    Recipient,
    ReminderSteps,
    Site,
    Webhook,
)


def telling_of(account: Account) -> Telling:
    """Return everybody that an account tells and its steps, in four queries."""
    sites = dict(Site.objects.for_account(account).values_list("key", "pk"))
    people = Recipient.objects.for_account(account).standing().order_by("pk")
    hooks = Webhook.objects.for_account(account).standing().order_by("pk")
    readers = [reader_of(row, sites) for row in people]
    readers += [
        Reader(row.pk, "webhook", kinds=_named(row.kinds, "kinds"), since=row.added_at)
        for row in hooks
    ]
    return Telling(tuple(readers), stated_steps(account))


def stated_steps(account: Account) -> dict[str, Steps]:
    """Return the steps that an account has stated, by kind."""
    kept = ReminderSteps.objects.for_account(account).values_list("kind", "steps")
    return {kind: steps_of(kind, record) for kind, record in kept}


def reader_of(row: Recipient, sites: dict[str, int]) -> Reader:
    """Return a person as the plan sees them; ``sites`` gives ids for keys."""
    chosen = _named(row.sites, "sites")
    quiet = (
        Quiet(row.quiet_from, row.quiet_until)
        if row.quiet_from is not None and row.quiet_until is not None
        else None
    )
    return Reader(
        row.pk,
        "digest" if row.daily else "email",
        kinds=_named(row.kinds, "kinds"),
        # A site that is gone leaves its place empty, not open to all.
        sites=frozenset(sites.get(key, 0) for key in chosen),
        morning=row.morning,
        quiet=quiet,
        zone=known_zone(row.time_zone) if row.time_zone or row.daily else "",
        since=row.added_at,
        silent=row.stopped_at is not None or not row.email,
        escalate_to=row.escalate_to_id,
        escalate_after_days=row.escalate_after_days,
    )


def owed_of(rows: Iterable[Obligation]) -> list[Owed]:
    """Return obligations as the plan sees them."""
    return [
        Owed(
            row.pk,
            row.kind,
            row.site_id,
            row.due_on,
            known_zone(row.time_zone),
            row.remind_from,
            row.snoozed_until,
        )
        for row in rows
    ]


def known_zone(name: str) -> str:
    """Return a zone that this machine knows; one wrong name must not silence all."""
    try:
        zone_named(name)
    except InputError:
        return "UTC"
    return name if name else "UTC"


def _named(record: dict[str, object], key: str) -> frozenset[str]:
    names = record.get(key) or ()
    return (
        frozenset(str(each) for each in names)
        if isinstance(names, list)
        else frozenset()
    )
