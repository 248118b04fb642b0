"""What keeps irrigation water from being drawn back, and when that fails.

A vacuum breaker helps only against drawing back: a pump, a compressor, another source
or water standing higher than it, once they reach its outlet, make it no barrier.

References
----------
Texas 30 TAC 344.50: a pressure vacuum breaker stands 12 in above all piping and the
highest opening behind it, an atmospheric one 6 in (the latter from the older text);
double checks only where there is no health hazard.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.piping import Gate, Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sections import stand
from maintenance.engine.procedure.spread import BOTH, FORWARD, spread
from maintenance.engine.procedure.ways import Barrier, blocks, fewest_shut
from maintenance.engine.site import Backflow, Head, ZoneValve
from maintenance.engine.units import parse_quantity

BREAKERS: Final = ("PVB", "SVB", "AVB")
NEEDED_HEIGHT_M: Final[Mapping[str, float]] = {
    "PVB": parse_quantity("12 in", "height"),
    "SVB": parse_quantity("12 in", "height"),
    "AVB": parse_quantity("6 in", "height"),
}


@dataclass(frozen=True, slots=True)
class Clearance:
    """How far a vacuum breaker stands over the highest point behind it.

    ``over`` is that point; ``enough`` whether the height reaches what is needed.
    """

    height_m: float
    needed_m: float
    over: str

    @property
    def enough(self) -> bool:
        """Whether no water behind it can stand high enough to press on it."""
        return self.height_m >= self.needed_m


def breaker_kind(piping: Piping, gate: Gate) -> str | None:
    """Return the kind of vacuum breaker at a gate.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    gate : Gate
        Any gate. [-]

    Returns
    -------
    str or None
        As in the site file; an anti-siphon zone valve has an AVB. [-]
    """
    link = piping.graph.links[gate.link]
    if isinstance(link, ZoneValve) and link.anti_siphon:
        return "AVB"
    if isinstance(link, Backflow) and gate.kind == "assembly":
        return link.device if link.device in BREAKERS else None
    return None


def breaker_clearance(piping: Piping, gate: Gate) -> Clearance | None:
    """Return how far a vacuum breaker stands over what lies behind it.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    gate : Gate
        The gate of the breaker. [-]

    Returns
    -------
    Clearance or None
        None where there is no breaker, or nothing recorded behind it. [m]
    """
    kind = breaker_kind(piping, gate)
    if kind is None:
        return None
    link, points = piping.graph.links[gate.link], piping.graph.points
    onward = {
        number: 0 if each is gate else BOTH if each.kind == "valve" else FORWARD
        for number, each in enumerate(piping.gates)
    }
    behind = spread(piping, [gate.end], lambda number, _: onward[number])
    heights = {}
    for cell in behind:
        for name in piping.members[cell]:
            point = points.get(name)
            if point is None or name in (link.from_, link.to):
                continue
            above = point.nozzle_height if isinstance(point, Head) else None
            heights[name] = point.elevation.value + (above.value if above else 0.0)
    if not heights:
        return None
    over = max(heights, key=lambda name: heights[name])
    stands_at = min(points[link.from_].elevation.value, points[link.to].elevation.value)
    return Clearance(stands_at - heights[over], NEEDED_HEIGHT_M[kind], over)


def pressure_on_breakers(piping: Piping, positions: Positions) -> dict[str, int]:
    """Return the vacuum breakers that something can press on from behind.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]

    Returns
    -------
    dict of str to int
        Id of the link, and the fewest shut valves that keep the pressure away: 0
        where it presses as the valves stand. [-]
    """
    found: dict[str, int] = {}
    starts = _pressures(piping, positions)
    for gate in piping.gates:
        if breaker_kind(piping, gate) is None:
            continue
        clearance = breaker_clearance(piping, gate)
        if clearance is not None and not clearance.enough:
            found[gate.link] = 0
            continue
        stops = blocks(piping, "RP", "AG")
        way = fewest_shut(piping, positions, starts, {gate.end}, stops, without=gate)
        if way is not None:
            found[gate.link] = way.shut
    return found


def barrier_against_drawing_back(
    piping: Piping, degree: str, failing: frozenset[str]
) -> Barrier:
    """Return what stops water from being drawn back.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    degree : str
        ``high`` or ``low``: a double check stops only low hazard. [-]
    failing : frozenset of str
        Vacuum breakers that something presses on from behind. [-]

    Returns
    -------
    callable
        As `ways.Barrier`. [-]
    """
    kinds = ("RP", "AG", "DC") if degree == "low" else ("RP", "AG")
    usual = blocks(piping, *kinds)

    def barrier(gate: Gate) -> int | None:
        if breaker_kind(piping, gate) is not None:
            return 0 if gate.link in failing else None
        return usual(gate)

    return barrier


def _pressures(piping: Piping, positions: Positions) -> dict[int, int]:
    """Return where pressure comes from, and whether it is off for now."""
    starts = {
        cell: int(positions[key] != "on") for key, cell in piping.supplies.items()
    }
    for gate in piping.gates:
        if gate.kind == "pump":
            starts[gate.end] = int(positions[gate.id] != "on")
    if positions[COMPRESSOR] == "on":
        starts.update(dict.fromkeys(stand(piping, positions).air, 0))
    return starts
