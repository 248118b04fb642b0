"""Quantities at the edge: a text such as ``"120 ft"`` to SI and back.

Inside the engine every number is SI. A quantity arrives as text with its unit,
is read here once, and keeps the text beside the SI value so that a person
always sees what was entered. A pressure is gauge unless it ends in ``abs``.
"""

import math
import re
from dataclasses import dataclass
from typing import Final, Literal

from maintenance.engine.dimensions import DIMENSIONS, SHOWN, Dimension
from maintenance.engine.errors import InputError
from maintenance.engine.unit_factors import unit_factor

UnitSystem = Literal["us", "si"]
Rounding = Literal["nearest", "down", "up"]
ORIGINS: Final = ("measured", "label", "catalogue", "guessed")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI beside the text as entered and where it came from.

    ``origin`` is ``stated`` for a plain text, one of `ORIGINS` where the person
    said so, ``assumed`` where the tool filled it in.
    """

    value: float
    text: str
    origin: str = "stated"


_NUMBER = re.compile(
    r"""\s*(?P<sign>[+-]?)\s*
    (?:(?P<whole>\d+)[-\s](?=\d+/\d))?
    (?:(?P<num>\d+)/(?P<den>\d+)|(?P<dec>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))
    (?![\d.])\s*(?P<unit>.*)$""",
    re.VERBOSE,
)
LONGEST_TEXT = 200
_OFFSET = {"degF": 459.67 / 1.8, "degC": 273.15}


def parse_number(text: str) -> tuple[float, str]:
    """Split a text into its number and the rest.

    Parameters
    ----------
    text : str
        Decimal, fraction or mixed number, then a unit. [-]

    Returns
    -------
    tuple of float and str
        The number and the unit text. [-]

    Raises
    ------
    InputError
        If the text does not start with a finite number.

    Examples
    --------
    >>> parse_number("1-1/2 in")
    (1.5, 'in')
    """
    match = _NUMBER.match(text) if len(text) <= LONGEST_TEXT else None
    if match is None:
        raise InputError(f'"{text[:60]}" does not start with a number')
    part = match.groupdict()
    if part["num"] is not None:
        if int(part["den"]) == 0:
            raise InputError(f'"{text}" divides by zero')
        number = int(part["whole"] or 0) + int(part["num"]) / int(part["den"])
    else:
        number = float(part["dec"])
    if not math.isfinite(number):
        raise InputError(f'"{text}" is not a finite number')
    return (-number if part["sign"] == "-" else number), part["unit"].strip()


def parse_pressure(text: str) -> tuple[float, bool]:
    """Read a pressure and whether it is absolute.

    Parameters
    ----------
    text : str
        Number and unit, then ``abs`` for an absolute pressure. [-]

    Returns
    -------
    tuple of float and bool
        Pressure and True where it is absolute. [Pa]

    Examples
    --------
    >>> parse_pressure("100 kPa abs")
    (100000.0, True)
    """
    stripped = re.sub(r"\s*\babs$", "", text.strip())
    absolute = stripped != text.strip()
    return _convert(stripped, DIMENSIONS["pressure"]), absolute


def parse_quantity(text: str, dimension: str) -> float:
    """Read a text such as ``"120 ft"`` as SI.

    Parameters
    ----------
    text : str
        Number and unit; fractions and mixed numbers are read. [-]
    dimension : str
        Name in `DIMENSIONS`. [-]

    Returns
    -------
    float
        Value in the dimension's SI unit; a pressure is gauge. [SI]

    Raises
    ------
    InputError
        If the number or unit is missing, unknown or of another kind.

    Examples
    --------
    >>> round(parse_quantity("120 ft", "length"), 3)
    36.576
    >>> round(parse_quantity("50 degF", "temperature"), 2)
    283.15
    """
    if not isinstance(text, str):
        raise InputError(
            f'{text!r} has no unit; write a text like "{DIMENSIONS[dimension].example}"'
        )
    if dimension in ("pressure", "stress"):
        value, absolute = parse_pressure(text)
        if absolute:
            raise InputError(f'"{text}" is absolute; a gauge pressure is wanted here')
        return value
    return _convert(text, DIMENSIONS[dimension])


def _convert(text: str, dimension: Dimension) -> float:
    number, unit = parse_number(text)
    wanted = dimension.name.replace("_", " ")
    if not unit and dimension.unit:
        suggestion = f"{text.strip()} {dimension.example.split()[-1]}"
        raise InputError(f'"{text}" has no unit; write "{suggestion}"')
    if dimension.name == "temperature":
        if unit in _OFFSET:
            value = number * unit_factor(unit)[0] + _OFFSET[unit]
        elif unit == "K":
            value = number
        else:
            raise InputError(f'"{text}" is not a temperature; write e.g. "50 degF"')
        if value <= 0:
            raise InputError(f'"{text}" is below absolute zero')
        return value
    factor, kind = unit_factor(unit)
    own_factor, own_kind = unit_factor(dimension.unit)
    if kind != own_kind:
        raise InputError(
            f'"{text}" is not a {wanted}; write one like "{dimension.example}"'
        )
    return number * factor / own_factor


def to_unit(value: float, dimension: str, system: UnitSystem) -> tuple[float, str]:
    """Convert SI to the unit shown to people.

    Parameters
    ----------
    value : float
        Value in the dimension's SI unit. [SI]
    dimension : str
        Name in `DIMENSIONS`. [-]
    system : str
        ``us`` or ``si``. [-]

    Returns
    -------
    tuple of float and str
        Value and unit text as shown. [-]
    """
    entry = DIMENSIONS[dimension]
    unit = entry.us if system == "us" else entry.si
    shown = SHOWN.get(unit, unit.replace("*", "·").replace("delta_deg", "°"))
    if dimension == "temperature":
        factor = 1.8 if system == "us" else 1.0
        offset = 459.67 if system == "us" else 273.15
        return value * factor - offset, shown
    return value * unit_factor(entry.unit)[0] / unit_factor(unit)[0], shown


def display(
    value: float | None,
    dimension: str,
    system: UnitSystem = "us",
    rounding: Rounding = "nearest",
    *,
    digits: int | None = None,
) -> str:
    """Write an SI value with its unit for a person.

    Parameters
    ----------
    value : float or None
        Value in SI; None is written as "unknown". [SI]
    dimension : str
        Name in `DIMENSIONS`. [-]
    system : str
        ``us`` or ``si``. [-]
    rounding : str
        ``down`` for limits, ``up`` for needs, else ``nearest``. [-]
    digits : int, optional
        Decimals; default from the dimension. [-]

    Returns
    -------
    str
        For example ``"45 psi"``. [-]

    Examples
    --------
    >>> display(344737.86, "pressure", "us", "down")
    '50 psi'
    """
    if value is None or not math.isfinite(value):
        return "unknown"
    number, unit = to_unit(value, dimension, system)
    if digits is None:
        digits = DIMENSIONS[dimension].digits[0 if system == "us" else 1]
    text = round_text(number, digits, rounding)
    return f"{text}{'' if unit == '°' else ' '}{unit}".strip()


def round_text(number: float, digits: int, rounding: Rounding = "nearest") -> str:
    """Round a number in one direction and write it.

    Parameters
    ----------
    number : float
        Number as shown. [-]
    digits : int
        Decimals kept. [-]
    rounding : str
        ``nearest``, ``down`` or ``up``. [-]

    Returns
    -------
    str
        The number with exactly that many decimals. [-]

    Examples
    --------
    >>> round_text(49.99, 0, "down"), round_text(0.41, 1, "up")
    ('49', '0.5')
    """
    scaled = number * 10**digits
    # A value that a unit conversion left a hair off a whole step is on the step.
    if abs(scaled - round(scaled)) < 1e-6:
        scaled = float(round(scaled))
    if rounding == "down":
        whole = math.floor(scaled)
    else:
        whole = math.ceil(scaled) if rounding == "up" else round(scaled)
    return f"{whole / 10**digits:.{digits}f}"
