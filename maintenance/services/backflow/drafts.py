"""Tests that are being written down: begun, saved as typed, dropped, taken up again.

A draft is saved under the version that was seen, so that nothing of someone else's is
overwritten unseen. One page saves many times in a row, and its answers may cross on
the way: so a page has a seat of its own, and counts what it sends.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from django.db import transaction
from django.db.models import F

from maintenance.models import Account, Device, Gauge, TestDraft, Tester, TestRecord
from maintenance.services.backflow.judge_draft import device_of, kind_of
from maintenance.services.backflow.test_first import (
    first_answers,
    followed_by_default,
    last_kit,
)
from maintenance.services.backflow.test_sheet import Answers, kept_answers
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

SEAT: Final = "seat"
"""Where a draft keeps, beside its answers, which page wrote last, and how often."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What one page sends: answers, tester, gauge, and where it stands itself."""

    answers: Answers
    tester_id: int | None = None
    gauge_id: int | None = None
    seat: str = ""
    count: int = 0


@transaction.atomic
def begin_test(
    account: Account, *, site_key: str, link: str, now: datetime, actor: str
) -> int:
    """Begin the test of the assembly that stands at a link, or go on with its draft.

    After a failed test it is the retest.
    """
    device = _hold(
        Device.objects.for_account(account)
        .standing()
        .filter(site__key=site_key, link__key=link)
        .first(),
        f'There is no assembly at "{link}" here: look at the parts of its site.',
    )
    open_ = _open_draft(device)
    if open_ is not None:
        return open_.pk
    return _add(device, followed_by_default(device), None, now, actor)


@transaction.atomic
def begin_retest(account: Account, *, record_id: int, now: datetime, actor: str) -> int:
    """Begin the retest after a failed test, or go on with it."""
    record = get_record(account, record_id)
    device = _hold(record.device, "")
    open_ = _open_draft(device)
    if open_ is not None and open_.follows_id == record_id:
        return open_.pk
    _refuse_open(open_)
    if record.corrections.exists():
        raise ServiceError(
            f"Test {record.number} was corrected: begin the retest at its correction."
        )
    if record.result == "passed":
        raise ServiceError(
            f"Test {record.number} passed, so nothing is to be tested after a repair: "
            "begin a test of its own."
        )
    return _add(device, record, None, now, actor)


@transaction.atomic
def begin_correction(
    account: Account, *, record_id: int, now: datetime, actor: str
) -> int:
    """Begin a record that corrects a signed one, which itself stays as it is."""
    record = get_record(account, record_id)
    device = _hold(record.device, "")
    open_ = _open_draft(device)
    if open_ is not None and open_.corrects_id == record_id:
        return open_.pk
    _refuse_open(open_)
    later = record.corrections.first()
    if later is not None:
        raise ServiceError(
            f"Test {record.number} was corrected already, by record {later.number}: "
            "correct that one."
        )
    return _add(device, record.follows, record, now, actor)


def get_record(account: Account, record_id: int) -> TestRecord:
    """Return a signed test of the account, or refuse."""
    record = (
        TestRecord.objects.for_account(account)
        .filter(pk=record_id)
        .select_related("device__site", "device__link", "follows", "corrects")
        .first()
    )
    if record is None:
        raise NotFoundError("There is no such signed test here: see the list of tests.")
    return record


def get_draft(account: Account, draft_id: int) -> TestDraft:
    """Return a draft of the account, signed and dropped ones too, or refuse."""
    draft = (
        TestDraft.objects.for_account(account)
        .filter(pk=draft_id)
        .select_related(
            *("device__site__account", "device__link", "tester", "gauge"),
            *("follows", "corrects"),
        )
        .first()
    )
    if draft is None:
        raise NotFoundError("There is no such draft here: see the list of tests.")
    return draft


def answers_of(draft: TestDraft) -> dict[str, str]:
    """Return what was typed, without what is kept beside it."""
    return {key: text for key, text in draft.answers.items() if key != SEAT}


@transaction.atomic
def save_draft(
    account: Account,
    *,
    draft_id: int,
    version: int,
    typed: Typed,
    now: datetime,
    actor: str,
) -> int:
    """Save a draft as typed; return its version.

    Raises
    ------
    ConflictError
        If it was changed, signed or dropped meanwhile by anyone but this page.
    """
    draft = get_draft(account, draft_id)
    refuse_ended(draft)
    kept: dict[str, Any] = kept_answers(kind_of(draft), typed.answers)
    tester, gauge = _kit(account, typed)
    seat, count = draft.answers.get(SEAT) or ("", 0)
    same_page = seat != "" and seat == typed.seat
    if same_page and typed.count < count:
        return draft.version  # this page has sent something newer already
    if (answers_of(draft), draft.tester_id, draft.gauge_id) == (
        kept,
        tester.pk if tester else None,
        gauge.pk if gauge else None,
    ):
        return draft.version
    if version != draft.version and not same_page:
        raise _changed(draft)
    claimed = TestDraft.objects.filter(
        pk=draft_id, version=draft.version, signed_at=None, dropped_at=None
    ).update(version=F("version") + 1)
    if claimed != 1:
        raise _changed(draft)
    draft.version += 1
    draft.answers = kept | ({SEAT: [typed.seat, typed.count]} if typed.seat else {})
    draft.tester, draft.gauge = tester, gauge
    change_rows(TestDraft, [draft], ["answers", "tester", "gauge"], Act(actor, now))
    return draft.version


@transaction.atomic
def drop_draft(account: Account, *, draft_id: int, now: datetime, actor: str) -> None:
    """Drop a draft; it can be taken up again. One dropped already stays so."""
    draft = get_draft(account, draft_id)
    if draft.dropped_at is not None:
        return
    refuse_ended(draft)
    claimed = TestDraft.objects.filter(pk=draft_id, signed_at=None, dropped_at=None)
    if claimed.update(dropped_at=now, version=F("version") + 1) != 1:
        raise _changed(draft)
    draft.refresh_from_db(fields=["version", "dropped_at"])
    change_rows(TestDraft, [draft], ["dropped_at"], Act(actor, now))


@transaction.atomic
def take_up_draft(
    account: Account, *, draft_id: int, now: datetime, actor: str
) -> None:
    """Take a dropped draft up again; one that is open stays so."""
    draft = get_draft(account, draft_id)
    if draft.dropped_at is None:
        refuse_ended(draft)
        return
    _refuse_open(_open_draft(_hold(draft.device, "")))
    draft.dropped_at = None
    draft.version += 1
    change_rows(TestDraft, [draft], ["dropped_at", "version"], Act(actor, now))


def refuse_ended(draft: TestDraft) -> None:
    """Refuse to write to a draft that was signed or dropped."""
    if draft.signed_at is not None:
        signed = TestRecord.objects.filter(pk=draft.pk).first()
        told = f" by {signed.signed_by}, as test {signed.number}" if signed else ""
        raise ConflictError(
            f"This test was signed{told}: nothing more was stored. Look at the signed "
            "test; what is wrong in it is put right by a correction."
        )
    if draft.dropped_at is not None:
        raise ConflictError(
            "This draft was dropped: nothing was stored. Take it up again first, at "
            "the tests of its assembly."
        )


def _add(
    device: Device,
    follows: TestRecord | None,
    corrects: TestRecord | None,
    now: datetime,
    actor: str,
) -> int:
    device_of(device.kind)
    if device.site.retired_at is not None:
        raise ServiceError(
            f'The site "{device.site.name}" is retired: restore it first, then test.'
        )
    tester, gauge = last_kit(device.site.account, corrects, actor)
    draft = TestDraft(
        device=device,
        tester=tester,
        gauge=gauge,
        answers=first_answers(device, follows, corrects, now),
        follows=follows,
        corrects=corrects,
        started_at=now,
        started_by=actor,
    )
    add_rows(TestDraft, [draft], Act(actor, now))
    return draft.pk


def _hold(device: Device | None, absent: str) -> Device:
    """Hold an assembly for this transaction: two begin one test, not two."""
    if device is None:
        raise NotFoundError(absent)
    Device.objects.filter(pk=device.pk).update(kind=F("kind"))
    return Device.objects.select_related("site__account", "link").get(pk=device.pk)


def _open_draft(device: Device) -> TestDraft | None:
    return TestDraft.objects.filter(
        device=device, signed_at=None, dropped_at=None
    ).first()


def _refuse_open(draft: TestDraft | None) -> None:
    if draft is not None:
        raise ConflictError(
            f"A test of this assembly was begun by {draft.started_by} and is not "
            "signed: sign or drop that one first."
        )


def _changed(draft: TestDraft) -> ConflictError:
    return ConflictError(
        "Someone else changed this draft since you opened it: what you typed is still "
        "on this page, and nothing of theirs was overwritten."
    )


def _kit(account: Account, typed: Typed) -> tuple[Tester | None, Gauge | None]:
    tester = gauge = None
    if typed.tester_id is not None:
        tester = Tester.objects.for_account(account).filter(pk=typed.tester_id).first()
        if tester is None:
            raise NotFoundError("There is no such tester here: choose one of the list.")
    if typed.gauge_id is not None:
        gauge = Gauge.objects.for_account(account).filter(pk=typed.gauge_id).first()
        if gauge is None:
            raise NotFoundError("There is no such gauge here: choose one of the list.")
    return tester, gauge
