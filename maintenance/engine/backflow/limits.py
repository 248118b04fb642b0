"""Limits of field tests: each holds one reading, a set of them judges a test."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Final, Literal, get_args

from maintenance.engine.backflow.readings import (
    DEVICES,
    READING_KEYS,
    READING_KINDS,
    Device,
    Kind,
)
from maintenance.engine.errors import InputError

Use = Literal["required", "optional", "not used"]
Asks = Literal["at least", "yes", "times"]
BUFFER: Final = "buffer"
_MILLIMETRES: Final = {"in": Decimal("25.4"), "mm": Decimal(1)}
_FORMS: Final[Mapping[Kind, tuple[tuple[str, str], ...]]] = MappingProxyType(
    {
        "psid": (("at least", "psid"),),
        "yes_no": (("yes", ""),),
        "length": (("times", ""), ("at least", "in"), ("at least", "mm")),
    }
)
_FORMS_IN_WORDS: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        "psid": "at least a value in psid",
        "yes_no": "yes, without a unit",
        "length": "times a number, or at least a value in in or mm",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of a set.

    ``key`` is a reading, or ``buffer`` (check valve 1 less relief valve opening).
    ``asks`` is *at least* a value in ``unit`` (psid, in or mm), *yes*, or for an air
    gap *times* the diameter of the supply. Optional: it may be left out, but counts
    where it was read.
    """

    device: Device
    key: str
    asks: Asks
    value: Decimal | None = None
    unit: str = ""
    use: Use = "required"
    source: str = ""

    @property
    def number(self) -> Decimal:
        """The value, where the limit asks for one [psid, in, mm or times]."""
        if self.value is None:
            raise InputError(f"criteria, {self.device} {self.key}: it has no value")
        return self.value

    @property
    def millimetres(self) -> Decimal:
        """The value of a length [mm]."""
        return self.number * _MILLIMETRES[self.unit]


@dataclass(frozen=True, slots=True, kw_only=True)
class Criteria:
    """A set of limits: procedure, edition, source and the date it was looked up."""

    id: str
    procedure: str
    edition: str
    source: str
    checked: date
    limits: tuple[Limit, ...]

    def __post_init__(self) -> None:
        for limit in self.limits:
            check_limit(limit)
        places = [(limit.device, limit.key, limit.asks) for limit in self.limits]
        for place in places:
            if places.count(place) > 1:
                raise InputError(
                    f"criteria {self.id}: {' '.join(place)} stands there twice; "
                    "keep one of the rows",
                    input="criteria",
                )

    def of(self, device: Device) -> tuple[Limit, ...]:
        """Return the limits of one kind of device, in their order.

        Parameters
        ----------
        device : str
            One of `DEVICES` [text].

        Returns
        -------
        tuple of Limit
            Empty where the set says nothing about it [limits].
        """
        return tuple(limit for limit in self.limits if limit.device == device)


def check_limit(limit: Limit) -> None:
    """Refuse a limit that no reading could be held against.

    Parameters
    ----------
    limit : Limit
        The limit [psid, in, mm or words].

    Returns
    -------
    None
        Nothing, where there is no fault [-].

    Raises
    ------
    InputError
        It says what to mend.
    """
    if fault := _fault(limit):
        raise InputError(
            f"criteria, {limit.device} {limit.key}: {fault}", input="criteria"
        )


def _fault(limit: Limit) -> str:
    if limit.device not in DEVICES:
        return f"write one of {', '.join(DEVICES)} as the device"
    keys = READING_KEYS[limit.device] + ((BUFFER,) if limit.device == "RP" else ())
    if limit.key not in keys or limit.key == "supply_diameter":
        return "there is no such reading to set a limit on"
    if limit.use not in get_args(Use):
        return f"write one of {', '.join(get_args(Use))} as its use"
    kind = "psid" if limit.key == BUFFER else READING_KINDS[limit.key]
    if (limit.asks, limit.unit) not in _FORMS[kind]:
        return f"it asks {_FORMS_IN_WORDS[kind]}"
    return _fault_of_value(limit)


def _fault_of_value(limit: Limit) -> str:
    value = limit.value
    if limit.asks == "yes":
        return "" if value is None else "a yes takes no value"
    if value is None or not value.is_finite() or value < 0:
        return "give its value as a number of 0 or more"
    return ""
