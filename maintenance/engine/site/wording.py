"""The words of a fault: what a value is, and what to write instead."""

import difflib
import math
from collections.abc import Iterable
from typing import Final

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.site.shapes import (
    ChoiceShape,
    FlagShape,
    NumberShape,
    QuantityShape,
    RecordShape,
    Shape,
    TextShape,
    fields_of,
)

LONGEST_SHOWN: Final = 60
EXAMPLES: Final = {
    "id": "write a name that no other part has",
    "name": 'write a name, like "Walled garden"',
    "time_zone": 'write one like "America/Denver"',
    "from": "write the id of the point where it begins",
    "to": "write the id of the point where it ends",
    "points": 'write a list of them, or give a "card"',
    "links": 'write a list of them, or give a "card"',
    "what": 'write what is fed, like "house"',
    "pipe": 'write a name of the catalogue, like "PVC Sch 40", or "unknown"',
    "size": 'write the size as it is printed, like "1-1/2"',
}


def shown(text: str) -> str:
    """Return a text short and printable enough to stand in a sentence.

    Parameters
    ----------
    text : str
        Anything that a person or a program wrote. [-]

    Returns
    -------
    str
        At most 60 characters, control characters and half characters escaped. [-]

    Examples
    --------
    >>> shown("12 ft")
    '12 ft'
    """
    kept = text if len(text) <= LONGEST_SHOWN else text[:LONGEST_SHOWN] + "…"
    if kept.isprintable():
        return kept
    return kept.encode("unicode_escape").decode("ascii")


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ``; did you mean "…"?`` where a known word is near, else nothing.

    Parameters
    ----------
    word : str
        The word as written. [-]
    known : iterable of str
        Words that would be right. [-]

    Returns
    -------
    str
        The end of a sentence, or an empty text. [-]

    Examples
    --------
    >>> nearest("lenght", ["length", "size"])
    '; did you mean "length"?'
    """
    found = difflib.get_close_matches(word[:LONGEST_SHOWN], list(known), n=1)
    return f'; did you mean "{found[0]}"?' if found else ""


def listed(words: Iterable[str]) -> str:
    """Return words in quotes, with commas.

    Parameters
    ----------
    words : iterable of str
        The words. [-]

    Returns
    -------
    str
        Such as ``"ball", "gate"``. [-]
    """
    return ", ".join(f'"{word}"' for word in words)


def described(value: object) -> str:
    """Say what kind of thing a value is, short whatever its size.

    Parameters
    ----------
    value : object
        Anything that JSON can hold. [-]

    Returns
    -------
    str
        Such as ``a list`` or ``the number 12``. [-]

    Examples
    --------
    >>> described(12), described([1])
    ('the number 12', 'a list')
    """
    words = "an object"
    if value is None:
        words = "null"
    elif isinstance(value, bool):
        words = "true" if value else "false"
    elif isinstance(value, str):
        words = f'the text "{shown(value)}"'
    elif isinstance(value, int | float):
        words = f"the number {number_text(value)}"
    elif isinstance(value, list | tuple):
        words = "a list"
    return words


def number_text(value: float) -> str:
    """Return a plain number as a person wrote it, short whatever its size.

    Parameters
    ----------
    value : float or int
        The number. [-]

    Returns
    -------
    str
        Its digits, or what it is called. [-]

    Examples
    --------
    >>> number_text(0.5), number_text(float("nan"))
    ('0.5', 'NaN')
    """
    if isinstance(value, int):
        return str(value) if abs(value) < 10**15 else "with more than 15 digits"
    if math.isnan(value):
        return "NaN"
    if math.isinf(value):
        return "infinity" if value > 0 else "-infinity"
    return repr(value)


def is_finite(value: float) -> bool:
    """Whether a plain number is neither NaN nor infinite, however long it is.

    Parameters
    ----------
    value : float or int
        The number. [-]

    Returns
    -------
    bool
        True for every int. [-]
    """
    # math.isfinite turns an int into a float, and a long one does not go in.
    return isinstance(value, int) or math.isfinite(value)


def what_to_write(shape: Shape) -> str:
    """Say what may stand for a missing value.

    Parameters
    ----------
    shape : Shape
        What is wanted. [-]

    Returns
    -------
    str
        The mend, as the end of a sentence. [-]
    """
    words = "write a list"
    match shape:
        case QuantityShape(measure):
            words = f'write one like "{DIMENSIONS[measure.dimension].example}"'
        case NumberShape(_, low, high):
            words = f"write a number from {low:g} to {high:g}"
        case ChoiceShape(choices) if len(choices) == 1:
            words = f'write "{choices[0]}"'
        case ChoiceShape(choices):
            words = f"choose of {listed(choices)}"
        case FlagShape():
            words = "write true or false"
        case TextShape():
            words = "write a text"
        case RecordShape(cls):
            keys = listed(field.key for field in fields_of(cls) if field.required)
            words = f"write an object with {keys}" if keys else "write an object"
    return words
