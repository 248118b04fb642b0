"""Reading of the plain values of a record: numbers, flags, texts and choices.

Each reader returns the value, or raises `InputError` with the sentence; where in
the record it stands is known one level up.
"""

from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.site.shapes import ChoiceShape, NumberShape, TextShape
from maintenance.engine.site.wording import (
    described,
    is_finite,
    listed,
    nearest,
    number_text,
    shown,
)


def read_number(value: object, shape: NumberShape) -> float:
    """Read a plain number.

    Parameters
    ----------
    value : object
        The number as in the file. [-]
    shape : NumberShape
        Whole or not, and its bounds. [-]

    Returns
    -------
    float
        The number just as it came, an int where it was one. [-]

    Raises
    ------
    InputError
        If it is no finite number, not whole, or out of bounds.
    """
    kind = "a whole number" if shape.whole else "a number"
    span = f"from {shape.low:g} to {shape.high:g}"
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise InputError(f"{described(value)} is not {kind}; write {kind} {span}")
    if not is_finite(value):
        raise InputError(f"{number_text(value)} is not {kind}; write {kind} {span}")
    if shape.whole and not isinstance(value, int):
        raise InputError(f"{number_text(value)} is not {kind}; write {kind} {span}")
    if not shape.low <= value <= shape.high:
        raise InputError(
            f"{number_text(value)} is not possible here; it must be {span}"
        )
    return value


def read_flag(value: object) -> bool:
    """Read true or false.

    Parameters
    ----------
    value : object
        The value as in the file. [-]

    Returns
    -------
    bool
        The value. [-]

    Raises
    ------
    InputError
        If it is anything else.
    """
    if not isinstance(value, bool):
        raise InputError(f"{described(value)} is neither true nor false; write one")
    return value


def read_text(value: object, shape: TextShape) -> str:
    """Read a text.

    Parameters
    ----------
    value : object
        The text as in the file. [-]
    shape : TextShape
        How long it may be. [-]

    Returns
    -------
    str
        The text, unchanged. [-]

    Raises
    ------
    InputError
        If it is no text, empty, too long, or holds characters that cannot be kept.
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        number = number_text(value)
        raise InputError(f'{number} is a number; write it in quotes, like "{number}"')
    if not isinstance(value, str):
        raise InputError(f"{described(value)} is not a text; write one in quotes")
    if not value.strip():
        raise InputError("is empty; write a text, or leave the key out if not known")
    if len(value) > shape.limit:
        raise InputError(
            f"has {len(value)} characters; shorten it to at most {shape.limit}"
        )
    if shape.one_line and (value != value.strip() or not value.isprintable()):
        raise InputError(
            f'"{shown(value)}" has spaces at an end or characters that cannot be seen;'
            " take them out"
        )
    # Line ends and tabs may stand in a note; no store or screen keeps the others.
    if any(letter in value for letter in _UNKEPT) or not _encodes(value):
        raise InputError("holds a control character; take it out")
    return value


_UNKEPT: Final = "".join(chr(n) for n in (*range(9), 11, 12, *range(14, 32), 127))


def _encodes(value: str) -> bool:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def read_choice(value: object, shape: ChoiceShape) -> str:
    """Read one of a few words.

    Parameters
    ----------
    value : object
        The word as in the file. [-]
    shape : ChoiceShape
        The words. [-]

    Returns
    -------
    str
        The word. [-]

    Raises
    ------
    InputError
        If it is another one.
    """
    if isinstance(value, str) and value in shape.choices:
        return value
    near = nearest(value, shape.choices) if isinstance(value, str) else ""
    choices = listed(shape.choices)
    if len(shape.choices) == 1:
        mend = f"write {choices}, which is what the tool reads"
    else:
        mend = f"choose of {choices}"
    raise InputError(f"{described(value)} is not known here{near}; {mend}")
