"""Where the water of each source is let in, and what it reaches then."""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.engine.procedure.piping import Gate, Piping
from maintenance.engine.procedure.positions import Positions, summer_positions
from maintenance.engine.procedure.sources import pushes
from maintenance.engine.procedure.spread import BOTH, FORWARD, spread
from maintenance.engine.site import IsolationValve, Pump, Supply

_IRRIGATION = frozenset(
    {"head", "checked_head", "quick_coupler", "hydrant", "blowout_port"}
    | {"automatic_drain"}
)


@dataclass(frozen=True, slots=True)
class FillWay:
    """How the water of one source gets in at one place.

    ``gate`` is the valve that is opened a little, None where the source has none and
    is turned on itself. ``shut_first`` says that autumn left the gate open. ``pumps``
    must run before anything flows, ``idle`` pumps stand on the way of water that
    presses without them.
    """

    source: str
    gate: str | None
    shut_first: bool
    pumps: tuple[str, ...]
    idle: tuple[str, ...]

    @property
    def turned(self) -> str:
        """What a person turns to let the water in."""
        return self.gate or self.source


def find_fill_ways(piping: Piping, left: Positions) -> tuple[FillWay, ...]:
    """Find where the water of each source is let in.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    left : mapping of str to str
        How every element was left for winter. [-]

    Returns
    -------
    tuple of FillWay
        In the order of the sources; none for a source that reaches no irrigation in
        summer, or that nothing can part from it without cutting off another use. [-]

    Notes
    -----
    The valves nearest a source among those that winter left closed; where they do not
    part it from the irrigation, the nearest valve that does and leaves every other use
    its water; else the source itself, where nothing else uses it.
    """
    found: list[FillWay] = []
    for source in piping.supplies:
        found.extend(_of_source(piping, left, source))
    return tuple(found)


def summer_ways(piping: Piping) -> tuple[int, ...]:
    """Return the ways each gate passes in summer, pumps running and no zone on.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    tuple of int
        By gate. [-]
    """
    summer = summer_positions(piping.graph)
    return tuple(_passes(gate, summer) for gate in piping.gates)


def _passes(gate: Gate, positions: Mapping[str, str]) -> int:
    if gate.kind in ("valve", "diaphragm"):
        return 0 if positions[gate.id] == "closed" else BOTH
    return FORWARD


def _of_source(piping: Piping, left: Positions, source: str) -> list[FillWay]:
    ways = summer_ways(piping)
    start = piping.supplies[source]
    reached = spread(piping, [start], ways)
    watered = _irrigation(piping) & reached
    if not watered:
        return []
    shut = _shut_in_winter(piping, left, ways)
    before = spread(piping, [start], _without(ways, shut))
    nearest = [
        _way(piping, source, number, shut_first=False)
        for number in shut
        if {piping.gates[number].start, piping.gates[number].end} & before
    ]
    if nearest and not before & watered:
        return nearest
    parting = _parting(piping, start, ways, watered)
    if parting is not None:
        return [_way(piping, source, parting, shut_first=left[source] == "on")]
    if reached & set(piping.users.values()):
        return nearest
    return [_way(piping, source, None, shut_first=left[source] == "on")]


def _irrigation(piping: Piping) -> frozenset[int]:
    zones = {gate.start for gate in piping.gates if gate.kind == "diaphragm"}
    return frozenset(o.cell for o in piping.openings if o.kind in _IRRIGATION) | zones


def _shut_in_winter(
    piping: Piping, left: Positions, ways: tuple[int, ...]
) -> list[int]:
    return [
        number
        for number, gate in enumerate(piping.gates)
        if gate.kind == "valve"
        and gate.id not in piping.selectors
        and left[gate.id] == "closed"
        and ways[number]
    ]


def _without(ways: tuple[int, ...], shut: list[int]) -> tuple[int, ...]:
    return tuple(0 if number in shut else way for number, way in enumerate(ways))


def _parting(
    piping: Piping, start: int, ways: tuple[int, ...], watered: frozenset[int]
) -> int | None:
    """Return the nearest valve that parts a source from the irrigation only."""
    users = spread(piping, [start], ways) & set(piping.users.values())
    found: list[tuple[bool, int, int]] = []
    for number, gate in enumerate(piping.gates):
        if gate.kind != "valve" or gate.id in piping.selectors or not ways[number]:
            continue
        before = spread(piping, [start], _without(ways, [number]))
        if not before & watered and users <= before:
            found.append((_wastes(piping, gate.id), len(before), number))
    return min(found)[2] if found else None


def _wastes(piping: Piping, valve: str) -> bool:
    link = piping.graph.links.get(valve)
    return isinstance(link, IsolationValve) and link.type == "stop_and_waste"


def _way(
    piping: Piping, source: str, number: int | None, *, shut_first: bool
) -> FillWay:
    gate = piping.gates[number].id if number is not None else None
    point = piping.graph.points[source]
    ways = summer_ways(piping)
    reached = spread(piping, [piping.supplies[source]], ways)
    pumps = tuple(
        each.id
        for each in piping.gates
        if each.kind == "pump" and each.start in reached
    )
    if isinstance(point, Supply) and pushes(point):
        return FillWay(source, gate, shut_first, (), pumps)
    return FillWay(source, gate, shut_first, pumps, ())


def wastes_half_open(piping: Piping, valve: str | None) -> bool:
    """Whether a valve must not be left half turned, since its waste port runs then.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    valve : str or None
        Element of the valve. [-]

    Returns
    -------
    bool
        True for a stop-and-waste valve. [-]
    """
    return valve is not None and _wastes(piping, valve)


def by_hand(piping: Piping, pump: str) -> bool:
    """Whether a pump is started and stopped by a person.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    pump : str
        Id of the pump. [-]

    Returns
    -------
    bool
        As recorded; a pump of unknown control counts as starting by itself. [-]
    """
    link = piping.graph.links[pump]
    return isinstance(link, Pump) and link.control == "hand"
