"""Which steps ask for a reading, and what a person types in."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.step import Step
from maintenance.engine.site import Site
from maintenance.engine.units import UnitSystem

_ASKED: Final = {
    "blow": ("Gauge at the end, air still on", "pressure"),
    "prove_holding": ("Caught in that time", "volume"),
    "record": ("What the meter shows", "meter"),
    "check": ("What it showed", "no change"),
    "test": ("Result", "passed"),
    "run": ("Flow, if you can read it", "flow"),
}
_LEAK_TESTS: Final = ("meter", "gauge", "pump starts")
_EXAMPLES: Final = {
    "us": {
        "pressure": "32 psi",
        "volume": "0.1 gal",
        "flow": "7 gpm",
        "meter": "12340 gal",
    },
    "si": {
        "pressure": "220 kPa",
        "volume": "0.4 L",
        "flow": "26 L/min",
        "meter": "46.71 m3",
    },
}
_SECONDS: Final = re.compile(r"(?:(\d{1,5}):)?(\d{1,6}(?:\.\d{1,3})?)\s*s?")


@dataclass(frozen=True, slots=True)
class Asked:
    """A reading that a step asks for, with an example of what to write."""

    label: str
    example: str


def meters_of(site: Site) -> frozenset[str]:
    """Return the ids of the water meters of a site."""
    return frozenset(link.id for link in site.links if link.kind == "meter")


def reading_asked(
    step: Step, meters: Collection[str], system: UnitSystem
) -> Asked | None:
    """Return the reading that a step asks for, if it asks for one."""
    asks = {
        "record": step.on in meters,
        "check": step.to in _LEAK_TESTS,
        "run": step.to.endswith(" min"),
    }
    if step.act not in _ASKED or not asks.get(step.act, True):
        return None
    label, kind = _ASKED[step.act]
    return Asked(label, _EXAMPLES[system].get(kind, kind))


def read_seconds(text: str) -> float | None:
    """Read seconds as a person types them: ``95`` or ``1:35``; None for nothing.

    Raises
    ------
    InputError
        If it is neither.
    """
    written = text.strip()
    if not written:
        return None
    found = _SECONDS.fullmatch(written)
    if found is None:
        raise InputError(
            f'"{written}" is no number of seconds: write it like 95 or 1:35, or leave '
            "it out."
        )
    return 60.0 * int(found[1] or 0) + float(found[2])
