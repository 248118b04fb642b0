"""How the zones of a list ended."""

from datetime import datetime

from django.db import transaction

from maintenance.engine.procedure.progress import ZoneEnd
from maintenance.models import Account, ZoneOutcome
from maintenance.models.season import ZONE_ENDS
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.seasons.holding import closed, hold_list


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
    told = _told(zone, outcome, note.strip())
    with transaction.atomic():
        row, open_ = hold_list(account, list_id)
        kept = ZoneOutcome.objects.for_account(account).filter(list=row, zone=zone)
        ended = kept.first()
        if ended is None:
            raise NotFoundError(
                f"There is no zone {zone} in this list: look at the list."
            )
        if (ended.outcome, ended.note) == told:
            return False
        if not open_:
            raise closed(row)
        if ended.outcome != (seen or ""):
            raise ConflictError(
                f"Someone else said meanwhile how zone {zone} ended: open the list "
                "again and look; nothing of yours was stored."
            )
        ended.outcome, ended.note = told
        change_rows(ZoneOutcome, [ended], ["outcome", "note"], Act(actor, now))
    return True


def _told(zone: str, outcome: ZoneEnd | None, note: str) -> tuple[str, str]:
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
