"""Where to part the irrigation from a source, so that other uses keep their water."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from maintenance.engine.procedure.elements import SHUTOFF_1, part_element
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.users import users_of, way_of_water
from maintenance.engine.procedure.sources import pushed_through
from maintenance.engine.procedure.spread import BACKWARD, FORWARD, spread
from maintenance.engine.site import Backflow, IsolationValve, Pump

IRRIGATION: Final = frozenset(
    {"head", "checked_head", "quick_coupler", "blowout_port", "automatic_drain"}
)
"""Openings that belong to the irrigation, whoever else drinks of the same pipe."""


@dataclass(frozen=True, slots=True)
class Isolation:
    """How one source is parted from the irrigation.

    ``valves`` are shut; ``turn_off`` where the source itself is, since no recorded
    valve parts it; ``reaches`` where nothing recorded can keep it out.
    """

    supply: str
    valves: tuple[str, ...]
    turn_off: bool
    reaches: bool


def pumps_to_stop(given: Given) -> tuple[str, ...]:
    """Return the pumps that feed nothing but the irrigation.

    Parameters
    ----------
    given : Given
        The site. [-]

    Returns
    -------
    tuple of str
        Ids, in the order of the file. [-]
    """
    needed = {gate for user in given.users for gate in way_of_water(given, user)}
    found = []
    for gate in given.piping.gates:
        link = given.graph.links[gate.link]
        if isinstance(link, Pump):
            named = set(link.also_feeds or ()) - given.choices.agreed
            if not named and gate.id not in needed:
                found.append(gate.id)
    return tuple(found)


def part_source(given: Given, supply: str, stopped: Iterable[str]) -> Isolation:
    """Find what to shut so that a source no longer reaches the irrigation.

    Parameters
    ----------
    given : Given
        The site. [-]
    supply : str
        Id of the source. [-]
    stopped : iterable of str
        Pumps that are off by then. [-]

    Returns
    -------
    Isolation
        The valves that the site shuts for winter first; then any valve; then the
        source itself, or the first shut-off of an assembly where another use needs
        the source. [-]
    """
    piping = given.piping
    start = piping.supplies[supply]
    off = set(stopped) - pushed_through(piping)
    ways = _ways(given, off)
    goals = irrigation_cells(piping)
    kept = frozenset(given.users[user] for user in users_of(given, supply))
    reached = spread(piping, [start], ways)
    if not reached & goals:
        return Isolation(supply, (), turn_off=False, reaches=False)
    allowed: set[str] = set()
    named, custom, assemblies = _valves(given)
    # An assembly shut at its own first valve keeps a full riser before it: only where
    # the source cannot be turned off for the sake of another use.
    for more in (named, custom, assemblies) if kept else (named, custom):
        allowed |= more
        shut = _cut(piping, ways, start, allowed, (goals, kept & reached))
        if shut is not None:
            return Isolation(supply, shut, turn_off=False, reaches=False)
    return Isolation(supply, (), turn_off=not kept, reaches=bool(kept))


def irrigation_cells(piping: Piping) -> frozenset[int]:
    """Return the cells that belong to the irrigation itself.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    frozenset of int
        Cells with a head, coupler, port or automatic drain, or before a zone valve. [-]
    """
    found = {o.cell for o in piping.openings if o.kind in IRRIGATION}
    return frozenset(found | {g.start for g in piping.gates if g.kind == "diaphragm"})


def source_valves(draft: Draft) -> tuple[str, ...]:
    """Return the shut valves that hold a source back as the site stands.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]

    Returns
    -------
    tuple of str
        Ids of valves with a source on one side only, then sources turned off. [-]
    """
    return (*_held_by(draft.standing), *_turned_off(draft))


def idle_pumps(draft: Draft) -> tuple[str, ...]:
    """Return the pumps that stand still for now and may press again any day.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]

    Returns
    -------
    tuple of str
        Pumps run by hand that another use needs. [-]
    """
    return tuple(
        gate.id
        for gate in draft.given.piping.gates
        if gate.kind == "pump" and draft.positions[gate.id] == "off"
    )


def held_from(draft: Draft, pumps: tuple[str, ...]) -> tuple[str, ...]:
    """Return the shut valves that hold back what some pumps would bring.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    pumps : tuple of str
        Pumps taken as running. [-]

    Returns
    -------
    tuple of str
        Ids of valves that hold nothing back while the pumps stand still. [-]
    """
    positions = {**draft.positions, **dict.fromkeys(pumps, "on")}
    running = _held_by(stand(draft.given.piping, positions))
    return tuple(v for v in running if v not in _held_by(draft.standing))


def _held_by(standing: Standing) -> tuple[str, ...]:
    pressed = {cell for cells in standing.reach.values() for cell in cells}
    return tuple(
        gate.id
        for number, gate in enumerate(standing.piping.gates)
        if gate.kind in ("valve", "diaphragm")
        and not standing.passing[number]
        and (gate.start in pressed) != (gate.end in pressed)
    )


def _turned_off(draft: Draft) -> tuple[str, ...]:
    supplies = draft.given.piping.supplies
    return tuple(key for key in supplies if draft.positions[key] == "off")


def _ways(given: Given, off: set[str]) -> tuple[int, ...]:
    """Return what passes in summer; other pumps may start, zone valves stay shut."""
    passing = given.start.standing.passing
    return tuple(
        (0 if gate.id in off else FORWARD) if gate.kind == "pump" else way
        for way, gate in zip(passing, given.piping.gates, strict=True)
    )


def _valves(given: Given) -> tuple[set[str], set[str], set[str]]:
    """Return the valves that may be shut for winter, the ones to choose first first."""
    named: set[str] = set()
    custom: set[str] = set()
    assemblies: set[str] = set()
    elements = given.piping.elements
    for link in given.graph.links.values():
        if isinstance(link, IsolationValve) and link.type != "selector":
            if link.winter == "closed":
                named.add(link.id)
            elif link.winter is None:
                custom.add(link.id)
        if isinstance(link, Backflow):
            first = elements.get(part_element(link.id, SHUTOFF_1))
            if first is not None and "closed" in first.winter:
                (named if len(first.winter) == 1 else assemblies).add(first.id)
    return named, custom, assemblies


def _cut(
    piping: Piping,
    ways: tuple[int, ...],
    start: int,
    allowed: set[str],
    aims: tuple[frozenset[int], frozenset[int]],
) -> tuple[str, ...] | None:
    """Shut allowed valves from the source on; None where water still gets in."""
    goals, kept = aims
    gates = piping.gates
    walls = {n for n, gate in enumerate(gates) if gate.id in allowed}
    shut: dict[int, str] = {}
    seen, queue = {start}, deque([start])
    while queue:
        cell = queue.popleft()
        for number in piping.at[cell]:
            gate = gates[number]
            forward = gate.start == cell
            other = gate.end if forward else gate.start
            passes = ways[number] & (FORWARD if forward else BACKWARD)
            if not passes or other in seen or number in shut:
                continue
            if number in walls:
                behind = spread(piping, [other], _without(ways, walls))
                fed = spread(piping, [start], _without(ways, {*shut, number}))
                if behind & goals and start not in behind and kept <= fed:
                    shut[number] = gate.id
                    continue
            seen.add(other)
            queue.append(other)
    left = spread(piping, [start], _without(ways, set(shut)))
    return None if left & goals else tuple(shut.values())


def _without(ways: tuple[int, ...], walls: Iterable[int]) -> tuple[int, ...]:
    shut = set(walls)
    return tuple(0 if n in shut else way for n, way in enumerate(ways))
