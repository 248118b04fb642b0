"""How the zones of a list ended."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from maintenance.engine.procedure.progress import ZoneEnd
from maintenance.models import Account, ZoneOutcome
from maintenance.models.season import ZONE_ENDS
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.seasons.holding import closed, hold_list


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneTold:
    """How one zone ended; ``seen`` stood there when this outcome was chosen."""

    zone: str
    outcome: ZoneEnd | None
    seen: ZoneEnd | None = None
    note: str = ""


def set_zone_outcome(
    account: Account,
    *,
    list_id: int,
    zone: str,
    outcome: ZoneEnd | None,
    seen: ZoneEnd | None,
    note: str = "",
    now: datetime,
    actor: str,
) -> bool:
    """Say how a zone ended; return whether that was new.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    zone : str
        Id of the zone.
    outcome : str or None
        ``done``, ``partly``, ``not_found`` or ``skipped``; None takes it back.
    seen : str or None
        The outcome that stood there when this one was chosen.
    note : str
        What is left, or why; needed where the zone was skipped or done in part.
    now : datetime
        When this happens.
    actor : str
        Who does it.

    Raises
    ------
    NotFoundError
        If there is no such list, or it has no such zone.
    ServiceError
        If there is no such outcome, or a note is missing.
    ConflictError
        If the list is closed, or someone else told another outcome meanwhile.
    """
    told = ZoneTold(zone=zone, outcome=outcome, seen=seen, note=note)
    return (
        set_zone_outcomes(account, list_id=list_id, told=[told], now=now, actor=actor)
        > 0
    )


def set_zone_outcomes(
    account: Account,
    *,
    list_id: int,
    told: Sequence[ZoneTold],
    now: datetime,
    actor: str,
) -> int:
    """Say how zones ended, all of them or none; return how many were new.

    The arguments and refusals are those of `set_zone_outcome`.
    """
    ends = [(each, _told(each)) for each in told]
    with transaction.atomic():
        row, open_ = hold_list(account, list_id)
        zones = ZoneOutcome.objects.for_account(account).filter(list=row)
        kept = {zone.zone: zone for zone in zones}
        changed: list[ZoneOutcome] = []
        for each, end in ends:
            ended = kept.get(each.zone)
            if ended is None:
                raise NotFoundError(
                    f"There is no zone {each.zone} in this list: look at the list."
                )
            if (ended.outcome, ended.note) == end:
                continue
            if not open_:
                raise closed(row)
            if ended.outcome != (each.seen or ""):
                raise ConflictError(
                    f"Someone else said meanwhile how zone {each.zone} ended: open the "
                    "list again and look; nothing of yours was stored."
                )
            ended.outcome, ended.note = end
            changed.append(ended)
        change_rows(ZoneOutcome, changed, ["outcome", "note"], Act(actor, now))
    return len(changed)


def _told(told: ZoneTold) -> tuple[str, str]:
    zone, outcome, note = told.zone, told.outcome, told.note.strip()
    if outcome is None:
        return "", ""
    if outcome not in ZONE_ENDS:
        raise ServiceError(
            f'Zone {zone} cannot end as "{outcome}": write done, partly, not_found or '
            "skipped."
        )
    if outcome in ("partly", "skipped") and not note:
        raise ServiceError(
            f"Zone {zone} needs a note: write what is left of it, or why it was skipped."
        )
    return outcome, note
