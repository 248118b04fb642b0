"""From the rows of season lists to values, in few queries for many lists."""

from collections.abc import Iterable, Sequence
from typing import Any, Final

from maintenance.engine.procedure.reading import Reading
from maintenance.engine.procedure.step_record import step_from_record
from maintenance.models import (
    Account,
    ListStep,
    SeasonList,
    StepRecord,
    ZoneOutcome,
)
from maintenance.services.errors import NotFoundError
from maintenance.services.seasons.compiled import stays_open_of, warnings_of
from maintenance.services.seasons.kept_list import (
    ListHead,
    Report,
    StepLine,
    WholeList,
    ZoneLine,
)

SEASON_NAMES: Final[dict[str, str]] = {
    "shutdown": "shutdown list",
    "startup": "start-up list",
    "frost_night": "frost night list",
    "frost_undo": "list after a frost night",
}


def get_list(account: Account, list_id: int) -> SeasonList:
    """Return the account's list of that number with its site, or refuse; one query."""
    rows = SeasonList.objects.for_account(account).select_related("site")
    row = rows.filter(pk=list_id).first()
    if row is None:
        raise NotFoundError(
            f"There is no season list {list_id} here: look for it at its site."
        )
    return row


def list_name(row: SeasonList) -> str:
    """Return how a sentence calls a list."""
    return f'{SEASON_NAMES[row.season]} {row.year} of "{row.site.name}"'


def read_head(row: SeasonList) -> ListHead:
    """Return what a list is about; its site must have been read along."""
    site = row.site
    season: Any = row.season
    return ListHead(
        id=row.pk,
        site_key=site.key,
        site_name=site.name,
        time_zone=site.time_zone,
        season=season,
        year=row.year,
        compressor=row.compressor,
        notes=row.notes,
        opened_at=row.opened_at,
        opened_by=row.opened_by,
        closed_at=row.closed_at,
        closed_by=row.closed_by,
        site_changed=site.version != row.site_version,
        site_retired=site.retired_at is not None,
    )


def read_whole(account: Account, rows: Sequence[SeasonList]) -> list[WholeList]:
    """Return lists with everything in them, in three queries for any number."""
    steps: dict[int, list[ListStep]] = {row.pk: [] for row in rows}
    zones: dict[int, list[ZoneOutcome]] = {row.pk: [] for row in rows}
    records: dict[int, list[StepRecord]] = {}
    of_lists = ListStep.objects.for_account(account).filter(list__in=steps)
    for step in of_lists.order_by("rank", "pk"):
        steps[step.list_id].append(step)
    reported = StepRecord.objects.for_account(account).filter(step__list__in=steps)
    for record in reported.order_by("received_at", "pk"):
        records.setdefault(record.step_id, []).append(record)
    of_zones = ZoneOutcome.objects.for_account(account).filter(list__in=zones)
    for zone in of_zones.order_by("rank", "pk"):
        zones[zone.list_id].append(zone)
    return [_whole(row, steps[row.pk], records, zones[row.pk]) for row in rows]


def read_one(account: Account, row: SeasonList) -> WholeList:
    """Return one list with everything in it, in three queries."""
    return read_whole(account, [row])[0]


def _whole(
    row: SeasonList,
    steps: Iterable[ListStep],
    records: dict[int, list[StepRecord]],
    zones: Iterable[ZoneOutcome],
) -> WholeList:
    lines: list[StepLine] = []
    number = 0
    for step in steps:
        number += step.retired_at is None
        lines.append(_step_line(step, number, records.get(step.pk, [])))
    return WholeList(
        head=read_head(row),
        compiled_from=row.site_version,
        start=row.basis["start"],
        choices=row.basis["choices"],
        stays_open=stays_open_of(row.basis),
        warnings=warnings_of(row.basis),
        all_steps=tuple(lines),
        all_zones=tuple(_zone_line(zone) for zone in zones),
    )


def _zone_line(row: ZoneOutcome) -> ZoneLine:
    outcome: Any = row.outcome or None
    gone = row.retired_at is not None
    return ZoneLine(row.zone, row.name, outcome, row.note, gone)


def _step_line(row: ListStep, number: int, records: list[StepRecord]) -> StepLine:
    reports = [_report(each) for each in records]
    standing = [each for each in reports if each.undone_at is None]
    return StepLine(
        id=row.pk,
        number=number if row.retired_at is None else None,
        step=step_from_record(row.record),
        own=row.own,
        placed=row.placed,
        gone=row.retired_at is not None,
        report=standing[0] if standing else None,
        undone=tuple(each for each in reports if each.undone_at is not None),
    )


def _report(row: StepRecord) -> Report:
    outcome: Any = row.outcome
    return Report(
        client_id=row.client_id,
        outcome=outcome,
        reason=row.reason,
        who=row.who,
        done_at=row.done_at,
        received_at=row.received_at,
        reading=Reading(row.reading, row.reading_si, row.reading_kind),
        seconds=row.seconds,
        note=row.note,
        undone_at=row.undone_at,
        undone_by=row.undone_by,
    )
