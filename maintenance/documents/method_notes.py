"""The methods behind a sheet's figures, each once: the numbered notes on paper."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from maintenance.engine.blowout.sheet import Sheet

if TYPE_CHECKING:
    from maintenance.engine.figure import Figure

_NAMES = {
    "limit_pressure_pa": "Limit",
    "displacement.time_s": "First front",
    "gauge.dry_pa": "Gauge",
    "least_free_air_m3_per_s": "Least free air",
    "stored_energy_j": "Stored energy",
}
_LIMIT = (
    "The least over all parts on the way of the custom for its material, 0.72 of its "
    "water rating when warm, and what is entered for it, less the water's weight down "
    "to it; rounded down"
)
_SAME_IN_ALL = frozenset({"displacement.time_s", "least_free_air_m3_per_s"})


@dataclass(frozen=True, slots=True)
class Note:
    """One method: which figures it gives, how, from where, and what it assumes."""

    number: int
    figure: str
    name: str
    method: str
    sources: tuple[str, ...]
    assumptions: tuple[str, ...]


def method_notes(sheet: Sheet) -> tuple[Note, ...]:
    """Collect the methods of a sheet in a fixed order, numbered from one."""
    first: dict[str, Figure] = {}
    for key, figure in sheet.figures.items():
        # A row's own key may hold a dot, so the figure's name is found at the end.
        name = next((name for name in _NAMES if key.endswith(f".{name}")), None)
        if name is not None:
            first.setdefault(name, figure)
    notes = []
    for number, name in enumerate((n for n in _NAMES if n in first), start=1):
        figure = first[name]
        method = _LIMIT if name == "limit_pressure_pa" else figure.method
        assumed = figure.assumptions if name in _SAME_IN_ALL else ()
        notes.append(Note(number, name, _NAMES[name], method, figure.sources, assumed))
    return tuple(notes)
