"""What is opened to let the air out while a section fills: the highest outlet of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import Standing
from maintenance.engine.procedure.spread import spread

AS_HIGH_M: Final = 0.3
"""Outlets within a foot count as equally high; then the handiest is taken."""
HANDIEST: Final = ("hydrant", "zone_valve", "quick_coupler", "test_cock")


@dataclass(frozen=True, slots=True)
class AirOutlet:
    """Something that lets air out: a coupler, a hydrant, a cock, or a zone's heads.

    ``height_m`` is its own elevation, of a zone the one where its valve joins the
    main: above that the air leaves by the lateral whatever its slope.
    """

    element: str
    kind: str
    cell: int
    height_m: float
    point: str

    @property
    def position(self) -> str:
        """How it stands while it lets air out."""
        return "key_in" if self.kind == "quick_coupler" else "open"


def air_outlets(
    piping: Piping,
    after: Standing,
    filled: Iterable[int],
    *,
    kinds: Sequence[str] = HANDIEST,
) -> tuple[tuple[AirOutlet, ...], frozenset[int]]:
    """Choose what is opened while some cells fill.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    after : Standing
        How it stands with the water let in and every outlet still shut. [-]
    filled : iterable of int
        Cells that the water gets to. [-]
    kinds : sequence of str, optional
        What may serve; others only where none of these helps. [-]

    Returns
    -------
    tuple of AirOutlet and frozenset of int
        The outlets, the highest first, one for every part that has no other way for
        its air; and the cells whose air has no way out at all. [-]
    """
    cells = frozenset(filled)
    candidates = [each for each in _candidates(piping) if each.cell in cells]
    chosen: list[AirOutlet] = []
    waiting = _without_way(piping, after, cells)
    while waiting:
        helpful = [each for each in candidates if _helps(piping, after, each, waiting)]
        if not helpful:
            break
        best = highest([each for each in helpful if each.kind in kinds] or helpful)
        chosen.append(best)
        waiting = frozenset(
            cell for cell in waiting if best.cell not in _onward(piping, after, cell)
        )
    order = sorted(chosen, key=lambda each: -each.height_m)
    users = set(piping.users.values())
    stuck = (c for c in waiting if not users & _onward(piping, after, c))
    return tuple(order), frozenset(stuck)


def highest(outlets: Iterable[AirOutlet]) -> AirOutlet:
    """Return the highest outlet, of those as high the handiest.

    Parameters
    ----------
    outlets : iterable of AirOutlet
        At least one. [-]

    Returns
    -------
    AirOutlet
        Its height is within `AS_HIGH_M` of the highest. [-]
    """
    known = list(outlets)
    top = max(each.height_m for each in known)
    level = [each for each in known if each.height_m > top - AS_HIGH_M]
    return min(
        level,
        key=lambda each: (HANDIEST.index(each.kind), -each.height_m, each.element),
    )


def _candidates(piping: Piping) -> list[AirOutlet]:
    points, graph = piping.graph.points, piping.graph
    found = [
        AirOutlet(o.element, o.kind, o.cell, points[o.point].elevation.value, o.point)
        for o in piping.openings
        if o.kind in HANDIEST
    ]
    watering = {valve for o in piping.openings for valve in o.valves}
    for gate in piping.gates:
        if gate.kind == "diaphragm" and gate.id in watering:
            link = graph.links[gate.link]
            height = points[link.from_].elevation.value
            found.append(
                AirOutlet(gate.id, "zone_valve", gate.start, height, link.from_)
            )
    return found


def _without_way(
    piping: Piping, after: Standing, cells: frozenset[int]
) -> frozenset[int]:
    """Return the cells whose air has no way yet but for the taps of a house."""
    free = {
        cell
        for cell, openings in after.open.items()
        if any(o.kind.endswith("head") and not o.valves for o in openings)
    }
    return frozenset(cell for cell in cells if not free & _onward(piping, after, cell))


def _onward(piping: Piping, after: Standing, cell: int) -> frozenset[int]:
    return spread(piping, [cell], after.passing)


def _helps(
    piping: Piping, after: Standing, outlet: AirOutlet, waiting: frozenset[int]
) -> bool:
    return any(outlet.cell in _onward(piping, after, cell) for cell in waiting)
