"""What was typed into the sheet of a field test, read: values and faults, nothing lost.

Answers are texts by key. A sheet has an initial set of readings and, after a repair, a
final one; that of a retest has the final one alone, since its initial readings stand
in the failed test that it follows.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from types import MappingProxyType
from typing import Final, Literal, TypeVar

from maintenance.engine.backflow.readings import (
    READING_KEYS,
    READING_KINDS,
    STATES_OF,
    Conditions,
    Device,
    Reading,
    reading_words,
)
from maintenance.engine.backflow.typed import parse_reading, parse_supply_pressure
from maintenance.engine.errors import InputError
from maintenance.services.errors import ServiceError

SetName = Literal["initial", "final"]
Answers = Mapping[str, str]

LONGEST_ANSWER: Final = 2000
HAS_SHUT_OFFS: Final[tuple[Device, ...]] = ("RP", "DC", "PVB", "SVB")
"""Kinds with a second shut-off and a supply under pressure, read with a gauge."""
REPAIR: Final = (
    "repair_description",
    "repair_materials",
    "repaired_by",
    "repairer_licence",
    "repaired_on",
)
CARRIED: Final = (
    "facility_name",
    "service_address",
    "owner_name",
    "owner_contact",
    "county",
    "block",
    "lot",
    "installation",
    "on_approved_list",
    "meter_number",
    "service_type",
    "bypasses",
)
"""What hardly changes from one test to the next: it is taken over from the last."""
PLACE_CARRIED: Final = CARRIED[:7]
"""Of these, what all assemblies of one site share."""
OTHERS: Final = (
    "meter_reading",
    "test_year",
    "comments",
    "criteria",
    "as_recorded_now",
)

_Value = TypeVar("_Value")


def word_key(key: str) -> str:
    """Return where the word stands that takes the place of a number."""
    return f"{key}_word"


def is_typed(reading: str) -> bool:
    """Whether a reading is typed in, with words to choose from beside it."""
    return READING_KINDS[reading] != "yes_no"


def answer_keys(device: Device) -> tuple[str, ...]:
    """Return every key that the sheet of this kind may hold."""
    readings: list[str] = []
    for name in ("initial", "final"):
        for key in READING_KEYS[device]:
            readings.append(f"{name}_{key}")
            if is_typed(key):
                readings.append(word_key(f"{name}_{key}"))
    shut_offs = ("supply_pressure", "shut_off_2_holds", "final_shut_off_2_holds")
    return (
        *("tested_on", "tested_at", "retested_on", "retested_at"),
        *(shut_offs if device in HAS_SHUT_OFFS else ()),
        "unable_because",
        *readings,
        *REPAIR,
        *CARRIED,
        *OTHERS,
    )


def kept_answers(device: Device, answers: Answers) -> dict[str, str]:
    """Return the answers that are kept: those that say something.

    Raises
    ------
    ServiceError
        If one cannot be kept, or is too long.
    """
    kept = {}
    for key in answer_keys(device):
        text = answers.get(key, "").replace("\r\n", "\n").strip()
        if len(text) > LONGEST_ANSWER:
            raise ServiceError(
                f"{key.replace('_', ' ')}: {len(text)} signs are too many to be kept; "
                f"write at most {LONGEST_ANSWER}."
            )
        if "\0" in text:
            raise ServiceError(
                f"{key.replace('_', ' ')}: it holds a sign that cannot be kept; write "
                "it again without that."
            )
        if text:
            kept[key] = text
    return kept


@dataclass(frozen=True, slots=True)
class ReadingSet:
    """One set of readings with its day and time at the site."""

    name: SetName
    on: date | None
    at: time | None
    readings: Mapping[str, Reading]
    conditions: Conditions


@dataclass(frozen=True, slots=True)
class TestSheet:
    """A sheet as far as it can be read; ``faults`` are sentences by the answer's key."""

    __test__ = False  # not a case for pytest

    device: Device
    initial: ReadingSet | None
    final: ReadingSet | None
    faults: Mapping[str, str]

    @property
    def deciding(self) -> ReadingSet:
        """The set that decides: the one after the repair where there is one."""
        decides = self.final or self.initial
        if decides is None:  # read_sheet gives at least one
            raise ServiceError("This sheet has no readings at all.")
        return decides

    @property
    def is_blank(self) -> bool:
        """Whether nothing was read and no reason told why."""
        sets = [each for each in (self.initial, self.final) if each]
        return not any(
            each.readings
            or each.conditions.unable_because
            or each.conditions.shut_off_2_holds is False
            for each in sets
        )


def read_sheet(device: Device, answers: Answers, *, retest: bool) -> TestSheet:
    """Read what was typed; what cannot be read becomes a fault, not a refusal."""
    faults: dict[str, str] = {}
    after = _set_of("final", device, answers, faults)
    if retest:
        return TestSheet(device, None, after, MappingProxyType(faults))
    first = _set_of("initial", device, answers, faults)
    touched = after.readings or after.conditions.shut_off_2_holds is False
    typed = any(key.startswith("final_") for key in faults)
    final = after if touched or typed else None
    return TestSheet(device, first, final, MappingProxyType(faults))


def _set_of(
    name: SetName, device: Device, answers: Answers, faults: dict[str, str]
) -> ReadingSet:
    on_key, at_key = ("tested_on", "tested_at") if name == "initial" else _RETESTED
    day = _read(on_key, answers, faults, _day)
    at = _read(at_key, answers, faults, _time)
    if name == "final":
        # Most repairs are tested on the spot: then the day is asked for once.
        day = day or _read("tested_on", answers, faults, _day)
        at = at or _read("tested_at", answers, faults, _time)
    holds_key = "shut_off_2_holds" if name == "initial" else "final_shut_off_2_holds"
    conditions = Conditions(
        supply_pressure=_read(
            "supply_pressure",
            answers,
            faults,
            lambda _, text: parse_supply_pressure(text),
        ),
        shut_off_2_holds={"yes": True, "no": False}.get(answers.get(holds_key, "")),
        unable_because=answers.get("unable_because", ""),
    )
    readings = dict(_readings(name, device, answers, faults))
    return ReadingSet(name, day, at, MappingProxyType(readings), conditions)


_RETESTED: Final = ("retested_on", "retested_at")


def _readings(
    name: SetName, device: Device, answers: Answers, faults: dict[str, str]
) -> Iterator[tuple[str, Reading]]:
    for key in READING_KEYS[device]:
        at = f"{name}_{key}"
        number, word = answers.get(at, ""), answers.get(word_key(at), "")
        if number and word:
            faults[at] = (
                f'{_capital(reading_words(device, key))}: "{number}" and "{word}" are '
                "both told; take one out."
            )
        elif number or word:
            try:
                yield key, parse_reading(key, number or word)
            except InputError as fault:
                told = str(fault).removeprefix(f"{key}: ")
                faults[at] = f"{_capital(reading_words(device, key))}: {told}."


def _read(
    key: str,
    answers: Answers,
    faults: dict[str, str],
    reader: Callable[[str, str], _Value],
) -> _Value | None:
    text = answers.get(key, "")
    if not text:
        return None
    try:
        return reader(key, text)
    except InputError as fault:
        told = str(fault).removeprefix(f"{key}: ").rstrip(".")
        faults[key] = f"{_capital(key.replace('_', ' '))}: {told}."
    return None


def _day(key: str, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise InputError(
            f'"{text[:40]}" is no day; write it like 2026-04-15', input=key
        ) from fault


def _time(key: str, text: str) -> time:
    try:
        return time.fromisoformat(text).replace(second=0, microsecond=0, tzinfo=None)
    except ValueError as fault:
        raise InputError(
            f'"{text[:40]}" is no time; write it like 14:20', input=key
        ) from fault


def day_answer(answers: Answers, key: str) -> date | None:
    """Return a day that was typed, None where it is none."""
    return _read(key, answers, {}, _day)


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def words_of(reading: str) -> tuple[str, ...]:
    """Return the words that may stand in the place of a number."""
    return tuple(state.value for state in STATES_OF[reading])
