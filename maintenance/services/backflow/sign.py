"""Signing: a draft becomes a record that never changes, at the end of its chain."""

import json
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from django.db import transaction
from django.db.models import F

from maintenance.models import Account, Device, TestDraft, TestRecord
from maintenance.services.backflow.chain import Link, add_to_chain, hold_chain
from maintenance.services.backflow.drafts import answers_of, get_draft, refuse_ended
from maintenance.services.backflow.judge_draft import (
    Judged,
    clock_flag,
    judge_answers,
    kind_of,
)
from maintenance.services.backflow.report_rows import report_rows, report_texts
from maintenance.services.backflow.test_payload import (
    FORMAT,
    Payload,
    canonical_json,
    judged_payload,
    kit_payload,
    place_payload,
)
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.weather.site_time import today_at, zone_of

_PLACE: Final = ("account", "site", "assembly")
NOON: Final = time(12)
"""Taken where a test has a day and no time."""


@transaction.atomic
def sign_test(
    account: Account,
    *,
    draft_id: int,
    version: int,
    now: datetime,
    actor: str,
    device_time: datetime | None = None,
) -> TestRecord:
    """Sign a draft as it was seen; return the record, the next of the account's chain.

    ``device_time`` is what the clock of the signer's machine showed.

    Raises
    ------
    ConflictError
        If somebody signed, dropped or changed it meanwhile.
    ServiceError
        If something that is typed cannot be read, or cannot be signed.
    """
    draft = get_draft(account, draft_id)
    claimed = TestDraft.objects.filter(
        pk=draft_id, version=version, signed_at=None, dropped_at=None
    ).update(signed_at=now, version=F("version") + 1)
    draft.refresh_from_db(fields=["version", "signed_at", "dropped_at", "answers"])
    if claimed != 1:
        refuse_ended(draft)
        raise ConflictError(
            "Someone else changed this draft since you opened it: look at it again, "
            "then sign. Nothing was signed."
        )
    judged = judge_draft(draft)
    day = _refuse_unsignable(draft, judged, now)
    change_rows(TestDraft, [draft], ["signed_at"], Act(actor, now))
    chain, place = hold_chain(account, demo=draft.device.site.demo)
    payload = draft_payload(draft, judged)
    told = clock_flag(device_time, now)
    payload["flags"] += [told] if told else []
    payload |= _signing(draft, place, now, actor, device_time)
    followed = followed_payload(draft)
    payload["report"] = report_rows(report_texts(payload, followed))
    at = judged.sheet.deciding.at or NOON
    record = TestRecord(
        pk=draft.pk,  # known before the hash is taken, and a draft is signed once
        account=account,
        demo=draft.device.site.demo,
        number=place.number,
        device=draft.device,
        tested_at=datetime.combine(day, at, zone_of(draft.device.site)).astimezone(UTC),
        tested_on=day,
        result=judged.result,
        payload=canonical_json(payload),
        follows=draft.follows,
        corrects=draft.corrects,
        signed_at=now,
        signed_by=actor,
        previous_hash=place.previous_hash,
    )
    return add_to_chain(chain, record)


def judge_draft(draft: TestDraft) -> Judged:
    """Judge a draft as it stands."""
    return judge_answers(
        kind_of(draft),
        answers_of(draft),
        retest=draft.follows_id is not None,
        tester=draft.tester,
        gauge=draft.gauge,
    )


def draft_payload(draft: TestDraft, judged: Judged) -> Payload:
    """Return all that is known of a draft now, but who signs it and when.

    A correction is of the place and assembly as they were at the test that it
    corrects, unless the person wants them as they are recorded now.
    """
    followed = followed_payload(draft)
    before = [*followed["before"], _as_before(followed)] if followed else []
    return {
        "format": FORMAT,
        **_place_of(draft),
        **kit_payload(draft.tester, draft.gauge),
        **judged_payload(judged, answers_of(draft)),
        "before": before,
        "follows": draft.follows.number if draft.follows else None,
        "corrects": draft.corrects.number if draft.corrects else None,
    }


def followed_payload(draft: TestDraft) -> Payload | None:
    """Return what was known at the test that a retest follows."""
    if draft.follows is None:
        return None
    payload: Payload = json.loads(draft.follows.payload)
    return payload


def _as_before(followed: Payload) -> Payload:
    return {
        "number": followed["signed"]["number"],
        "sets": followed["sets"],
        "repair": followed["repair"],
    }


def _place_of(draft: TestDraft) -> Payload:
    if draft.corrects is not None and "as_recorded_now" not in draft.answers:
        then: Payload = json.loads(draft.corrects.payload)
        return {key: then[key] for key in _PLACE}
    return place_payload(draft.device, _replaced(draft.device))


def _replaced(device: Device) -> Device | None:
    """Return the assembly that stood at the same link before."""
    return (
        Device.objects.filter(
            link=device.link_id, until__isnull=False, until__lte=device.since
        )
        .exclude(pk=device.pk)
        .order_by("-until", "-pk")
        .first()
    )


def _refuse_unsignable(draft: TestDraft, judged: Judged, now: datetime) -> date:
    """Refuse what cannot be signed as it stands; return the day of the test."""
    faults = list(judged.sheet.faults.values())
    if faults:
        raise ServiceError(" ".join(faults))
    if draft.tester is None:
        raise ServiceError("Choose who tested: a report carries the tester's name.")
    sets = [each for each in (judged.sheet.initial, judged.sheet.final) if each]
    for each in sets:
        if each.on is None:
            raise ServiceError("Write the day of the test, such as 2026-04-15.")
        if each.on > today_at(draft.device.site, now) + timedelta(days=1):
            raise ServiceError(
                f"The test is dated {each.on}, which is still to come: put its day right."
            )
    if judged.sheet.is_blank:
        raise ServiceError(
            "Nothing was read: write the readings, or why the test could not be done."
        )
    deciding = judged.sheet.deciding.on
    if deciding is None:  # looked at above
        raise ServiceError("Write the day of the test, such as 2026-04-15.")
    return deciding


def _signing(
    draft: TestDraft,
    place: Link,
    now: datetime,
    actor: str,
    device_time: datetime | None,
) -> Payload:
    there = now.astimezone(zone_of(draft.device.site))
    return {
        "signed": {
            "number": place.number,
            "by": actor,
            "on": there.date().isoformat(),
            "at": now.astimezone(UTC).isoformat(),
            "device_time": device_time.isoformat() if device_time else "",
            "draft": draft.pk,
        }
    }
