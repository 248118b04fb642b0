"""A person adds a step, moves one, or writes on the list.

Whether the list still holds its rules is for the caller to check: `WholeList.procedure`
is what a checker takes.
"""

import math
from datetime import datetime

from django.db import transaction

from maintenance.engine.procedure.step import Step
from maintenance.engine.procedure.step_record import step_to_record
from maintenance.models import Account, ListStep, SeasonList
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.seasons.holding import hold_open_list
from maintenance.services.seasons.step_rows import (
    OWN_PREFIX,
    keep_order,
    new_step,
    rows_in_order,
)


def add_step(
    account: Account,
    *,
    list_id: int,
    step: Step,
    after: int | None,
    now: datetime,
    actor: str,
) -> int:
    """Add a step of one's own and return its number; sent twice, it is added once.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    step : Step
        The step, its key from `step_rows.own_key`.
    after : int or None
        Number of the step that it stands behind, None for the head of the list.
    now : datetime
        When this happens.
    actor : str
        Who does it.

    Raises
    ------
    NotFoundError
        If there is no such list, or no such step to stand behind.
    ServiceError
        If the step says nothing or cannot be kept.
    ConflictError
        If the list is closed, or another step has that key.
    """
    _refuse_unfit(step)
    with transaction.atomic():
        row = hold_open_list(account, list_id)
        rows = rows_in_order(row)
        twin = next((each for each in rows if each.key == step.key), None)
        if twin is not None:
            if twin.record != step_to_record(step):
                raise ConflictError(
                    "Another step was added under this one's key: add it again as a "
                    "new one; nothing was stored."
                )
            return twin.pk
        place = _place_behind(rows, after)
        added = new_step(row, step, place, own=True)
        add_rows(ListStep, [added], Act(actor, now))
        keep_order([*rows[:place], added, *rows[place:]])
    return added.pk


def move_step(
    account: Account,
    *,
    list_id: int,
    step: int,
    after: int | None,
    now: datetime,
    actor: str,
) -> None:
    """Put a step behind another, or at the head; there it stays in a rebuild.

    Raises
    ------
    NotFoundError
        If there is no such list or step.
    ServiceError
        If a rebuild left the step out.
    ConflictError
        If the list is closed.
    """
    with transaction.atomic():
        row = hold_open_list(account, list_id)
        rows = rows_in_order(row)
        moving = _numbered(rows, step)
        if moving.retired_at is not None:
            raise ServiceError(
                "This step is no longer part of the list: it stays where it was done."
            )
        if after == step:
            return
        # What was done under the same key before a rebuild stays ahead of it.
        block = [e for e in rows if e.key == moving.key and e.pk != after]
        others = [each for each in rows if each not in block]
        place = _place_behind(others, after)
        ordered = [*others[:place], *block, *others[place:]]
        if ordered == rows:
            return
        moving.placed = True
        change_rows(ListStep, [moving], ["placed"], Act(actor, now))
        keep_order(ordered)


@transaction.atomic
def write_notes(
    account: Account,
    *,
    list_id: int,
    notes: str,
    seen: str,
    now: datetime,
    actor: str,
) -> None:
    """Write the notes of an open list in place of those seen.

    Raises
    ------
    NotFoundError
        If there is no such list.
    ConflictError
        If the list is closed, or its notes are no longer those seen.
    """
    row = hold_open_list(account, list_id)
    if row.notes == notes:
        return
    if row.notes != seen:
        raise ConflictError(
            "Someone else wrote notes on this list since you opened it: read theirs, "
            "then write yours again; nothing of yours was stored."
        )
    row.notes = notes
    change_rows(SeasonList, [row], ["notes"], Act(actor, now))


def _refuse_unfit(step: Step) -> None:
    if not step.text.strip():
        raise ServiceError("The step says nothing: write what is to be done.")
    if not step.key.startswith(OWN_PREFIX) or step.key == OWN_PREFIX:
        raise ServiceError(
            f'The step cannot be kept as "{step.key}": a step of your own needs a key '
            f'that begins with "{OWN_PREFIX}".'
        )
    if not (math.isfinite(step.minutes) and step.minutes >= 0):
        raise ServiceError(
            f"A step cannot take {step.minutes} minutes: write how long it takes, or 0."
        )


def _numbered(rows: list[ListStep], step: int) -> ListStep:
    for each in rows:
        if each.pk == step:
            return each
    raise NotFoundError(
        f"There is no step {step} in this list: open the list again and choose there."
    )


def _place_behind(rows: list[ListStep], after: int | None) -> int:
    return 0 if after is None else rows.index(_numbered(rows, after)) + 1
