"""What a sheet comes to as it stands: verdicts, doubts, what has to be looked at."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from maintenance.engine.backflow.criteria import DEFAULT_CRITERIA, find_criteria
from maintenance.engine.backflow.limits import Criteria
from maintenance.engine.backflow.readings import DEVICES, Device, doubts
from maintenance.engine.backflow.validity import (
    Validity,
    calibration_on,
    certificate_on,
)
from maintenance.engine.backflow.verdict import Result, Verdict, judge
from maintenance.engine.errors import InputError
from maintenance.models import Gauge, TestDraft, Tester
from maintenance.services.backflow.test_sheet import (
    HAS_SHUT_OFFS,
    Answers,
    ReadingSet,
    TestSheet,
    day_answer,
    read_sheet,
)
from maintenance.services.errors import ServiceError

CLOCKS_APART: Final = timedelta(minutes=10)
"""Two clocks further apart than this are told (project choice)."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A sheet and what it comes to.

    ``doubts`` are slips of the pen, ``flags`` what an authority may ask about; neither
    changes a verdict.
    """

    sheet: TestSheet
    criteria: Criteria
    initial: Verdict | None
    final: Verdict | None
    doubts: tuple[str, ...]
    flags: tuple[str, ...]
    certificate: Validity | None
    calibration: Validity | None

    @property
    def result(self) -> Result:
        """The result of the set that decides."""
        decides = self.final or self.initial
        return decides.result if decides else "incomplete"


def device_of(kind: str) -> Device:
    """Return the kind of an assembly as the engine names it.

    Raises
    ------
    ServiceError
        If no field test is known for it.
    """
    for device in DEVICES:
        if device == kind:
            return device
    raise ServiceError(
        f'No field test is known for the kind "{kind}": set it right at its part.'
    )


def kind_of(draft: TestDraft) -> Device:
    """Return the kind that is tested: in a correction the one that was tested then."""
    if draft.corrects is None or "as_recorded_now" in draft.answers:
        return device_of(draft.device.kind)
    return device_of(json.loads(draft.corrects.payload)["assembly"]["device"])


def is_testable(kind: str) -> bool:
    """Whether a field test is known for a kind of assembly."""
    return kind in DEVICES


def judge_answers(
    device: Device,
    answers: Answers,
    *,
    retest: bool,
    tester: Tester | None,
    gauge: Gauge | None,
) -> Judged:
    """Judge what was typed so far."""
    sheet = read_sheet(device, answers, retest=retest)
    criteria = _criteria(answers)
    sets = [each for each in (sheet.initial, sheet.final) if each]
    on = sheet.deciding.on
    certificate = certificate_of(tester, on) if tester and on else None
    calibration = calibration_of(gauge, on) if gauge and on else None
    told = dict.fromkeys(
        text for each in sets for text in doubts(device, each.readings, each.conditions)
    )
    return Judged(
        sheet=sheet,
        criteria=criteria,
        initial=_verdict(device, sheet.initial, criteria),
        final=_verdict(device, sheet.final, criteria),
        doubts=(*told, *_days_in_doubt(sheet, answers)),
        flags=_flags(device, gauge, certificate, calibration, sheet),
        certificate=certificate,
        calibration=calibration,
    )


def certificate_of(tester: Tester, on: date) -> Validity:
    """Say how a tester's certificate stood on a day."""
    return certificate_on(on, issued=tester.issued, ends=tester.ends)


def calibration_of(gauge: Gauge, on: date) -> Validity:
    """Say how a gauge's calibration stood on a day."""
    return calibration_on(on, calibrated=gauge.calibrated, ends=gauge.ends)


def clock_flag(device_time: datetime | None, now: datetime) -> str:
    """Say that the clock of who signs is not that of the server, empty where it is."""
    if device_time is None or abs(device_time - now) <= CLOCKS_APART:
        return ""
    minutes = round((device_time - now).total_seconds() / 60)
    side = "ahead of" if minutes > 0 else "behind"
    return (
        f"The clock of the machine it was signed on is {abs(minutes)} minutes {side} "
        "the server's: look at the date and time of the test."
    )


def _criteria(answers: Mapping[str, str]) -> Criteria:
    try:
        return find_criteria(answers.get("criteria") or DEFAULT_CRITERIA)
    except InputError:
        return find_criteria(DEFAULT_CRITERIA)


def _verdict(
    device: Device, taken: ReadingSet | None, criteria: Criteria
) -> Verdict | None:
    if taken is None:
        return None
    return judge(device, taken.readings, criteria, taken.conditions)


def _days_in_doubt(sheet: TestSheet, answers: Answers) -> tuple[str, ...]:
    first, last = sheet.initial, sheet.final
    repaired = day_answer(answers, "repaired_on")
    told = []
    if first and last and first.on and last.on and last.on < first.on:
        told.append(
            f"The final test of {last.on} lies before the initial one of {first.on}: "
            "look at both days."
        )
    if repaired and last and last.on and last.on < repaired:
        told.append(
            f"The readings after repair are of {last.on}, the repair of {repaired}: "
            "look at both days."
        )
    return tuple(told)


def _flags(
    device: Device,
    gauge: Gauge | None,
    certificate: Validity | None,
    calibration: Validity | None,
    sheet: TestSheet,
) -> tuple[str, ...]:
    flags = [each.text for each in (certificate, calibration) if each and each.flagged]
    sets = [each for each in (sheet.initial, sheet.final) if each]
    if device in HAS_SHUT_OFFS and gauge is None and any(s.readings for s in sets):
        flags.append("No gauge is named: reports ask for its serial and calibration.")
    return tuple(flags)
