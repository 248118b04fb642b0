"""What a cell or a section holds, and what comes of it when sections join.

Merging: non-potable water wins over potable, any water over air, pressure over none.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

Holds = Literal["water", "air", "part", "unknown"]
Pressure = Literal["relieved", "may_stand", "on"]
History = Literal["potable", "not_potable", "air"]

PRESSURES: Final[Sequence[Pressure]] = ("relieved", "may_stand", "on")
HISTORIES: Final[Sequence[History]] = ("air", "potable", "not_potable")


@dataclass(frozen=True, slots=True)
class Contents:
    """What stands in a cell or a section; ``history`` is the last water in it."""

    holds: Holds
    pressure: Pressure
    history: History

    def as_json(self) -> dict[str, str]:
        """Return the contract's object.

        Returns
        -------
        dict
            ``holds``, ``pressure`` and ``history``. [-]
        """
        return {
            "holds": self.holds,
            "pressure": self.pressure,
            "history": self.history,
        }


def merged(contents: Sequence[Contents]) -> Contents:
    """Merge what cells hold: the worse water and the worse pressure win.

    Parameters
    ----------
    contents : sequence of Contents
        At least one. [-]

    Returns
    -------
    Contents
        Of all together. [-]
    """
    first = contents[0]
    if all(each is first or each == first for each in contents):
        return first
    holds = {each.holds for each in contents}
    together: Holds = "unknown" if "unknown" in holds else "part"
    if len(holds) == 1:
        together = first.holds
    return Contents(
        together,
        max((c.pressure for c in contents), key=PRESSURES.index),
        max((c.history for c in contents), key=HISTORIES.index),
    )
