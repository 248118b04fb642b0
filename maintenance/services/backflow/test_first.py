"""What a new draft holds already: it is taken over from the last test."""

import json
from datetime import datetime
from typing import TypeVar

from maintenance.models import Account, Device, Gauge, TestDraft, Tester, TestRecord
from maintenance.services.backflow.test_sheet import (
    CARRIED,
    PLACE_CARRIED,
)
from maintenance.services.weather.site_time import zone_of

_Kit = TypeVar("_Kit", Tester, Gauge)


def last_kit(
    account: Account, corrects: TestRecord | None, actor: str
) -> tuple[Tester | None, Gauge | None]:
    """Return the tester and gauge used last by this person, else by anybody here."""
    if corrects is not None:
        of = TestDraft.objects.select_related("tester", "gauge").filter(pk=corrects.pk)
        draft = of.first()
        return (draft.tester, draft.gauge) if draft else (None, None)
    drafts = (
        TestDraft.objects.for_account(account)
        .exclude(tester=None)
        .select_related("tester", "gauge")
        .order_by("-started_at", "-pk")
    )
    last = drafts.filter(started_by=actor).first() or drafts.first()
    tester = last.tester if last else _only(Tester, account)
    gauge = last.gauge if last else _only(Gauge, account)
    if tester is not None and tester.retired_at is not None:
        tester = None
    if gauge is not None and gauge.retired_at is not None:
        gauge = None
    return tester, gauge


def followed_by_default(device: Device) -> TestRecord | None:
    """Return the failed test after which the next one is the retest, if any."""
    last = (
        TestRecord.objects.filter(device=device, corrections=None)
        .order_by("-tested_at", "-number")
        .first()
    )
    return last if last is not None and last.result == "failed" else None


def first_answers(
    device: Device,
    follows: TestRecord | None,
    corrects: TestRecord | None,
    now: datetime,
) -> dict[str, str]:
    """Return the answers of a draft as it is begun."""
    if corrects is not None:
        kept: dict[str, str] = json.loads(corrects.payload)["answers"]
        return kept
    there = now.astimezone(zone_of(device.site))
    day, at = there.date().isoformat(), f"{there:%H:%M}"
    names = ("retested_on", "retested_at") if follows else ("tested_on", "tested_at")
    return _carried(device) | dict(zip(names, (day, at), strict=True))


def _carried(device: Device) -> dict[str, str]:
    last = TestRecord.objects.filter(device__site=device.site).order_by("-number")
    own = last.filter(device=device).first()
    other = last.first() if own is None else None
    if own is not None:
        answers = json.loads(own.payload)["answers"]
        return {key: answers[key] for key in CARRIED if key in answers}
    if other is not None:
        answers = json.loads(other.payload)["answers"]
        return {key: answers[key] for key in PLACE_CARRIED if key in answers}
    return {}


def _only(model: type[_Kit], account: Account) -> _Kit | None:
    """Return the one there is; of several a person chooses."""
    rows = list(model.objects.for_account(account).standing()[:2])
    return rows[0] if len(rows) == 1 else None
