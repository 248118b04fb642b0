"""What is done of a list, reported step by step; a report sent twice is kept once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from textwrap import shorten
from typing import Any, Final

from django.db import transaction

from maintenance.engine.procedure.progress import Outcome
from maintenance.engine.procedure.reading import read_reading
from maintenance.models import Account, ListStep, SeasonList, StepRecord
from maintenance.models.season import LONGEST_ID, NAME_LENGTH, OUTCOMES
from maintenance.services.backflow.step_events import follow_steps, take_back_with
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.seasons.holding import closed, hold_list

LONGEST_S: Final = 7 * 86_400
"""A step that takes more than a week was not timed but forgotten."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A report of one step.

    ``client_id`` is made where it is reported, a new one for each report. ``who`` did
    it and when; without them it was the one who sends it, now. The time is that of the
    deed, not of its arrival.
    """

    step: int
    client_id: str
    outcome: Outcome
    reason: str = ""
    who: str = ""
    done_at: datetime | None = None
    reading: str = ""
    seconds: float | None = None
    note: str = ""


def record_step(
    account: Account, *, list_id: int, tick: Tick, now: datetime, actor: str
) -> bool:
    """Store the report of one step; return whether it was new. See `record_steps`."""
    return (
        record_steps(account, list_id=list_id, ticks=[tick], now=now, actor=actor) > 0
    )


def skip_step(
    account: Account,
    *,
    list_id: int,
    step: int,
    client_id: str,
    reason: str,
    now: datetime,
    actor: str,
) -> bool:
    """Report that a step is skipped, and why; return whether that was new."""
    tick = Tick(step=step, client_id=client_id, outcome="skipped", reason=reason)
    return record_step(account, list_id=list_id, tick=tick, now=now, actor=actor)


def record_steps(
    account: Account,
    *,
    list_id: int,
    ticks: Sequence[Tick],
    now: datetime,
    actor: str,
) -> int:
    """Store reports of steps, all of them or none; return how many were new.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    ticks : sequence of Tick
        The reports. One of a step that a rebuild left out is stored too: it was done.
    now : datetime
        When they arrive.
    actor : str
        Who sends them.

    Raises
    ------
    NotFoundError
        If there is no such list, or it has no such step.
    ServiceError
        If a report cannot be true, or a skipped step has no reason.
    ConflictError
        If the list is closed, a step has an outcome already, or another report came
        under the same id.
    """
    reports = [(tick, _columns(tick, now=now, actor=actor)) for tick in ticks]
    with transaction.atomic():
        row, open_ = hold_list(account, list_id)
        steps = _steps(account, row, [tick.step for tick in ticks])
        kept = {
            (record.step_id, record.client_id): record
            for record in StepRecord.objects.filter(step__in=steps.values())
        }
        standing = {r.step_id: r for r in kept.values() if r.undone_at is None}
        new: list[StepRecord] = []
        for tick, columns in reports:
            twin = kept.get((tick.step, tick.client_id))
            if twin is not None:
                _refuse_another(twin, tick, columns, steps[tick.step])
                continue
            if not open_:
                raise closed(row)
            if tick.step in standing:
                raise _has_outcome(steps[tick.step], standing[tick.step])
            record = StepRecord(step=steps[tick.step], **columns)
            kept[tick.step, tick.client_id] = standing[tick.step] = record
            new.append(record)
        add_rows(StepRecord, new, Act(actor, now))
        follow_steps(row, new, Act(actor, now))
    return len(new)


@transaction.atomic
def undo_step(
    account: Account,
    *,
    list_id: int,
    step: int,
    client_id: str,
    now: datetime,
    actor: str,
) -> bool:
    """Take a report back; it stays in the history. Return whether it still stood.

    Raises
    ------
    NotFoundError
        If there is no such list, step or report.
    ConflictError
        If the list is closed.
    """
    row, open_ = hold_list(account, list_id)
    of_step = StepRecord.objects.for_account(account).filter(step__list=row, step=step)
    record = of_step.filter(client_id=client_id).first()
    if record is None:
        raise NotFoundError(
            "There is nothing to take back: this step has no such report. Open the "
            "list again and look."
        )
    if record.undone_at is not None:
        return False
    if not open_:
        raise closed(row)
    record.undone_at, record.undone_by = now, actor
    change_rows(StepRecord, [record], ["undone_at", "undone_by"], Act(actor, now))
    take_back_with(record, Act(actor, now))
    return True


def step_name(row: ListStep) -> str:
    """Return how a sentence calls a step."""
    return f'"{shorten(row.record["text"], 60, placeholder=" …")}"'


def _columns(tick: Tick, *, now: datetime, actor: str) -> dict[str, Any]:
    """Return what is kept of a report, or refuse it."""
    reason = tick.reason.strip()
    if tick.outcome not in OUTCOMES:
        raise ServiceError(
            f'A step cannot end as "{tick.outcome}": write done or skipped.'
        )
    if tick.outcome == "skipped" and not reason:
        raise ServiceError(
            "A skipped step needs its reason: write why, in a few words."
        )
    if not 0 < len(tick.client_id) <= LONGEST_ID:
        raise ServiceError(
            f"The report needs an id of its own of 1 to {LONGEST_ID} characters: send "
            "it again."
        )
    if len(tick.who) > NAME_LENGTH:
        raise ServiceError(
            f"The name of who did it is too long: write it in {NAME_LENGTH} characters."
        )
    if tick.seconds is not None and not 0 <= tick.seconds <= LONGEST_S:
        raise ServiceError(
            f"A step cannot take {tick.seconds} seconds: write how many it took, or "
            "leave them out."
        )
    if tick.done_at is not None and tick.done_at.utcoffset() is None:
        raise ServiceError(
            f"{tick.done_at} says nothing of its time zone: write the time with it."
        )
    reading = read_reading(tick.reading)
    return {
        "client_id": tick.client_id,
        "outcome": tick.outcome,
        "reason": reason,
        "who": tick.who or actor,
        "done_at": tick.done_at or now,
        "received_at": now,
        "reading": reading.text,
        "reading_si": reading.value,
        "reading_kind": reading.kind,
        "seconds": tick.seconds,
        "note": tick.note,
    }


def _steps(
    account: Account, row: SeasonList, wanted: Iterable[int]
) -> dict[int, ListStep]:
    rows = ListStep.objects.for_account(account).filter(list=row, pk__in=set(wanted))
    found = {each.pk: each for each in rows}
    for step in wanted:
        if step not in found:
            raise NotFoundError(
                f"There is no step {step} in this list: open the list again and look."
            )
    return found


def _refuse_another(
    kept: StepRecord, tick: Tick, columns: dict[str, Any], step: ListStep
) -> None:
    """Refuse a report that came under the id of another; the first one stands."""
    same = ["outcome", "reason", "reading", "seconds", "note"]
    same += ["who"] if tick.who else []
    same += ["done_at"] if tick.done_at else []
    if any(getattr(kept, name) != columns[name] for name in same):
        raise ConflictError(
            f"The step {step_name(step)} was reported otherwise under the same id: "
            "open the list again and see what stands there; nothing was stored."
        )


def _has_outcome(step: ListStep, record: StepRecord) -> ConflictError:
    return ConflictError(
        f"{record.who} already reported the step {step_name(step)} as "
        f"{record.outcome}: nothing was stored. Take that back first if it is wrong."
    )
