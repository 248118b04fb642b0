"""What befell an assembly: written down once, taken back and never deleted."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from maintenance.models import Account, AssemblyEvent, Device
from maintenance.models.assemblies import HAPPENED
from maintenance.services.backflow.assembly_rows import (
    FIRST_DAY,
    day_at,
    hold_assembly,
)
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

MOVED = ("removed", "reinstalled")


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """What a person reports; ``stored_at`` tells where a removed one is, and with whom."""

    kind: str
    on: date
    stored_at: str = ""
    note: str = ""


@transaction.atomic
def record_event(
    account: Account, *, device_id: int, told: Happened, now: datetime, actor: str
) -> int:
    """Record what befell an assembly; the same told twice is kept once.

    Raises
    ------
    ServiceError
        If it cannot be so.
    ConflictError
        If something else stands on record for the same kind and day, or it is out
        already.
    """
    if told.kind not in HAPPENED:
        raise ServiceError(
            f'"{told.kind[:40]}" is nothing that can befall an assembly.'
        )
    device = hold_assembly(account, device_id)
    today = day_at(device.site, now)
    if told.on > today:
        raise ServiceError(
            f"The day {told.on} is still to come at the site: write it down once it "
            "has happened."
        )
    if told.on < FIRST_DAY:
        raise ServiceError(f"The day {told.on} is too long ago: look at the year.")
    if told.stored_at.strip() and told.kind != "removed":
        raise ServiceError(
            "Only an assembly that is taken out is stored: leave that line empty."
        )
    standing = standing_events(device)
    twin = next((e for e in standing if (e.kind, e.on) == (told.kind, told.on)), None)
    if twin is not None:
        if (twin.stored_at, twin.note) == (told.stored_at.strip(), told.note.strip()):
            return twin.pk
        raise ConflictError(
            f"That it was {told.kind.replace('_', ' ')} on {told.on} stands on record "
            "already, in other words: take that back first if it is wrong."
        )
    out = out_since(standing)
    if told.kind == "removed" and out is not None and out.on <= told.on:
        raise ConflictError(
            f"It is on record as taken out on {out.on}: write down first when it was "
            "put back, or take that back."
        )
    row = AssemblyEvent(
        device=device,
        kind=told.kind,
        on=told.on,
        stored_at=told.stored_at.strip(),
        note=told.note.strip(),
        reported_by=actor,
        reported_at=now,
    )
    add_rows(AssemblyEvent, [row], Act(actor, now))
    return row.pk


@transaction.atomic
def take_back_event(
    account: Account, *, device_id: int, event_id: int, now: datetime, actor: str
) -> None:
    """Take back what was reported; one that is taken back already stays so."""
    device = hold_assembly(account, device_id)
    row = AssemblyEvent.objects.filter(device=device, pk=event_id).first()
    if row is None:
        raise NotFoundError("There is nothing of that kind at this assembly.")
    if row.undone_at is not None:
        return
    undo_events([row], Act(actor, now))


def undo_events(rows: list[AssemblyEvent], act: Act) -> None:
    """Take events back."""
    for row in rows:
        row.undone_at = act.now
    change_rows(AssemblyEvent, rows, ["undone_at"], act)


def standing_events(device: Device) -> list[AssemblyEvent]:
    """Return what stands on record of an assembly, in the order in which it happened."""
    rows = AssemblyEvent.objects.filter(device=device, undone_at=None)
    return list(rows.order_by("on", "reported_at", "pk"))


def out_since(standing: list[AssemblyEvent]) -> AssemblyEvent | None:
    """Return the removal of an assembly that was not put back since, if it is out."""
    moved = [event for event in standing if event.kind in MOVED]
    return moved[-1] if moved and moved[-1].kind == "removed" else None
