"""Answers of a person to questions about a site, read part by part.

Every question may be left unanswered. What a site cannot do without is then filled
in on the cautious side (`GUESSED`) with origin ``guessed``, or carries a note that
begins with `UNSEEN`, so that every figure resting on it says so.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, TypeVar

from maintenance.engine.errors import InputError
from maintenance.engine.site.faults import Fault, Faults
from maintenance.engine.site.record import from_record
from maintenance.engine.site.shapes import fields_of
from maintenance.engine.units import parse_number

UNSEEN: Final = "Guessed: "
UNKNOWN: Final = "unknown"

# The project's own choices, no source: a high place has thin air and a long or wide
# pipe holds more water, so a wrong guess asks for more air rather than less.
GUESSED: Final = {
    "elevation": "5000 ft",
    "time_zone": "UTC",
    "pipe": "unknown plastic",
    "main_size": "2",
    "main_length": "150 ft",
    "zone_size": "1-1/2",
    "zone_length": "200 ft",
    "zone_head": "spray",
    "free_air": "2 cfm",
    "receiver": "0 gal",
}
GUESSED_HEADS: Final = 8

Answers = Mapping[str, str]
Value = TypeVar("Value")


@dataclass(slots=True)
class Reading:
    """Answers being read and the faults met on the way."""

    answers: Answers
    faults: list[Fault] = field(default_factory=list)

    def text(self, name: str) -> str:
        """Return an answer, empty where the person does not know."""
        answer = self.answers.get(name, "").strip()
        return "" if answer == UNKNOWN else answer

    def refuse(self, name: str, text: str) -> None:
        """Keep a fault of one answer."""
        self.faults.append(Fault(name, text))

    def part(
        self,
        kind: type[Value],
        fixed: Mapping[str, object],
        asked: Mapping[str, str] | None = None,
        guesses: Mapping[str, object] | None = None,
    ) -> Value | None:
        """Build one part; ``asked`` maps its keys to the names of the answers.

        A key such as ``hose.length`` lies in a part of the part.
        """
        asked = asked or {}
        record = dict(fixed)
        for constant in fields_of(kind):
            if constant.name in ("kind", "format") and constant.key not in record:
                record[constant.key] = constant.default
        for key, name in asked.items():
            answer: object = self.text(name) or (guesses or {}).get(key)
            if answer is not None:
                _put(record, key, answer)
        try:
            return from_record(kind, record)
        except Faults as refusal:
            for fault in refusal.faults:
                self.refuse(asked.get(fault.path, fault.path), fault.text)
            return None

    def whole_number(self, name: str, otherwise: int) -> int:
        """Read a count, or the guess where it is not known."""
        answer = self.text(name)
        if answer.isascii() and answer.isdigit() and len(answer) < 10:
            return int(answer)
        if answer:
            self.refuse(name, f'"{answer}" is not a whole number; write one like "8"')
        return otherwise


def _put(record: dict[str, object], key: str, answer: object) -> None:
    outer, _dot, inner = key.partition(".")
    if not inner:
        record[key] = answer
        return
    held = record.get(outer)
    record[outer] = {**(held if isinstance(held, dict) else {}), inner: answer}


def guessed(text: str) -> dict[str, str]:
    """Return a quantity as a record says that it is guessed.

    Parameters
    ----------
    text : str
        Number and unit. [-]

    Returns
    -------
    dict
        The quantity's record. [-]
    """
    return {"value": text, "origin": "guessed"}


def upside_down(text: str) -> str:
    """Return a fall as the level that it leads to: the sign turned.

    Parameters
    ----------
    text : str
        Number and unit, positive downhill. [-]

    Returns
    -------
    str
        Number and unit, negative downhill; unreadable text as it is. [-]

    Examples
    --------
    >>> upside_down("2 ft"), upside_down("-1-1/2 ft"), upside_down("0 m")
    ('-2 ft', '1-1/2 ft', '0 m')
    """
    stripped = text.strip()
    try:
        number, _unit = parse_number(stripped)
    except InputError:
        return stripped
    if number == 0:
        return stripped.lstrip("+-")
    return stripped[1:].lstrip() if number < 0 else f"-{stripped.lstrip('+ ')}"
