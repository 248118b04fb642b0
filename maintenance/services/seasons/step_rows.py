"""The rows of steps: a new one, one added by a person, and their order."""

from collections.abc import Iterable
from typing import Final

from maintenance.engine.procedure.step import Step
from maintenance.engine.procedure.step_record import step_to_record
from maintenance.models import ListStep, SeasonList

OWN_PREFIX: Final = "own:"


def own_key(client_id: str) -> str:
    """Return the key of a step that a person adds; no compiled step has such a key."""
    return f"{OWN_PREFIX}{client_id}"


def new_step(
    row: SeasonList, step: Step, rank: int, *, own: bool = False, placed: bool = False
) -> ListStep:
    """Return a step that is not kept yet."""
    return ListStep(
        list=row,
        key=step.key,
        rank=rank,
        record=step_to_record(step),
        own=own,
        placed=placed,
    )


def rows_in_order(row: SeasonList) -> list[ListStep]:
    """Return all steps of a list that was found for its account, gone ones too."""
    return list(ListStep.objects.filter(list=row).order_by("rank", "pk"))


def keep_order(rows: Iterable[ListStep]) -> None:
    """Keep the places of rows as they follow each other; these have no history."""
    moved = []
    for place, row in enumerate(rows):
        if row.rank != place:
            row.rank = place
            moved.append(row)
    if moved:
        ListStep.objects.bulk_update(moved, ["rank"])
