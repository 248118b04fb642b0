"""What was written on paper is entered at once: steps and zones, all of it or nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from maintenance.models import Account
from maintenance.services.seasons.carry_out import Tick, record_steps
from maintenance.services.seasons.zone_ends import ZoneTold, set_zone_outcomes


@dataclass(frozen=True, slots=True)
class Entered:
    """How many steps and zones of a paper were new."""

    steps: int
    zones: int


@transaction.atomic
def enter_from_paper(
    account: Account,
    *,
    list_id: int,
    ticks: Sequence[Tick],
    zones: Sequence[ZoneTold],
    now: datetime,
    actor: str,
) -> Entered:
    """Store all that stands on a paper; sent twice, it is stored once.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    ticks : sequence of Tick
        What the paper says of steps, each with the id that its form gave it.
    zones : sequence of ZoneTold
        What it says of zones.
    now : datetime
        When it is entered.
    actor : str
        Who enters it.

    Raises
    ------
    NotFoundError
        If there is no such list, or it has no such step or zone.
    ServiceError
        If something on it cannot be true, or lacks its reason.
    ConflictError
        If the list is closed, or a step or zone was told otherwise meanwhile.
    """
    return Entered(
        steps=record_steps(account, list_id=list_id, ticks=ticks, now=now, actor=actor),
        zones=set_zone_outcomes(
            account, list_id=list_id, told=zones, now=now, actor=actor
        ),
    )
