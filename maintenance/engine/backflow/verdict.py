"""The verdict on one field test: readings against a set of limits, in decimals.

Limits are inclusive. A limit missed fails the test even where another reading is
missing; a reading that could not be read neither passes nor fails it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

from maintenance.engine.backflow import verdict_words as words
from maintenance.engine.backflow.limits import BUFFER, Criteria, Limit
from maintenance.engine.backflow.readings import (
    UNSAID,
    Conditions,
    Device,
    Length,
    Reading,
    State,
    check_readings,
)

Result = Literal["passed", "failed", "incomplete", "not_tested"]
Kind = Literal["missed", "missing", "unreadable", "not_tested"]
_HAS_SHUT_OFFS: Final = ("RP", "DC", "PVB", "SVB")


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a test did not pass: the reading, what is the matter, one sentence."""

    key: str
    kind: Kind
    text: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a test comes to; ``reasons`` is empty where it passed.

    ``buffer`` is check valve 1 less relief valve opening [psid], None unless both
    are numbers that count. ``criteria_id`` names the set that judged.
    """

    result: Result
    reasons: tuple[Reason, ...]
    buffer: Decimal | None
    criteria_id: str

    @property
    def sentences(self) -> tuple[str, ...]:
        """One for each reason [text]."""
        return tuple(reason.text for reason in self.reasons)


def judge(
    device: Device,
    readings: Mapping[str, Reading],
    criteria: Criteria,
    conditions: Conditions = UNSAID,
) -> Verdict:
    """Judge one set of readings.

    Parameters
    ----------
    device : str
        One of `DEVICES` [text].
    readings : mapping of str to Reading
        By key of `READING_KEYS`; what was not taken is absent [psid, mm or words].
    criteria : Criteria
        The limits [psid, in, mm or words].
    conditions : Conditions
        What else the sheet holds [psi and words].

    Returns
    -------
    Verdict
        Result, reasons in the order of the limits, buffer [psid].

    Raises
    ------
    InputError
        For a reading that the device does not have, or of the wrong kind.
    """
    check_readings(device, readings)
    if conditions.shut_off_2_holds is False and device in _HAS_SHUT_OFFS:
        return _not_tested("shut_off_2_holds", words.shut_off_leaks(), criteria)
    unable = conditions.unable_because.strip()
    if unable and not readings:
        return _not_tested("unable_because", words.unable(unable), criteria)
    reasons = [*_reasons(device, readings, criteria)]
    if unable:
        reasons.append(Reason("unable_because", "missing", words.unfinished(unable)))
    kinds = {reason.kind for reason in reasons}
    result: Result = "incomplete" if kinds else "passed"
    if "missed" in kinds:
        result = "failed"
    return Verdict(result, tuple(reasons), _buffer(readings), criteria.id)


def _not_tested(key: str, text: str, criteria: Criteria) -> Verdict:
    reason = Reason(key, "not_tested", text)
    return Verdict("not_tested", (reason,), None, criteria.id)


def _reasons(
    device: Device, readings: Mapping[str, Reading], criteria: Criteria
) -> Iterator[Reason]:
    limits = [limit for limit in criteria.of(device) if limit.use != "not used"]
    if not any(limit.use == "required" for limit in limits):
        yield Reason("", "missing", words.no_limits(device, criteria.id))
    # Two limits may need one reading: what ails it is told once.
    told = set()
    for limit in limits:
        for key in _needed(limit):
            reason = _without_number(limit, key, readings.get(key))
            if reason is not None and (key, reason.kind) not in told:
                told.add((key, reason.kind))
                yield reason
        text = _number_missed(limit, readings)
        if text:
            yield Reason(limit.key, "missed", text)


def _needed(limit: Limit) -> tuple[str, ...]:
    if limit.key == BUFFER:
        return ("check_1", "relief")
    return ("supply_diameter", "gap") if limit.asks == "times" else (limit.key,)


def _without_number(limit: Limit, key: str, reading: Reading | None) -> Reason | None:
    match reading:
        case None if limit.use == "required":
            return Reason(key, "missing", words.missing(limit, key))
        case State.UNREADABLE:
            return Reason(key, "unreadable", words.unreadable(limit, key))
        case State() | False:
            return Reason(key, "missed", words.refused(limit, key, reading))
        case _:
            return None


def _number_missed(limit: Limit, readings: Mapping[str, Reading]) -> str:
    if limit.key == BUFFER:
        buffer = _buffer(readings)
        if buffer is None or buffer >= limit.number:
            return ""
        return words.buffer_missed(limit, buffer, readings)
    reading = readings.get(limit.key)
    supply = readings.get("supply_diameter")
    match reading:
        case Decimal() if reading < limit.number:
            return words.pressure_missed(limit, reading)
        case Length() if limit.asks == "at least":
            missed = reading.millimetres < limit.millimetres
            return words.gap_missed(limit, reading) if missed else ""
        case Length() if isinstance(supply, Length):
            missed = reading.millimetres < limit.number * supply.millimetres
            return words.gap_missed(limit, reading, supply) if missed else ""
        case _:
            return ""


def _buffer(readings: Mapping[str, Reading]) -> Decimal | None:
    first, relief = readings.get("check_1"), readings.get("relief")
    if isinstance(first, Decimal) and isinstance(relief, Decimal):
        return first - relief
    return None
