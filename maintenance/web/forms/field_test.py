"""The sheet of a field test as questions, in the order of the work at the assembly."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.backflow.readings import (
    READING_KEYS,
    READING_KINDS,
    Device,
    reading_words,
)
from maintenance.services.backflow.test_sheet import (
    CARRIED,
    HAS_SHUT_OFFS,
    REPAIR,
    is_typed,
    word_key,
    words_of,
)
from maintenance.web.forms.field_test_words import CHOICES, HELP, LABELS, LONG

Texts = Mapping[str, str]

_YES_NO: Final = ("yes", "no")
_DAYS: Final = frozenset({"tested_on", "retested_on", "repaired_on"})
_TIMES: Final = frozenset({"tested_at", "retested_at"})
_FIRST: Final = frozenset(
    {"supply_pressure", "shut_off_2_holds", "final_shut_off_2_holds", "relief_air_gap"}
)
"""Looked at before the gauge is connected."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question: how it is asked, what was typed, what is wrong with that.

    ``kind`` is number, length, choice, day, time, line or lines. ``words`` can be
    chosen: for a number those that stand in its place, under a key of their own.
    """

    key: str
    label: str
    kind: str
    value: str
    help: str = ""
    unit: str = ""
    words: tuple[str, ...] = ()
    word: str = ""
    fault: str = ""

    @property
    def word_key(self) -> str:
        """Where the word in the place of a number is kept."""
        return word_key(self.key)


@dataclass(frozen=True, slots=True)
class Block:
    """Questions under one heading; a folded one is seldom needed."""

    id: str
    heading: str
    questions: tuple[Question, ...]
    note: str = ""
    folded: bool = False
    open: bool = False


def sheet_blocks(
    device: Device,
    answers: Texts,
    faults: Texts,
    *,
    retest: bool,
    corrects: bool,
) -> list[Block]:
    """Return the questions of a sheet, in the order of the work."""
    asked = _Asked(device, answers, faults, retest)
    if retest:
        blocks = [
            asked.block("when", "When", ("retested_on", "retested_at")),
            asked.block("repair", "Repair since the failed test", REPAIR),
            *asked.set_blocks("final"),
        ]
    else:
        blocks = [
            asked.block("when", "When", ("tested_on", "tested_at")),
            *asked.set_blocks("initial"),
            asked.folded("repair", "Repaired on the spot", REPAIR),
            asked.folded(
                "after",
                "Readings after repair",
                ("retested_on", "retested_at", *asked.keys("final")),
                note="The readings before the repair stay above as they were.",
            ),
        ]
    more = (
        *(("as_recorded_now",) if corrects else ()),
        *(*CARRIED, "meter_reading", "test_year", "comments"),
    )
    unable = asked.folded("unable", "Unable to test", ("unable_because",))
    rest = asked.folded(
        "more",
        "Remarks, and more for the report",
        more,
        note="Taken over from the last test where it hardly changes.",
        opens=("as_recorded_now", "meter_reading", "comments"),
    )
    return [*blocks, unable, rest]


@dataclass(frozen=True, slots=True)
class _Asked:
    device: Device
    answers: Texts
    faults: Texts
    retest: bool

    def block(self, id_: str, heading: str, keys: tuple[str, ...]) -> Block:
        return Block(id_, heading, tuple(map(self.question, keys)))

    def folded(
        self,
        id_: str,
        heading: str,
        keys: tuple[str, ...],
        *,
        note: str = "",
        opens: tuple[str, ...] | None = None,
    ) -> Block:
        questions = tuple(map(self.question, keys))
        looked_at = keys if opens is None else opens
        filled = any(q.value or q.word for q in questions if q.key in looked_at)
        wrong = any(q.fault for q in questions)
        return Block(id_, heading, questions, note, folded=True, open=filled or wrong)

    def set_blocks(self, name: str) -> Iterator[Block]:
        keys = self.keys(name)
        first = tuple(key for key in keys if self._is_first(name, key))
        if first:
            yield self.block(f"{name}-first", "Before the readings", first)
        heading = "Inspection" if self.device in ("AVB", "AG") else "Readings"
        if name == "final":
            heading += " after repair"
        rest = tuple(key for key in keys if key not in first)
        yield self.block(f"{name}-readings", heading, rest)

    def keys(self, name: str) -> tuple[str, ...]:
        """Return the keys of one set of readings: looked at, then read."""
        holds = "shut_off_2_holds" if name == "initial" else "final_shut_off_2_holds"
        readings = [f"{name}_{key}" for key in READING_KEYS[self.device]]
        readings.sort(key=lambda key: not self._is_first(name, key))
        if self.device not in HAS_SHUT_OFFS:
            return tuple(readings)
        # On the spot the supply is that of the initial readings.
        on_the_spot = name == "final" and not self.retest
        return (*(() if on_the_spot else ("supply_pressure",)), holds, *readings)

    def _is_first(self, name: str, key: str) -> bool:
        return key in _FIRST or key.removeprefix(f"{name}_") in _FIRST

    def question(self, key: str) -> Question:
        reading = key.removeprefix("initial_").removeprefix("final_")
        value, fault = self.answers.get(key, ""), self.faults.get(key, "")
        if reading in READING_KINDS and reading != key:
            return self._reading(key, reading, value, fault)
        kind, unit, words = "line", "", CHOICES.get(key, ())
        if key == "supply_pressure":
            kind, unit = "number", "psi"
        elif key.endswith("shut_off_2_holds"):
            kind, words = "choice", _YES_NO
        elif key == "as_recorded_now":
            kind, words = "choice", ("yes",)
        elif words:
            kind = "choice"
        elif key in _DAYS:
            kind = "day"
        elif key in _TIMES:
            kind = "time"
        elif key in LONG:
            kind = "lines"
        help_ = HELP.get(key, "")
        label = LABELS[key]
        if self.retest and key == "retested_on":
            label, help_ = LABELS["tested_on"], ""
        return Question(key, label, kind, value, help_, unit, words, fault=fault)

    def _reading(self, key: str, reading: str, value: str, fault: str) -> Question:
        name = reading_words(self.device, reading)
        label, help_ = f"{name[:1].upper()}{name[1:]}", HELP.get(reading, "")
        if not is_typed(reading):
            words = (*_YES_NO, *words_of(reading))
            return Question(
                key, label, "choice", value, help_, words=words, fault=fault
            )
        kind = "number" if READING_KINDS[reading] == "psid" else "length"
        return Question(
            key=key,
            label=label,
            kind=kind,
            value=value,
            help=help_,
            unit="psid" if kind == "number" else "",
            words=words_of(reading),
            word=self.answers.get(word_key(key), ""),
            fault=fault,
        )
