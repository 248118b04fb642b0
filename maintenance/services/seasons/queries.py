"""The questions about season lists; each tells how many queries it takes."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.db.models import Count, Q

from maintenance.engine.procedure.startup.autumn import AutumnRecord
from maintenance.models import Account, Link, ListStep, SeasonList, Site, ZoneOutcome
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.claims import get_row
from maintenance.services.seasons.kept_list import ListHead, ListLine, WholeList
from maintenance.services.seasons.read_lists import get_list, read_head, read_one

ONE_WINTER: Final = timedelta(days=365)
"""What was left longer ago than this tells of another winter."""


@dataclass(frozen=True, slots=True)
class ClosedAutumn:
    """How a system was left for winter: what spring mirrors.

    ``record`` is what the start-up is compiled from. ``unsure`` names the parts that
    were moved in another order than the list's: these are to be looked at.
    """

    head: ListHead
    record: AutumnRecord
    unsure: tuple[str, ...]
    whole: WholeList


def season_list(account: Account, *, list_id: int) -> WholeList:
    """Return a list with everything in it, in four queries."""
    return read_one(account, get_list(account, list_id))


def season_head(account: Account, *, list_id: int) -> ListHead:
    """Return what a list is about, in one query."""
    return read_head(get_list(account, list_id))


def refuse_no_step(account: Account, *, list_id: int, step: int) -> None:
    """Refuse the number of a step that is not in this list, in one query."""
    steps = ListStep.objects.for_account(account).filter(list_id=list_id)
    if not steps.filter(pk=step).exists():
        raise NotFoundError(
            f"There is no step {step} in this list: open the list again and look."
        )


def open_lists(account: Account) -> list[ListLine]:
    """Return what is being carried out, the oldest first, in three queries.

    A list of a site that was retired meanwhile is still to be closed: it stands last.
    """
    rows = SeasonList.objects.for_account(account).open()
    lines = _lines(account, rows.select_related("site").order_by("opened_at", "pk"))
    return sorted(lines, key=lambda line: line.head.site_retired)


def lists_of_site(account: Account, *, site_key: str) -> list[ListLine]:
    """Return all lists of a site, the newest first, in four queries."""
    site = get_row(Site, account, site_key)
    rows = SeasonList.objects.for_account(account).filter(site=site)
    return _lines(account, rows.select_related("site").order_by("-opened_at", "-pk"))


def autumn_record(
    account: Account, *, site_key: str, now: datetime
) -> ClosedAutumn | None:
    """Return how a site was left for winter, in six queries at most.

    It is the last shutdown list that was closed within a year, unless a start-up was
    closed since: then nothing of it stands any more.
    """
    site = get_row(Site, account, site_key)
    last = (
        SeasonList.objects.for_account(account)
        .filter(site=site, season__in=("shutdown", "startup"))
        .exclude(closed_at=None)
        .select_related("site")
        .order_by("closed_at", "pk")
        .last()
    )
    if last is None or last.season != "shutdown" or _ended(last) < now - ONE_WINTER:
        return None
    whole = read_one(account, last)
    unsure = tuple(last.left["unsure"])
    record = AutumnRecord(
        positions=last.left["positions"],
        zones={z.zone: z.outcome for z in whole.zones if z.outcome and not z.gone},
        meter_m3=_meter_m3(account, whole),
        notes=tuple(_notes(whole, unsure)),
    )
    return ClosedAutumn(whole.head, record, unsure, whole)


def _ended(row: SeasonList) -> datetime:
    return row.closed_at or row.opened_at


def _meter_m3(account: Account, whole: WholeList) -> float | None:
    """Return the last reading of the site's water meter; of several meters, none."""
    of_site = Link.objects.for_account(account).filter(site__key=whole.head.site_key)
    meters = of_site.standing().filter(kind="meter").values_list("key", flat=True)
    if len(meters) != 1:
        return None
    read = [
        (line.report.done_at, line.report.reading.value)
        for line in whole.steps
        if line.report
        and line.step.on == meters[0]
        and line.report.reading.kind == "volume"
        and line.report.reading.value is not None
    ]
    return max(read)[1] if read else None


def _notes(whole: WholeList, unsure: Iterable[str]) -> Iterable[str]:
    if whole.head.notes:
        yield whole.head.notes
    for zone in whole.zones:
        if zone.note:
            yield f"Zone {zone.zone}: {zone.note}"
    for line in whole.steps:
        if line.report and line.report.outcome == "skipped":
            yield f"Skipped: {line.step.text} ({line.report.reason})"
        if line.report and line.report.note:
            yield f"{line.step.text} {line.report.note}"
    for part in unsure:
        yield f"Look how {part} stands: it was moved in another order than the list's."


def _lines(account: Account, rows: Iterable[SeasonList]) -> list[ListLine]:
    heads = [read_head(row) for row in rows]
    of_lists = Q(list__in=[head.id for head in heads], retired_at=None)
    reported = Q(records__isnull=False, records__undone_at=None)
    steps = (
        ListStep.objects.for_account(account)
        .filter(of_lists)
        .values_list("list")
        .annotate(
            total=Count("pk", distinct=True), told=Count("records", filter=reported)
        )
    )
    zones = (
        ZoneOutcome.objects.for_account(account)
        .filter(of_lists)
        .values_list("list")
        .annotate(total=Count("pk"), told=Count("pk", filter=~Q(outcome="")))
    )
    of_steps = {key: (count, count - told) for key, count, told in steps}
    of_zones = {key: (count, count - told) for key, count, told in zones}
    none = (0, 0)
    return [
        ListLine(head, *of_steps.get(head.id, none), *of_zones.get(head.id, none))
        for head in heads
    ]
