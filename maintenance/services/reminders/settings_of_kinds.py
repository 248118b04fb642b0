"""What an account states of each kind: its steps, and what its dates are counted by."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from maintenance.engine.reminding.kinds import KINDS
from maintenance.engine.reminding.planning_days import (
    MOST_LEAD_DAYS,
    SHUTDOWN_LEAD_DAYS,
    STARTUP_LEAD_DAYS,
    next_audit,
)
from maintenance.engine.reminding.steps import Steps, steps_of
from maintenance.models import Account, ReminderSteps
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

LEADS = {
    "shutdown_planning": SHUTDOWN_LEAD_DAYS,
    "startup_planning": STARTUP_LEAD_DAYS,
}


@dataclass(frozen=True, slots=True)
class KindSettings:
    """How a kind is reminded of; ``lead_days``, ``rule`` and ``first`` where it has them."""

    kind: str
    steps: Steps
    stated: bool
    lead_days: int | None = None
    rule: str = ""
    first: date | None = None

    @property
    def name(self) -> str:
        """What people call the kind."""
        return KINDS[self.kind]


def settings_of_kinds(account: Account) -> list[KindSettings]:
    """Return the settings of every kind, in one query."""
    kept = dict(ReminderSteps.objects.for_account(account).values_list("kind", "steps"))
    return [_settings(kind, kept.get(kind)) for kind in KINDS]


def settings_of(account: Account, kind: str) -> KindSettings:
    """Return the settings of a kind.

    Raises
    ------
    NotFoundError
        If there is no such kind.
    """
    if kind not in KINDS:
        raise NotFoundError(f'There is no kind "{kind}".')
    return next(each for each in settings_of_kinds(account) if each.kind == kind)


@transaction.atomic
def state_settings(
    account: Account, *, settings: KindSettings, now: datetime, actor: str
) -> None:
    """State how a kind is reminded of, from now on.

    Raises
    ------
    ServiceError
        If a number of days is out of range, or a rule has no first day.
    InputError
        If the owner's rule cannot be read.
    """
    record: dict[str, Any] = {
        "days": list(settings.steps.days),
        "weekly": settings.steps.weekly,
    }
    if settings.kind in LEADS and settings.lead_days is not None:
        if not 0 <= settings.lead_days <= MOST_LEAD_DAYS:
            raise ServiceError(f"Write 0 to {MOST_LEAD_DAYS} days.")
        record["lead_days"] = settings.lead_days
    if settings.kind == "head_audit" and settings.rule:
        if settings.first is None:
            raise ServiceError(
                "Write when the first audit is due, for sites without one."
            )
        next_audit(settings.rule, last=settings.first, first=settings.first)
        record |= {"rule": settings.rule, "first": settings.first.isoformat()}
    act = Act(actor, now)
    rows = ReminderSteps.objects.for_account(account).filter(kind=settings.kind)
    row = rows.first()
    if row is None:
        new = ReminderSteps(account=account, kind=settings.kind, steps=record)
        add_rows(ReminderSteps, [new], act)
    else:
        row.steps = record
        change_rows(ReminderSteps, [row], ["steps"], act)


def _settings(kind: str, record: Mapping[str, Any] | None) -> KindSettings:
    told = record or {}
    first = told.get("first")
    return KindSettings(
        kind,
        steps_of(kind, record),
        stated=record is not None,
        lead_days=told.get("lead_days", LEADS.get(kind)),
        rule=str(told.get("rule", "")),
        first=date.fromisoformat(first) if first else None,
    )
