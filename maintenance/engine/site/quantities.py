"""Reading of a quantity as entered: ``"120 ft"`` to SI beside its text."""

import math
import re
from typing import Final

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.errors import InputError
from maintenance.engine.site.measures import Measure
from maintenance.engine.site.wording import described, is_finite, number_text, shown
from maintenance.engine.units import ORIGINS, Quantity, parse_number, parse_quantity

ASSUMED: Final = "assumed"
READ_ORIGINS: Final = (*ORIGINS, ASSUMED)
QUANTITY_LIMIT: Final = 60
_UNIT: Final = re.compile(r"[A-Za-z0-9_*/^ .·²³()%+-]*")
# A power of a power, or of a bracket, would have the unit reader work out numbers
# with millions of digits.
_TOWER: Final = re.compile(
    r"(\*\*|\^)\s*(?![+-]?\d{1,2}(\.\d{1,3})?(?![\d.]))"
    r"|(\*\*|\^)[^/*^]*(\*\*|\^)"
    r"|\)\s*(\*\*|\^)"
)


def read_quantity(value: object, measure: Measure, origin: str = "stated") -> Quantity:
    """Read a text such as ``"120 ft"``.

    Parameters
    ----------
    value : object
        The text as entered. [-]
    measure : Measure
        Dimension and possible values. [-]
    origin : str
        Where the value came from. [-]

    Returns
    -------
    Quantity
        SI beside the text. [SI]

    Raises
    ------
    InputError
        If it is no text, has no unit, is of another kind or is not possible.
    """
    example = DIMENSIONS[measure.dimension].example
    if isinstance(value, int | float) and not isinstance(value, bool):
        number = number_text(value)
        if not is_finite(value):
            raise InputError(f'{number} is not a quantity; write one like "{example}"')
        unit = example.split()[-1]
        raise InputError(f'{number} has no unit; write a text like "{number} {unit}"')
    if not isinstance(value, str):
        raise InputError(
            f'{described(value)} is not a quantity; write one like "{example}"'
        )
    if not value.strip():
        raise InputError(f'is empty; write one like "{example}"')
    _refuse_odd_text(value, example)
    try:
        si = parse_quantity(value, measure.dimension)
    except InputError as error:
        raise _with_mend(error, example) from error
    if not math.isfinite(si):
        raise InputError(f'"{value}" is too large a number; write one like "{example}"')
    _refuse_impossible(value, si, measure)
    return Quantity(si, value, origin)


def _refuse_odd_text(value: str, example: str) -> None:
    mend = f'write one like "{example}"'
    if len(value) > QUANTITY_LIMIT or not value.isprintable() or not value.isascii():
        odd = "²³·"
        plain = "".join(letter for letter in value if letter not in odd)
        if len(value) > QUANTITY_LIMIT or not (plain.isprintable() and plain.isascii()):
            raise InputError(f'"{shown(value)}" cannot be read as a quantity; {mend}')
    if re.match(r"\s*[+-]?(nan|inf)", value, re.IGNORECASE):
        raise InputError(f'"{shown(value)}" is not a finite number; {mend}')
    try:
        unit = parse_number(value)[1]
    except InputError as error:
        raise _with_mend(error, example) from error
    if not _UNIT.fullmatch(unit) or _TOWER.search(unit):
        raise InputError(f'"{unit}" is not a unit that the tool knows; {mend}')


def _with_mend(error: InputError, example: str) -> InputError:
    if "; write" in error.text:
        return error
    return InputError(f'{error.text}; write one like "{example}"')


def _refuse_impossible(value: str, si: float, measure: Measure) -> None:
    low, high = measure.low, measure.high
    if low is not None and (si < low or (measure.above and si <= low)):
        bound = _in_unit_of(value, low, measure.dimension)
        wanted = f"more than {bound}" if measure.above else f"at least {bound}"
        raise InputError(f'"{value}" is not possible here; it must be {wanted}')
    if high is not None and si > high:
        bound = _in_unit_of(value, high, measure.dimension)
        raise InputError(f'"{value}" is not possible here; it must be at most {bound}')


def _in_unit_of(entered: str, si: float, dimension: str) -> str:
    """Write an SI value in the unit that the person used."""
    unit = parse_number(entered)[1]
    zero = parse_quantity(f"1 {unit}", dimension)
    step = parse_quantity(f"2 {unit}", dimension) - zero
    number = 1 + (si - zero) / step
    if abs(number) < 1e-9:
        number = 0.0
    return f"{number:.6g} {unit}".strip()
