"""A visit is carried out: begun, written down, ended with an outcome."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction

from maintenance.engine.procedure.reading import read_reading
from maintenance.models import Account, Visit
from maintenance.models.visits import OUTCOMES
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.visits.calls import settle_call
from maintenance.services.visits.holding import claim_one, not_before
from maintenance.services.visits.season_of_visit import find_list, refuse_open_zones
from maintenance.services.visits.words import (
    NEEDS_A_NOTE,
    OUTCOMES as OUTCOME_WORDS,
    STATES,
)

LONGEST_VISIT: Final = timedelta(days=14)
"""A longer one was not timed but forgotten."""
MOST_READINGS: Final = 40
_ON_SITE: Final = ("done", "partly", "not_found")


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitReport:
    """What is written down on a visit; times are left as they are where None.

    ``readings`` has one to a line, such as ``static pressure: 48 psi``.
    """

    notes: str = ""
    parts_used: str = ""
    readings: str = ""
    arrived_at: datetime | None = None
    left_at: datetime | None = None


@transaction.atomic
def start_visit(
    account: Account, *, visit_id: int, version: int, now: datetime, actor: str
) -> None:
    """Begin a visit: someone is there. Its season's list is attached if there is one.

    Raises
    ------
    ConflictError
        If someone else changed the visit meanwhile.
    ServiceError
        If it is not planned any more.
    """
    row = claim_one(Visit, account, visit_id, version)
    if row.state != "planned":
        raise ServiceError(f"The visit is {STATES[row.state]}: it cannot begin again.")
    row.state, row.arrived_at = "under_way", now
    row.worker = row.worker or actor
    row.season_list = row.season_list or find_list(row)
    columns = ["state", "arrived_at", "worker", "season_list", "version"]
    change_rows(Visit, [row], columns, Act(actor, now))


@transaction.atomic
def write_report(
    account: Account,
    *,
    visit_id: int,
    version: int,
    report: VisitReport,
    now: datetime,
    actor: str,
) -> None:
    """Write down notes, parts used and readings in place of those seen.

    Raises
    ------
    ConflictError
        If someone else changed the visit meanwhile.
    ServiceError
        If a time cannot be, or a reading has no name.
    """
    readings = readings_of(report.readings)
    row = claim_one(Visit, account, visit_id, version)
    row.notes = report.notes.strip()
    row.parts_used = report.parts_used.strip()
    row.readings = readings
    if report.arrived_at and row.arrived_at:
        row.arrived_at = report.arrived_at
    if report.left_at and row.left_at:
        row.left_at = report.left_at
    _refuse_times(row, now)
    columns = ["notes", "parts_used", "readings", "arrived_at", "left_at", "version"]
    change_rows(Visit, [row], columns, Act(actor, now))


@transaction.atomic
def end_visit(
    account: Account,
    *,
    visit_id: int,
    version: int,
    outcome: str,
    note: str = "",
    now: datetime,
    actor: str,
) -> None:
    """End a visit with its outcome; its call closes if nothing is left to do for it.

    Where nobody was let in, or the work was refused or done by others, a planned visit
    ends without having begun.

    Raises
    ------
    ConflictError
        If someone else changed the visit meanwhile.
    ServiceError
        If there is no such outcome, a note is missing, or a season's list has zones
        that are open.
    """
    written = note.strip()
    if outcome not in OUTCOMES:
        raise ServiceError("Choose how the visit ended.")
    if outcome in NEEDS_A_NOTE and not written:
        raise ServiceError(
            f'A visit that ends as "{OUTCOME_WORDS[outcome]}" needs a note: write why, '
            "or what is left, for whoever goes next."
        )
    row = claim_one(Visit, account, visit_id, version)
    if row.state not in ("planned", "under_way"):
        raise ServiceError(f"The visit is {STATES[row.state]} already.")
    if row.state == "planned" and outcome in _ON_SITE:
        raise ServiceError("Nobody has begun this visit: begin it, then end it.")
    if outcome == "done":
        row.season_list = row.season_list or find_list(row)
        refuse_open_zones(row, written)
    act = Act(actor, now)
    row.state, row.outcome, row.outcome_note = "ended", outcome, written
    row.left_at = not_before(now, row.arrived_at)
    row.worker = row.worker or actor
    columns = ["state", "outcome", "outcome_note", "left_at", "worker", "season_list"]
    change_rows(Visit, [row], [*columns, "version"], act)
    settle_call(row, act)


@transaction.atomic
def take_up_again(
    account: Account, *, visit_id: int, version: int, now: datetime, actor: str
) -> None:
    """Take the ending of a visit back, or that it was called off.

    The history keeps what stood there. Its call stays as it is.
    """
    row = claim_one(Visit, account, visit_id, version)
    if row.state not in ("ended", "called_off"):
        raise ServiceError(f"The visit is {STATES[row.state]}: it goes on already.")
    row.state = "under_way" if row.arrived_at else "planned"
    row.outcome, row.left_at = "", None
    columns = ["state", "outcome", "left_at", "version"]
    change_rows(Visit, [row], columns, Act(actor, now))


def readings_of(text: str) -> dict[str, dict[str, object]]:
    """Read readings, one to a line: what was read, a colon, the reading."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > MOST_READINGS:
        raise ServiceError(f"Write {MOST_READINGS} readings at most, one to a line.")
    found: dict[str, dict[str, object]] = {}
    for line in lines:
        name, colon, written = (part.strip() for part in line.partition(":"))
        if not (name and colon and written):
            raise ServiceError(
                f'"{line[:60]}" is no reading: write what was read, a colon and the '
                'reading, such as "static pressure: 48 psi".'
            )
        if name in found:
            raise ServiceError(f'"{name}" stands there twice: name each once.')
        reading = read_reading(written)
        found[name] = {
            "text": reading.text,
            "value": reading.value,
            "kind": reading.kind,
        }
    return found


def readings_text(readings: Mapping[str, Mapping[str, object]]) -> str:
    """Return readings as they are written, one to a line."""
    return "\n".join(f"{name}: {each['text']}" for name, each in readings.items())


def _refuse_times(row: Visit, now: datetime) -> None:
    begun, left = row.arrived_at, row.left_at
    if (begun and begun > now) or (left and left > now):
        raise ServiceError("A time that has not come yet cannot have been: mend it.")
    if begun and left and not begun <= left <= begun + LONGEST_VISIT:
        raise ServiceError(
            "Nobody leaves before arriving, or stays two weeks: mend the times."
        )
