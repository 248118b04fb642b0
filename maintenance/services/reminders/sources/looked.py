"""What one source found, and what its questions share."""

from dataclasses import dataclass, field

from maintenance.engine.reminding.reconcile import Found
from maintenance.models import Account, Obligation, ReminderSteps, Site
from maintenance.services.reminders.telling import known_zone


@dataclass(slots=True)
class Looked:
    """What is due of some kinds, and the places of what is known to have been done."""

    kinds: tuple[str, ...]
    found: list[Found] = field(default_factory=list)
    done: list[tuple[str, str]] = field(default_factory=list)


def office_zone(account: Account) -> str:
    """Return the zone of what belongs to no site: that of the account's first one."""
    sites = Site.objects.for_account(account).standing().order_by("pk")
    return known_zone(sites.values_list("time_zone", flat=True).first() or "")


def open_abouts(account: Account, kind: str) -> list[str]:
    """Return what the open obligations of a kind are about."""
    rows = Obligation.objects.for_account(account).filter(kind=kind, ended_at=None)
    return list(rows.values_list("about", flat=True))


def stated(account: Account, kind: str) -> dict[str, object]:
    """Return what an account has stated of a kind, beside its steps."""
    rows = ReminderSteps.objects.for_account(account).filter(kind=kind)
    return rows.values_list("steps", flat=True).first() or {}


def whole_number(record: dict[str, object], key: str, usual: int) -> int:
    """Return a number that was stated, or the usual one."""
    number = record.get(key)
    return number if isinstance(number, int) else usual
