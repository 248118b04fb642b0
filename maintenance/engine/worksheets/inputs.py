"""The inputs of a worksheet: what they are, how they are read and refused."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final, Literal

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.errors import InputError
from maintenance.engine.units import (
    UnitSystem,
    parse_number,
    parse_pressure,
    parse_quantity,
    to_unit,
)

Kind = Literal["quantity", "pressure", "absolute", "number", "text", "choice"]

_NOT_A_NUMBER = re.compile(r"\s*[+-]?(nan|inf(inity)?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Pressure:
    """A pressure given as gauge or as absolute; the site's air tells them apart."""

    value_pa: float
    is_absolute: bool

    def absolute(self, atmospheric_pa: float) -> float:
        """Return the absolute pressure.

        Parameters
        ----------
        atmospheric_pa : float
            Absolute air pressure at the site [Pa].

        Returns
        -------
        float
            Absolute pressure [Pa].
        """
        return self.value_pa + (0.0 if self.is_absolute else atmospheric_pa)


Value = float | str | Pressure


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input: its name, kind, range in SI, and what is taken if it is left out.

    ``quantity`` is a number with a unit of ``dimension``; ``pressure`` may be gauge
    or absolute; ``absolute`` is absolute with or without the word; ``text`` may
    carry ``choices`` as suggestions, ``choice`` holds to them. Without ``default``
    an input is required, unless ``optional`` says that a case may do without.
    ``such_as`` is an example where that of the dimension would mislead.
    """

    name: str
    label: str
    kind: Kind = "quantity"
    dimension: str = ""
    low: float = -math.inf
    high: float = math.inf
    default: str | None = None
    default_origin: str = ""
    optional: bool = False
    choices: tuple[str, ...] = ()
    help: str = ""
    such_as: str = ""

    @property
    def example(self) -> str:
        """A text that could be given [text]."""
        if self.default is not None:
            return self.default
        if self.such_as:
            return self.such_as
        if self.choices:
            return self.choices[0]
        return DIMENSIONS[self.dimension].example if self.dimension else "1"


@dataclass(frozen=True, slots=True)
class Given:
    """One input as used: text, SI value, where it came from and why."""

    name: str
    text: str
    value: Value
    origin: str
    why: str = ""


def read_inputs(
    worksheet: str, declared: tuple[Input, ...], given: Mapping[str, str]
) -> tuple[Given, ...]:
    """Read, check and complete the inputs of a worksheet.

    Parameters
    ----------
    worksheet : str
        Name of the worksheet, for messages [text].
    declared : tuple of Input
        What it takes [inputs].
    given : mapping of str to str
        What the person wrote, by input name [text].

    Returns
    -------
    tuple of Given
        In the order declared; optional ones left out are absent [SI].

    Raises
    ------
    InputError
        For an unknown name, or an input missing, unreadable or out of range.
    """
    names = [entry.name for entry in declared]
    for name in given:
        if name not in names:
            near = get_close_matches(name, names, n=1)
            mend = (
                f"did you mean {near[0]}?" if near else f"it takes {', '.join(names)}"
            )
            raise InputError(f'{worksheet} has no input "{name}"; {mend}', input=name)
    read = [_read(entry, given.get(entry.name)) for entry in declared]
    return tuple(entry for entry in read if entry is not None)


def _read(declared: Input, text: str | None) -> Given | None:
    if text is None or not str(text).strip():
        if declared.default is not None:
            value = _value(declared, declared.default)
            why = declared.default_origin
            return Given(declared.name, declared.default, value, "assumed", why)
        if declared.optional:
            return None
        raise InputError(
            f"{declared.name} is missing ({declared.label}); "
            f'give {declared.name}="{declared.example}"{_span(declared)}',
            input=declared.name,
            low=_bound(declared.low),
            high=_bound(declared.high),
        )
    return Given(declared.name, str(text), _value(declared, str(text)), "stated")


def _value(declared: Input, text: str) -> Value:
    if declared.kind in _CHECKED_AS_NUMBER and _NOT_A_NUMBER.match(text):
        raise _refusal(declared, f'"{text}" is not a finite number', declared.example)
    try:
        return _READERS[declared.kind](declared, text)
    except InputError as error:
        if error.input:
            raise
        raise _refusal(declared, str(error), declared.example) from error


def _quantity(declared: Input, text: str) -> float:
    value = parse_quantity(text, declared.dimension)
    _check_range(declared, text, value, declared.low, declared.high)
    return value


def _pressure(declared: Input, text: str) -> Pressure:
    value, is_absolute = parse_pressure(text)
    # Gauge bounds hold at sea level; an absolute pressure lies one atmosphere up.
    offset = 101_325.0 if is_absolute else 0.0
    low = 0.0 if is_absolute and declared.low <= 0.0 else declared.low + offset
    _check_range(declared, text, value, low, declared.high + offset)
    return Pressure(value, is_absolute)


def _absolute(declared: Input, text: str) -> float:
    value, _ = parse_pressure(text)
    _check_range(declared, text, value, declared.low, declared.high)
    return value


def _number(declared: Input, text: str) -> float:
    value, unit = parse_number(text)
    if unit:
        raise InputError(f'"{text}" has a unit, but a plain number is wanted')
    _check_range(declared, text, value, declared.low, declared.high)
    return value


def _text(_: Input, text: str) -> str:
    return text.strip()


def _choice(declared: Input, text: str) -> str:
    plain = text.strip()
    if plain not in declared.choices:
        raise InputError(
            f'{declared.name}: "{plain}" is none of {", ".join(declared.choices)}; '
            "write one of these",
            input=declared.name,
        )
    return plain


_READERS: Final[Mapping[Kind, Callable[[Input, str], Value]]] = MappingProxyType(
    {
        "quantity": _quantity,
        "pressure": _pressure,
        "absolute": _absolute,
        "number": _number,
        "text": _text,
        "choice": _choice,
    }
)
_CHECKED_AS_NUMBER: Final = ("quantity", "pressure", "absolute", "number")


def _refusal(declared: Input, fault: str, example: str) -> InputError:
    mend = "" if "write" in fault else f'; write one like "{example}"'
    return InputError(
        f"{declared.name}: {fault}{mend}{_span(declared)}",
        input=declared.name,
        low=_bound(declared.low),
        high=_bound(declared.high),
    )


def _span(declared: Input) -> str:
    if not (math.isfinite(declared.low) and math.isfinite(declared.high)):
        return ""
    return f", from {_bounds(declared, declared.low, declared.high)}"


def _bound(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _check_range(
    declared: Input, text: str, value: float, low: float, high: float
) -> None:
    # Asked this way round, not-a-number falls through to the refusal.
    if low <= value <= high:
        return
    side = "too small" if value < low else "too large"
    raise InputError(
        f'{declared.name}: "{text}" is {side}; '
        f"give a value from {_bounds(declared, low, high)}",
        input=declared.name,
        low=low,
        high=high,
    )


def _bounds(declared: Input, low: float, high: float) -> str:
    dimension = declared.dimension
    if declared.kind in ("pressure", "absolute"):
        dimension = "pressure"
    if not dimension or dimension == "number":
        return f"{low:.6g} to {high:.6g}"
    us = f"{_shown(low, dimension, 'us')} to {_shown(high, dimension, 'us')}"
    si = f"{_shown(low, dimension, 'si')} to {_shown(high, dimension, 'si')}"
    return us if us == si else f"{us} ({si})"


def _shown(value: float, dimension: str, system: UnitSystem) -> str:
    number, unit = to_unit(value, dimension, system)
    return f"{number:.4g} {unit}"
