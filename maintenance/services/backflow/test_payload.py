"""All that was known when a test was signed, as canonical JSON."""

import json
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, Final

from maintenance.engine.backflow.criteria import criteria_csv
from maintenance.engine.backflow.readings import DEVICE_WORDS, READING_KEYS
from maintenance.engine.backflow.typed import reading_text
from maintenance.engine.backflow.validity import Validity
from maintenance.engine.backflow.verdict import Verdict
from maintenance.models import AssemblyFacts, Device, Gauge, Tester
from maintenance.services.backflow.judge_draft import Judged
from maintenance.services.backflow.test_sheet import (
    REPAIR,
    Answers,
    ReadingSet,
    TestSheet,
)

FORMAT: Final = "field-test/1"
_NOT_FACTS: Final = frozenset({"id", "device", "version"})
_NOT_KIT: Final = frozenset({"id", "account", "version", "retired_at"})

Payload = dict[str, Any]


def canonical_json(payload: Mapping[str, Any]) -> str:
    """Write a payload so that the same content is always the same text."""
    return json.dumps(payload, sort_keys=True, separators=(",", ":"), allow_nan=False)


def place_payload(device: Device, replaced: Device | None) -> Payload:
    """Return the site and the assembly as they are recorded now."""
    site = device.site
    facts = AssemblyFacts.objects.filter(device=device).first()
    record = device.link.record
    return {
        "account": {"key": site.account.key, "name": site.account.name},
        "site": {
            "key": site.key,
            "name": site.name,
            "time_zone": site.time_zone,
            "latitude": site.latitude,
            "longitude": site.longitude,
        },
        "assembly": {
            "link": device.link.key,
            "device": device.kind,
            "words": DEVICE_WORDS.get(device.kind, device.kind),  # type: ignore[call-overload]
            "size": device.size,
            "serial": device.serial,
            "installed": _day(device.installed),
            "placement": str(record.get("placement") or ""),
            "replaced_serial": replaced.serial if replaced else "",
            "facts": _columns(facts, _NOT_FACTS),
        },
    }


def kit_payload(tester: Tester | None, gauge: Gauge | None) -> Payload:
    """Return tester and gauge as they are recorded now."""
    return {
        "tester": {"id": tester.pk, **_columns(tester, _NOT_KIT)} if tester else None,
        "gauge": {"id": gauge.pk, **_columns(gauge, _NOT_KIT)} if gauge else None,
    }


def judged_payload(judged: Judged, answers: Answers) -> Payload:
    """Return readings, repair, criteria and verdicts."""
    sheet = judged.sheet
    return {
        "answers": dict(answers),
        "sets": [
            set_payload(sheet, taken, verdict)
            for taken, verdict in (
                (sheet.initial, judged.initial),
                (sheet.final, judged.final),
            )
            if taken and verdict
        ],
        "repair": {key: answers[key] for key in REPAIR if key in answers},
        "criteria": {
            "id": judged.criteria.id,
            "procedure": judged.criteria.procedure,
            "edition": judged.criteria.edition,
            "csv": criteria_csv([judged.criteria]),
        },
        "result": judged.result,
        "doubts": list(judged.doubts),
        "flags": list(judged.flags),
        "validity": {
            "certificate": _validity(judged.certificate),
            "calibration": _validity(judged.calibration),
        },
    }


def set_payload(sheet: TestSheet, taken: ReadingSet, verdict: Verdict) -> Payload:
    """Return one set of readings with its verdict; numbers stay the texts typed."""
    conditions = taken.conditions
    holds = conditions.shut_off_2_holds
    supply = conditions.supply_pressure
    return {
        "name": taken.name,
        "on": _day(taken.on),
        "at": taken.at.isoformat("minutes") if taken.at else "",
        "readings": {
            key: reading_text(taken.readings[key])
            for key in READING_KEYS[sheet.device]
            if key in taken.readings
        },
        "supply_pressure": "" if supply is None else format(supply, "f"),
        "shut_off_2_holds": "" if holds is None else "yes" if holds else "no",
        "unable_because": conditions.unable_because,
        "buffer": "" if verdict.buffer is None else format(verdict.buffer, "f"),
        "result": verdict.result,
        "reasons": [
            {"key": each.key, "kind": each.kind, "text": each.text}
            for each in verdict.reasons
        ],
    }


def _columns(row: Any, but: frozenset[str]) -> Payload:
    if row is None:
        return {}
    names = [field.name for field in row._meta.concrete_fields]  # noqa: SLF001
    return {name: _plain(getattr(row, name)) for name in names if name not in but}


def _plain(value: object) -> object:
    if isinstance(value, datetime | date):
        return value.isoformat()
    return value


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def _validity(validity: Validity | None) -> Payload:
    if validity is None:
        return {"state": "unknown", "text": ""}
    return {"state": validity.state, "text": validity.text}
