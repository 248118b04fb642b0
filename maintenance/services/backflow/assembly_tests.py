"""All tests of one place through the years, and where its readings are heading."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from maintenance.engine.backflow.criteria import DEFAULT_CRITERIA, find_criteria
from maintenance.engine.backflow.drift import PastTest, Trend, trends
from maintenance.engine.backflow.typed import parse_reading
from maintenance.models import Account, Device, TestRecord
from maintenance.services.backflow.drafts import get_record
from maintenance.services.backflow.due import DueLine, due_line
from maintenance.services.backflow.due_queries import read_assemblies, rules_of
from maintenance.services.backflow.judge_draft import device_of, is_testable
from maintenance.services.backflow.rule_table import rule_table
from maintenance.services.backflow.test_lines import (
    DraftLine,
    RecordLine,
    draft_line,
    draft_rows,
    record_line,
    record_rows,
)
from maintenance.services.backflow.test_payload import Payload
from maintenance.services.backflow.test_queries import payloads
from maintenance.services.errors import NotFoundError


@dataclass(frozen=True, slots=True)
class AssemblyTests:
    """All tests of the assemblies that stood at a link, and where they are heading."""

    site_key: str
    site_name: str
    time_zone: str
    link: str
    kind: str
    serial: str
    standing: bool
    records: tuple[RecordLine, ...]
    readings: tuple[PastTest, ...]
    trends: tuple[Trend, ...]
    due: DueLine | None
    draft: DraftLine | None
    dropped: DraftLine | None


def assembly_tests(
    account: Account, *, site_key: str, link: str, now: datetime
) -> AssemblyTests:
    """Return the tests at a link, what is due and the trends, in nine queries."""
    devices = list(
        Device.objects.for_account(account)
        .filter(site__key=site_key, link__key=link)
        .select_related("site", "link")
        .order_by("until", "pk")
    )
    if not devices:
        raise NotFoundError(
            f'There is no assembly at "{link}" here: look at the parts of its site.'
        )
    here = next((each for each in devices if each.until is None), devices[-1])
    rows = list(
        record_rows(account)
        .filter(device__in=devices)
        .order_by("-tested_at", "-number")
    )
    told = payloads(account, [row.pk for row in rows if not row.corrections.all()])
    taken = tuple(each for row in reversed(rows) for each in _taken(told.get(row.pk)))
    drafts = list(draft_rows(account).filter(device__in=devices, signed_at=None))
    drafts.sort(key=lambda draft: (draft.started_at, draft.pk))
    due = due_of(account, here, now=now) if here.until is None else None
    open_ = [each for each in drafts if each.dropped_at is None]
    return AssemblyTests(
        site_key=here.site.key,
        site_name=here.site.name,
        time_zone=here.site.time_zone,
        link=here.link.key,
        kind=here.kind,
        serial=here.serial,
        standing=here.until is None,
        records=tuple(map(record_line, rows)),
        readings=taken,
        trends=_trends(here, taken, due.due if due else None),
        due=due,
        draft=draft_line(open_[-1]) if open_ else None,
        dropped=draft_line(drafts[-1]) if drafts and not open_ else None,
    )


def due_of(account: Account, device: Device, *, now: datetime) -> DueLine | None:
    """Return what is due of one assembly, in three queries."""
    if not is_testable(device.kind):
        return None
    table = rule_table(account)
    (assembly,) = read_assemblies(account, [device])
    return due_line(assembly, rules_of(assembly, table, now), now)


def due_after(account: Account, *, record_id: int, now: datetime) -> DueLine | None:
    """Return what is due after a test, where it is the last of a standing assembly."""
    record = get_record(account, record_id)
    later = TestRecord.objects.for_account(account).filter(
        device=record.device, number__gt=record.number
    )
    if record.device.until is not None or later.exists():
        return None
    return due_of(account, record.device, now=now)


def _trends(
    device: Device, taken: Sequence[PastTest], next_due: date | None
) -> tuple[Trend, ...]:
    if not is_testable(device.kind):
        return ()
    return trends(
        device_of(device.kind), taken, find_criteria(DEFAULT_CRITERIA), next_due
    )


def _taken(payload: Payload | None) -> Iterable[PastTest]:
    """Give each set of readings of a test, as the drift wants them."""
    if payload is None:
        return
    for each in payload["sets"]:
        if each["on"]:
            yield PastTest(
                on=date.fromisoformat(each["on"]),
                serial=payload["assembly"]["serial"],
                readings={k: parse_reading(k, v) for k, v in each["readings"].items()},
                after_repair=each["name"] == "final",
            )
