"""Signed tests and drafts as lines of a list."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch, QuerySet

from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.models import Account, TestDraft, TestRecord


@dataclass(frozen=True, slots=True)
class RecordLine:
    """A signed test in a list."""

    id: int
    number: int
    demo: bool
    site_key: str
    site_name: str
    link: str
    kind: str
    serial: str
    tested_on: date
    result: str
    signed_by: str
    corrected_by: int | None
    follows: int | None
    corrects: int | None
    filed: bool
    hash: str

    @property
    def words(self) -> str:
        """The result as a person reads it."""
        return RESULT_WORDS[self.result]


@dataclass(frozen=True, slots=True)
class DraftLine:
    """A draft in a list."""

    id: int
    site_key: str
    site_name: str
    link: str
    kind: str
    serial: str
    started_at: datetime
    started_by: str
    time_zone: str


def record_rows(account: Account) -> QuerySet[TestRecord, TestRecord]:
    """Return the records of an account for a list; each takes two queries more."""
    return (
        TestRecord.objects.for_account(account)
        .select_related("device__site", "device__link", "follows", "corrects")
        .prefetch_related(
            Prefetch("corrections", TestRecord.objects.defer("payload")), "filings"
        )
        .defer("payload", "follows__payload", "corrects__payload")
    )


def record_line(row: TestRecord) -> RecordLine:
    """Return the line of a record."""
    corrections: list[Any] = list(row.corrections.all())
    return RecordLine(
        id=row.pk,
        number=row.number,
        demo=row.demo,
        site_key=row.device.site.key,
        site_name=row.device.site.name,
        link=row.device.link.key,
        kind=row.device.kind,
        serial=row.device.serial,
        tested_on=row.tested_on,
        result=row.result,
        signed_by=row.signed_by,
        corrected_by=corrections[0].number if corrections else None,
        follows=row.follows.number if row.follows else None,
        corrects=row.corrects.number if row.corrects else None,
        filed=any(each.undone_at is None for each in row.filings.all()),
        hash=row.hash,
    )


def draft_rows(account: Account) -> QuerySet[TestDraft, TestDraft]:
    """Return the drafts of an account for a list."""
    return TestDraft.objects.for_account(account).select_related(
        "device__site", "device__link"
    )


def draft_line(row: TestDraft) -> DraftLine:
    """Return the line of a draft."""
    return DraftLine(
        id=row.pk,
        site_key=row.device.site.key,
        site_name=row.device.site.name,
        link=row.device.link.key,
        kind=row.device.kind,
        serial=row.device.serial,
        started_at=row.started_at,
        started_by=row.started_by,
        time_zone=row.device.site.time_zone,
    )
