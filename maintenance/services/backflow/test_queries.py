"""The questions about tests; each tells how many queries it takes."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from maintenance.models import (
    Account,
    Device,
    Gauge,
    ReportFiled,
    Tester,
    TestRecord,
)
from maintenance.services.backflow.drafts import get_record
from maintenance.services.backflow.judge_draft import is_testable
from maintenance.services.backflow.test_lines import (
    DraftLine,
    RecordLine,
    draft_line,
    draft_rows,
    record_line,
    record_rows,
)
from maintenance.services.backflow.test_payload import Payload

SAME_ROUND_DAYS: Final = 30
"""An assembly tested within these days is not the next one of a round (project
choice)."""


@dataclass(frozen=True, slots=True)
class SignedTest:
    """A signed test with all that was known, and what came after it."""

    id: int
    number: int
    demo: bool
    site_key: str
    link: str
    time_zone: str
    tested_on: date
    result: str
    signed_at: datetime
    signed_by: str
    hash: str
    payload: Payload
    follows: RecordLine | None
    retests: tuple[RecordLine, ...]
    corrects: RecordLine | None
    corrected_by: RecordLine | None
    filings: tuple[ReportFiled, ...]


def signed_test(account: Account, *, record_id: int) -> SignedTest:
    """Return one signed test, in at most eleven queries."""
    row = get_record(account, record_id)
    after = list(
        record_rows(account).filter(follows=row)
        | record_rows(account).filter(corrects=row)
    )
    filings = ReportFiled.objects.filter(record=row, undone_at=None)
    return SignedTest(
        id=row.pk,
        number=row.number,
        demo=row.demo,
        site_key=row.device.site.key,
        link=row.device.link.key,
        time_zone=row.device.site.time_zone,
        tested_on=row.tested_on,
        result=row.result,
        signed_at=row.signed_at,
        signed_by=row.signed_by,
        hash=row.hash,
        payload=json.loads(row.payload),
        follows=_one(account, row.follows_id),
        retests=tuple(record_line(r) for r in after if r.follows_id == row.pk),
        corrects=_one(account, row.corrects_id),
        corrected_by=next(
            (record_line(r) for r in after if r.corrects_id == row.pk), None
        ),
        filings=tuple(filings.order_by("filed_on", "pk")),
    )


def signed_tests(account: Account, *, site_key: str | None = None) -> list[RecordLine]:
    """Return all signed tests, the newest first, in three queries."""
    rows = record_rows(account)
    if site_key is not None:
        rows = rows.filter(device__site__key=site_key)
    return [record_line(row) for row in rows.order_by("-tested_at", "-number")]


def tests_of_period(
    account: Account, *, site_key: str, first: date, last: date
) -> list[RecordLine]:
    """Return the signed tests of a site from day to day, in three queries.

    The days are those of the tests, at the site; the oldest comes first.
    """
    rows = record_rows(account).filter(
        device__site__key=site_key, tested_on__range=(first, last)
    )
    return [record_line(row) for row in rows.order_by("tested_at", "number", "pk")]


def payloads(account: Account, ids: Sequence[int]) -> dict[int, Payload]:
    """Return what was known at tests, by their ids, in one query."""
    rows = TestRecord.objects.for_account(account).filter(pk__in=ids)
    return {pk: json.loads(text) for pk, text in rows.values_list("pk", "payload")}


def latest_of_site(account: Account, *, site_key: str) -> list[RecordLine]:
    """Return the last standing test of each assembly of a site, in three queries."""
    latest: dict[tuple[str, str], RecordLine] = {}
    for line in signed_tests(account, site_key=site_key):
        if line.corrected_by is None:
            latest.setdefault((line.link, line.serial), line)
    return sorted(latest.values(), key=lambda line: (line.link, line.serial))


def open_drafts(account: Account) -> list[DraftLine]:
    """Return the drafts that are neither signed nor dropped, in one query."""
    rows = draft_rows(account).filter(signed_at=None, dropped_at=None)
    return [draft_line(row) for row in rows.order_by("-started_at", "-pk")]


def testers_and_gauges(account: Account) -> tuple[list[Tester], list[Gauge]]:
    """Return those that can be chosen, by name and serial, in two queries."""
    testers = Tester.objects.for_account(account).standing().order_by("name", "pk")
    gauges = Gauge.objects.for_account(account).standing().order_by("serial", "pk")
    return list(testers), list(gauges)


def next_assembly(account: Account, *, record_id: int) -> Device | None:
    """Return the assembly to test next at the same site, in three queries."""
    row = get_record(account, record_id)
    site = Device.objects.for_account(account).filter(site=row.device.site_id)
    standing = list(
        site.standing().select_related("link", "site").order_by("link__rank", "pk")
    )
    since = row.tested_on - timedelta(days=SAME_ROUND_DAYS)
    tested = set(
        TestRecord.objects.for_account(account)
        .filter(device__in=standing, tested_on__gte=since)
        .values_list("device_id", flat=True)
    )
    places = [each.pk for each in standing]
    at = places.index(row.device_id) + 1 if row.device_id in places else 0
    for device in (*standing[at:], *standing[:at]):
        if device.pk not in tested and is_testable(device.kind):
            return device
    return None


def _one(account: Account, record_id: int | None) -> RecordLine | None:
    if record_id is None:
        return None
    row = record_rows(account).filter(pk=record_id).first()
    return record_line(row) if row else None
