"""A list is closed once everything in it has an outcome."""

from collections.abc import Sequence
from datetime import datetime
from textwrap import shorten
from typing import Final

from django.db import transaction

from maintenance.models import Account, SeasonList
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.seasons.holding import hold_open_list
from maintenance.services.seasons.kept_list import StepLine, WholeList, ZoneLine
from maintenance.services.seasons.read_lists import list_name, read_one

NAMED: Final = 3
"""So many steps and zones are named in the sentence; the error holds all of them."""


class UnfinishedError(ServiceError):
    """A list cannot be closed yet: ``steps`` and ``zones`` have no outcome."""

    def __init__(
        self, text: str, steps: Sequence[StepLine], zones: Sequence[ZoneLine]
    ) -> None:
        super().__init__(text)
        self.steps = tuple(steps)
        self.zones = tuple(zones)


@transaction.atomic
def close_season_list(
    account: Account, *, list_id: int, now: datetime, actor: str
) -> WholeList:
    """Close a list, keep the positions that were left, and return it as it stays.

    Raises
    ------
    NotFoundError
        If there is no such list.
    UnfinishedError
        If a step or a zone has no outcome.
    ConflictError
        If it is closed already, or the site changed and the list was not rebuilt. The
        list of a site that is retired is closed as it stands.
    """
    row = hold_open_list(account, list_id)
    whole = read_one(account, row)
    if whole.steps_left or whole.zones_left:
        raise _unfinished(row, whole)
    if whole.head.site_changed and not whole.head.site_retired:
        raise ConflictError(
            f"The site was changed since the {list_name(row)} was compiled: look at "
            "the difference and rebuild the list, then close it. What was done stays."
        )
    reached = whole.reached
    row.left = {"positions": reached.positions, "unsure": list(reached.unsure)}
    # A clock set back must not make a list end before it began.
    row.closed_at, row.closed_by = max(now, row.opened_at), actor
    change_rows(SeasonList, [row], ["left", "closed_at", "closed_by"], Act(actor, now))
    return read_one(account, row)


def _unfinished(row: SeasonList, whole: WholeList) -> UnfinishedError:
    steps, zones = whole.steps_left, whole.zones_left
    parts = [
        _some(steps, "step", [_step_words(each) for each in steps[:NAMED]]),
        _some(zones, "zone", [_zone_words(each) for each in zones[:NAMED]]),
    ]
    verb = "has" if len(steps) + len(zones) == 1 else "have"
    text = (
        f"The {list_name(row)} is not closed: {' and '.join(filter(None, parts))} "
        f"{verb} no outcome yet. Do them, or skip them and write why."
    )
    return UnfinishedError(text, steps, zones)


def _some(found: Sequence[object], what: str, names: list[str]) -> str:
    if not found:
        return ""
    more = len(found) - len(names)
    listed = ", ".join(names) + (f" and {more} more" if more else "")
    return f"{len(found)} {what}{'' if len(found) == 1 else 's'} ({listed})"


def _step_words(line: StepLine) -> str:
    text = shorten(line.step.text.rstrip("."), 60, placeholder=" …")
    return f'{line.number}: "{text}"'


def _zone_words(line: ZoneLine) -> str:
    return f"{line.zone}: {line.name}" if line.name else line.zone
