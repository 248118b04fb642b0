"""A visit for a shutdown or a start-up carries the site's list of that season."""

from datetime import datetime
from typing import TYPE_CHECKING, Final, cast

from django.db import transaction

from maintenance.engine.units import UnitSystem
from maintenance.models import Account, SeasonList, Visit, ZoneOutcome
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.seasons.choices import ListChoices
from maintenance.services.seasons.compile import compile_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.visits.holding import claim_one, get_one
from maintenance.services.visits.words import SEASONS

if TYPE_CHECKING:
    from maintenance.engine.procedure.step import Season

OPEN_ENDS: Final = ("", "partly", "not_found")
"""A zone that ended so keeps the visit open."""
NAMED: Final = 4
"""So many zones are named in the sentence."""


def find_list(visit: Visit) -> SeasonList | None:
    """Return the list that a visit of a season carries; two queries at most.

    The open one, else the newest closed one in which no zone stayed open: what a
    closed list left open is carried out on a new list.
    """
    if visit.kind not in SEASONS:
        return None
    lists = SeasonList.objects.filter(
        site=visit.site_id, season=visit.kind, year=visit.season_year or 0
    )
    found = lists.filter(closed_at=None).first()
    if found is not None:
        return found
    left_open = ZoneOutcome.objects.filter(
        list__in=lists, retired_at=None, outcome__in=OPEN_ENDS
    )
    closed = lists.exclude(pk__in=left_open.values("list"))
    return closed.order_by("-closed_at", "-pk").first()


def open_list_for_visit(
    account: Account,
    *,
    visit_id: int,
    version: int,
    units: UnitSystem = "us",
    now: datetime,
    actor: str,
) -> int:
    """Attach the season's list to a visit, compiled and opened now if there is none.

    It is compiled with the compressor of the visit and the usual choices; whoever
    wants others opens it at the site first. Returns the number of the list.

    Raises
    ------
    ConflictError
        If someone else changed the visit, or the site, meanwhile.
    ServiceError
        If the visit is for no season, or nothing at the site can be compiled.
    """
    visit = get_one(Visit, account, visit_id)
    if visit.kind not in SEASONS:
        raise ServiceError("Only a visit for a shutdown or a start-up has a list.")
    there = find_list(visit)
    compiled = None
    if there is None:  # before any transaction: it may take a second
        compiled = compile_list(
            account,
            site_key=visit.site.key,
            season=cast("Season", visit.kind),
            compressor=visit.compressor.key if visit.compressor else None,
            choices=ListChoices(units=units),
            now=now,
        )
    with transaction.atomic():
        row = claim_one(Visit, account, visit_id, version)
        if compiled is not None and row.season_year is not None:
            list_id = open_season_list(
                account,
                site_key=row.site.key,
                compiled=compiled,
                year=row.season_year,
                now=now,
                actor=actor,
            )
            there = SeasonList.objects.get(pk=list_id)
        row.season_list = there
        change_rows(Visit, [row], ["season_list", "version"], Act(actor, now))
    if there is None:
        raise ServiceError("There is no list to open: plan the visit with its year.")
    return there.pk


def zones_still_open(visit: Visit) -> list[ZoneOutcome]:
    """Return the zones that keep a visit open, in order; one query."""
    if visit.season_list_id is None:
        return []
    zones = ZoneOutcome.objects.filter(
        list=visit.season_list_id, retired_at=None, outcome__in=OPEN_ENDS
    )
    return list(zones.order_by("rank", "pk"))


def refuse_open_zones(visit: Visit, note: str) -> None:
    """Refuse to end a visit of a season as done while zones of its list are open."""
    if visit.kind not in SEASONS:
        return
    if visit.season_list_id is None:
        if not note:
            raise ServiceError(
                f"No {SEASONS[visit.kind]} list was carried out: open it first, or "
                "write in the note how it was done without one."
            )
        return
    zones = zones_still_open(visit)
    if zones:
        raise ServiceError(
            f"The visit cannot end as done: {_named(zones)}. Tell how they ended in "
            "the list, or end the visit as partly done."
        )


def _named(zones: list[ZoneOutcome]) -> str:
    told = [_zone_words(zone) for zone in zones[:NAMED]]
    if len(zones) > NAMED:
        told.append(f"and {len(zones) - NAMED} more zones")
    return ", ".join(told)


def _zone_words(zone: ZoneOutcome) -> str:
    ends = {
        "": "has no outcome",
        "partly": "is partly done",
        "not_found": "was not found",
    }
    name = f" ({zone.name})" if zone.name else ""
    return f"zone {zone.zone}{name} {ends[zone.outcome]}"
