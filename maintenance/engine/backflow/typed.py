"""Readings as they are typed and as they are kept: text to values and back."""

import re
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from maintenance.engine.backflow.readings import (
    DEVICES,
    READING_KINDS,
    STATES_OF,
    SUCH_AS,
    Device,
    Length,
    Reading,
    State,
)
from maintenance.engine.errors import InputError

_NUMBER: Final = r"(?:\d{1,4}(?:\.\d{1,4})?|\.\d{1,4})"
_PSI: Final = re.compile(rf"({_NUMBER})\s*(psid?)?", re.ASCII | re.IGNORECASE)
_LENGTH: Final = re.compile(
    rf"(?:(?:(\d{{1,3}})[-\s])?(\d{{1,3}})/(\d{{1,2}})|({_NUMBER}))"
    r"\s*(in|inch|inches|\"|mm|cm)",
    re.ASCII | re.IGNORECASE,
)
_INCH_MM: Final = Decimal("25.4")
_MILLIMETRES: Final[Mapping[str, Decimal]] = MappingProxyType(
    dict.fromkeys(("in", "inch", "inches", '"'), _INCH_MM)
    | {"mm": Decimal(1), "cm": Decimal(10)}
)
_EXACT_PARTS: Final = (2, 4, 8, 16, 32, 64)
_LONGEST: Final = 40


def parse_device(text: str) -> Device:
    """Read a kind of device.

    Parameters
    ----------
    text : str
        One of `DEVICES`, in capitals or not [text].

    Returns
    -------
    str
        The kind [text].

    Raises
    ------
    InputError
        For any other text.
    """
    for device in DEVICES:
        if device == text.strip().upper():
            return device
    raise InputError(
        f'device: "{text[:_LONGEST]}" is none of {", ".join(DEVICES)}; '
        "write one of these",
        input="device",
    )


def parse_reading(key: str, text: str, *, unit_needed: bool = False) -> Reading:
    """Read what was written for one reading.

    Parameters
    ----------
    key : str
        One of `READING_KINDS` [text].
    text : str
        ``5.1``, ``5.1 psi``, ``yes``, ``1-1/2 in``, or a word of `STATES_OF` [text].
    unit_needed : bool
        Whether a pressure difference without its unit is refused [-].

    Returns
    -------
    Decimal, Length, State or bool
        The reading [psid, mm or words].

    Raises
    ------
    InputError
        If it cannot be understood; it names the key.
    """
    plain = " ".join(text.split())
    if plain.lower() in STATES_OF[key]:
        return State(plain.lower())
    kind = READING_KINDS[key]
    found = _READERS[kind](plain, unit_needed) if len(plain) <= _LONGEST else None
    if found is None:
        words = " or ".join(f'"{word}"' for word in STATES_OF[key])
        raise InputError(
            f'{key}: "{plain[:_LONGEST]}" cannot be read; write {SUCH_AS[kind]}, '
            f"or {words}",
            input=key,
        )
    return found


def _psid(text: str, unit_needed: bool) -> Reading | None:
    match = _PSI.fullmatch(text)
    if match is None or (unit_needed and match[2] is None):
        return None
    return Decimal(match[1])


def _yes_no(text: str, _: bool) -> Reading | None:
    return {"yes": True, "no": False}.get(text.lower())


def _length(text: str, _: bool) -> Reading | None:
    match = _LENGTH.fullmatch(text)
    if match is None:
        return None
    whole, above, below, decimal, unit = match.groups()
    if decimal is not None:
        number = Decimal(decimal)
    elif int(below) in _EXACT_PARTS:
        number = Decimal(whole or 0) + Decimal(above) / Decimal(below)
    else:
        return None
    return Length(number * _MILLIMETRES[unit.lower()], text)


_READERS: Final = MappingProxyType(
    {"psid": _psid, "yes_no": _yes_no, "length": _length}
)


def reading_text(reading: Reading) -> str:
    """Write a reading as it is kept; `parse_reading` reads it back.

    Parameters
    ----------
    reading : Decimal, Length, State or bool
        The reading [psid, mm or words].

    Returns
    -------
    str
        The number with the digits typed, the length, ``yes``, ``no``, a word [text].

    Examples
    --------
    >>> reading_text(parse_reading("check_1", "5.10 psi"))
    '5.10'
    """
    match reading:
        case bool():
            return "yes" if reading else "no"
        case Length():
            return reading.text
        case Decimal():
            return format(reading, "f")
        case _:
            return reading.value


def parse_supply_pressure(text: str) -> Decimal:
    """Read the pressure of the supply.

    Parameters
    ----------
    text : str
        ``62`` or ``62 psi`` [text].

    Returns
    -------
    Decimal
        The pressure, digits as typed [psi].

    Raises
    ------
    InputError
        If it cannot be understood.
    """
    match = _PSI.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if match is None:
        raise InputError(
            f'supply_pressure: "{text[:_LONGEST]}" cannot be read; write the number '
            'in psi with a point, such as "62 psi"',
            input="supply_pressure",
        )
    return Decimal(match[1])
