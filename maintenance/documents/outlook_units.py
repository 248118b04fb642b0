"""Sentences of the freeze outlook in a person's own units.

The engine words its sentences in US units; here each quantity in them is written anew.
"""

import re
from typing import Final

from maintenance.engine.units import UnitSystem, display, parse_quantity

_QUANTITY: Final = re.compile(
    r"(?P<number>-?\d[\d,]*(?:\.\d+)?) (?P<unit>°F|ft/s|ft|in)(?P<after>\b|(?!\w))"
    r"(?P<apart> (?:too )?(?:colder|warmer|cold|warm))?"
)
_DIMENSIONS: Final = {"ft/s": "velocity", "ft": "length", "in": "depth"}
# What follows "in" where it is the preposition and no unit: "3 in 30", "1 in the".
_NO_UNIT: Final = re.compile(r"\s+(?:\d|a |an |the |one |its |each )")


def in_units(text: str, system: UnitSystem) -> str:
    """Write a sentence of the engine in one's own units.

    Examples
    --------
    >>> in_units("A night at or below 28 °F; soil at 8 in.", "si")
    'A night at or below -2 °C; soil at 20 cm.'
    >>> in_units("The sky is 27 °F colder than the air.", "si")
    'The sky is 15 °C colder than the air.'
    """
    if system == "us":
        return text
    return _QUANTITY.sub(lambda found: _anew(found, text, system), text)


def _anew(found: re.Match[str], text: str, system: UnitSystem) -> str:
    number, unit = found["number"].replace(",", ""), found["unit"]
    after = found["apart"] or ""
    if unit == "in" and _stays(found, text):
        return found[0]
    if unit != "°F":
        dimension = _DIMENSIONS[unit]
        return display(parse_quantity(f"{number} {unit}", dimension), dimension, system)
    if after:
        value = parse_quantity(f"{number} delta_degF", "temperature_difference")
        shown = display(value, "temperature_difference", system, digits=_digits(number))
        return f"{shown}{after}"
    value = parse_quantity(f"{number} degF", "temperature")
    return display(value, "temperature", system, digits=_digits(number))


def _stays(found: re.Match[str], text: str) -> bool:
    """Tell a preposition, and a nominal size, from a depth."""
    nominal = text[: found.start()].endswith("bore ")
    return nominal or _NO_UNIT.match(text, found.end()) is not None


def _digits(number: str) -> int:
    return 1 if "." in number else 0
