"""What a person reads off a gauge, a meter or a clock, as text and in SI."""

from dataclasses import dataclass
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.units import parse_quantity

KINDS: Final = ("pressure", "flow", "volume", "time", "temperature", "length")
"""Dimensions that are read on site; a unit belongs to one of them at most."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as written; without value and kind where it is no quantity."""

    text: str
    value: float | None = None
    kind: str = ""


def read_reading(text: str) -> Reading:
    """Read what a person wrote down, whatever was measured.

    Parameters
    ----------
    text : str
        Such as ``48 psi``, ``12 gal``, or words. [-]

    Returns
    -------
    Reading
        The text with its SI value and dimension. A number without a unit has no
        value: nobody can tell what it counts. [SI]

    Examples
    --------
    >>> read_reading("2 min")
    Reading(text='2 min', value=120.0, kind='time')
    >>> read_reading("no water seen")
    Reading(text='no water seen', value=None, kind='')
    """
    written = text.strip()
    for kind in KINDS:
        try:
            return Reading(written, parse_quantity(written, kind), kind)
        except InputError:
            continue
    return Reading(written)
