"""Readings of a field test, by kind of device, as the public forms ask for them.

Pressure differences are decimals and keep the digits that were typed: binary
fractions fail true readings at a limit (5.1 - 2.1 falls short of 3.0).

Sources: Iowa City, *Backflow Prevention Assembly Test Data and Maintenance Report*,
9/02 (readings and their order); New York State DOH-1013 (did not open, leaked);
WAC 246-292-034 and 246-292-036 (air gap under the relief valve; inspection of AVBs).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Final, Literal

from maintenance.engine.errors import InputError

Device = Literal["RP", "DC", "PVB", "SVB", "AVB", "AG"]
DEVICES: Final[tuple[Device, ...]] = ("RP", "DC", "PVB", "SVB", "AVB", "AG")
DEVICE_WORDS: Final[Mapping[Device, str]] = MappingProxyType(
    {
        "RP": "reduced pressure assembly",
        "DC": "double check assembly",
        "PVB": "pressure vacuum breaker",
        "SVB": "spill-resistant vacuum breaker",
        "AVB": "atmospheric vacuum breaker",
        "AG": "air gap",
    }
)


class State(StrEnum):
    """What stands in the place of a number where there is none."""

    DID_NOT_OPEN = "did not open"
    LEAKED = "leaked"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class Length:
    """A length as typed, and the same in millimetres, exactly."""

    millimetres: Decimal
    text: str


Reading = Decimal | Length | State | bool
"""A pressure difference [psid], a length, a word, or yes and no."""
Kind = Literal["psid", "yes_no", "length"]

READING_KEYS: Final[Mapping[Device, tuple[str, ...]]] = MappingProxyType(
    {
        "RP": ("check_1", "relief", "check_2", "check_2_held", "relief_air_gap"),
        "DC": ("check_1", "check_1_held", "check_2", "check_2_held"),
        "PVB": ("air_inlet", "check_1"),
        "SVB": ("check_1", "air_inlet", "fully_open"),
        "AVB": ("properly_installed", "operating_properly"),
        "AG": ("supply_diameter", "gap"),
    }
)
READING_KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {
        "check_1": "psid",
        "relief": "psid",
        "check_2": "psid",
        "air_inlet": "psid",
        "check_1_held": "yes_no",
        "check_2_held": "yes_no",
        "relief_air_gap": "yes_no",
        "fully_open": "yes_no",
        "properly_installed": "yes_no",
        "operating_properly": "yes_no",
        "supply_diameter": "length",
        "gap": "length",
    }
)
_OPENS: Final = (State.DID_NOT_OPEN, State.UNREADABLE)
_OPENS_OR_LEAKS: Final = (State.DID_NOT_OPEN, State.LEAKED, State.UNREADABLE)
STATES_OF: Final[Mapping[str, tuple[State, ...]]] = MappingProxyType(
    {
        "check_1": _OPENS_OR_LEAKS,
        "check_2": _OPENS_OR_LEAKS,
        "relief": _OPENS,
        "air_inlet": _OPENS,
    }
    | {
        key: (State.UNREADABLE,)
        for key, kind in READING_KINDS.items()
        if kind != "psid"
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What else a test sheet holds: it decides whether the readings count at all.

    ``supply_pressure`` is in psi, as typed. ``shut_off_2_holds`` is None where
    nobody said. ``unable_because`` is empty unless the test could not be done.
    """

    supply_pressure: Decimal | None = None
    shut_off_2_holds: bool | None = None
    unable_because: str = ""


UNSAID: Final = Conditions()

SUCH_AS: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        "psid": 'the number in psi with a point, such as "5.1 psi"',
        "yes_no": '"yes" or "no"',
        "length": 'a length such as "1-1/2 in" or "40 mm"',
    }
)
"""How a reading of each kind is written."""
_KIT_PSID: Final = Decimal(15)  # common practice, no source
_WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "check_1": "check valve 1",
        "relief": "relief valve opening",
        "check_2": "check valve 2",
        "air_inlet": "air inlet opening",
        "check_1_held": "check valve 1 held against back-pressure",
        "check_2_held": "check valve 2 held against back-pressure",
        "relief_air_gap": "air gap under the relief valve proper",
        "fully_open": "air inlet fully open with the supply at the atmosphere",
        "properly_installed": "properly installed",
        "operating_properly": "operating properly",
        "supply_diameter": "diameter of the supply",
        "gap": "air gap",
        "buffer": "buffer (check valve 1 less relief valve opening)",
    }
)


def check_readings(device: Device, readings: Mapping[str, Reading]) -> None:
    """Refuse readings that this kind of device does not have, or of another kind.

    Parameters
    ----------
    device : str
        One of `DEVICES` [text].
    readings : mapping of str to Reading
        By key [psid, mm or words].

    Returns
    -------
    None
        Nothing, where there is no fault [-].

    Raises
    ------
    InputError
        It names the first key at fault.
    """
    for key, reading in readings.items():
        if key not in READING_KEYS[device]:
            raise InputError(
                f"{key}: this is not read at the {DEVICE_WORDS[device]} ({device}); "
                f"it has {', '.join(READING_KEYS[device])}",
                input=key,
            )
        if not _fits(key, reading):
            raise InputError(
                f"{key}: {reading!r} is no reading; give {SUCH_AS[READING_KINDS[key]]}",
                input=key,
            )


def _fits(key: str, reading: Reading) -> bool:
    if isinstance(reading, State):
        return reading in STATES_OF[key]
    match READING_KINDS[key]:
        case "psid":
            # Not-a-number is of no sign and not finite.
            return isinstance(reading, Decimal) and reading.is_finite() and reading >= 0
        case "yes_no":
            return isinstance(reading, bool)
        case _:
            return isinstance(reading, Length) and _is_length(key, reading.millimetres)


def _is_length(key: str, millimetres: Decimal) -> bool:
    if not millimetres.is_finite():
        return False
    return millimetres > 0 or (millimetres == 0 and key == "gap")


def reading_words(device: Device, key: str) -> str:
    """Name a reading as the trade does.

    Parameters
    ----------
    device : str
        One of `DEVICES` [text].
    key : str
        One of its `READING_KEYS`, or ``buffer`` [text].

    Returns
    -------
    str
        Such as ``check valve 1`` [text].
    """
    one_check = device in ("PVB", "SVB") and key == "check_1"
    return "check valve" if one_check else _WORDS[key]


def doubts(
    device: Device,
    readings: Mapping[str, Reading],
    conditions: Conditions = UNSAID,
) -> tuple[str, ...]:
    """Name numbers that look like a slip of the pen; they change no verdict.

    Parameters
    ----------
    device : str
        One of `DEVICES` [text].
    readings : mapping of str to Reading
        By key [psid, mm or words].
    conditions : Conditions
        What else the sheet holds [psi and words].

    Returns
    -------
    tuple of str
        One sentence for each [text].
    """
    supply = conditions.supply_pressure
    found = []
    for key in READING_KEYS[device]:
        reading = readings.get(key)
        if not isinstance(reading, Decimal):
            continue
        name = reading_words(device, key)
        if supply is not None and reading > supply:
            found.append(
                f"The {name} reads {reading} psid, more than the supply pressure of "
                f"{supply} psi: look at both again."
            )
        elif reading > _KIT_PSID:
            found.append(
                f"The {name} reads {reading} psid, more than the {_KIT_PSID} psid of "
                "the usual test kit: look at the point again."
            )
    return tuple(found)
