"""What a rule asks of an assembly: kind, hazard, size, and what the water is used for.

None means that nobody said. A rule is left out only where it is known not to apply, so
that what is unknown can bring a date forward and never put it off.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from maintenance.engine.backflow.readings import Device
from maintenance.engine.errors import InputError

Hazard = Literal["low", "moderate", "high"]

_INCH_M: Final = Fraction(254, 10_000)
_SIZE: Final = re.compile(
    r"(?:(?:(\d{1,2})[-\s])?(\d{1,2})/(\d{1,2})|(\d{1,4}(?:\.\d{1,6})?))"
    r"\s*(in|inch|inches|\"|mm)?",
    re.ASCII | re.IGNORECASE,
)
_USE: Final = re.compile(
    r"(?:(residential|commercial) )?irrigation(?:,? (no|without|with) chemicals)?"
)
USE_WORDS: Final = (
    "residential irrigation",
    "residential irrigation with chemicals",
    "commercial irrigation",
    "commercial irrigation with chemicals",
    "irrigation",
    "other",
)


@dataclass(frozen=True, slots=True)
class Use:
    """What the water is used for; chemicals are those fed into it."""

    irrigation: bool | None = True
    residential: bool | None = None
    chemicals: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """An assembly as far as a rule asks.

    ``kind`` is one of the device kinds, ``size_m`` the nominal size, ``months_used``
    how many months of a year it is in use. This tool is for irrigation, so ``use`` is
    irrigation unless said otherwise.
    """

    kind: Device | None = None
    hazard: Hazard | None = None
    size_m: float | None = None
    use: Use = Use()
    months_used: int | None = None


def nominal_size_m(text: str) -> float:
    """Read the nominal size of an assembly.

    Parameters
    ----------
    text : str
        ``1-1/4``, ``1 in`` or ``25 mm``; without a unit it is inches [text].

    Returns
    -------
    float
        The nominal size, 1 mm to 1 m; a label, not a bore [m].

    Raises
    ------
    InputError
        If it cannot be read.

    Examples
    --------
    >>> nominal_size_m("1-1/4") == nominal_size_m("1.25 in")
    True
    """
    match = _SIZE.fullmatch(text.strip())
    size = _length(match) if match else None
    if size is None or not Fraction(1, 1000) <= size <= 1:
        raise InputError(
            f'size: "{text.strip()[:40]}" is no nominal size; write one like "1-1/4" '
            'or "25 mm"',
            input="size",
        )
    return float(size)


def _length(match: re.Match[str]) -> Fraction | None:
    whole, above, below, plain, unit = match.groups()
    if plain is not None:
        number = Fraction(plain)
    elif int(below):
        number = Fraction(int(whole or 0)) + Fraction(int(above), int(below))
    else:
        return None
    return number / 1000 if (unit or "in").lower() == "mm" else number * _INCH_M


def parse_use(text: str) -> Use:
    """Read what the water is used for.

    Parameters
    ----------
    text : str
        One of `USE_WORDS`, or with ``no chemicals`` at the end [text].

    Returns
    -------
    Use
        Words without "with chemicals" say that none are fed into the water [-].

    Raises
    ------
    InputError
        For any other text.

    Examples
    --------
    >>> parse_use("residential irrigation, no chemicals")
    Use(irrigation=True, residential=True, chemicals=False)
    """
    plain = " ".join(text.lower().split())
    if plain == "other":
        return Use(irrigation=False)
    match = _USE.fullmatch(plain)
    if match is None:
        raise InputError(
            f'use: "{text.strip()[:40]}" is not known; write one of '
            f'{", ".join(USE_WORDS)}; "no chemicals" may follow',
            input="use",
        )
    who, chemicals = match.groups()
    return Use(
        irrigation=True,
        residential=None if who is None else who == "residential",
        chemicals=chemicals == "with",
    )
