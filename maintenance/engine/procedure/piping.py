"""A site as water and air meet it: cells, the gates between them, ways to the open.

A cell is what no valve can part: points joined by pipes, fittings and meters. A gate
joins two cells: something that can be shut, or that passes one way only. An assembly
has two cells of its own, ``B1/inlet`` and ``B1/outlet``, before and behind its checks,
so that shut-offs and test cocks act where they stand.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.elements import (
    SHUTOFF_1,
    SHUTOFF_2,
    Element,
    part_element,
    site_elements,
)
from maintenance.engine.procedure.ways_out import Opening, find_openings
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    InlineDevice,
    IsolationValve,
    Link,
    Point,
    Pump,
    Supply,
    ZoneValve,
)


@dataclass(frozen=True, slots=True)
class Gate:
    """Something between two cells; ``kind`` says how it passes.

    ``valve`` passes both ways or not; ``diaphragm`` too, but shut it may pass backwards;
    ``check``, ``pump`` and ``assembly`` pass forward only. ``id`` is the element.
    """

    id: str
    link: str
    kind: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, eq=False)
class Piping:
    """Cells by number, with their points; gates; openings and supplies by cell.

    One is equal only to itself, so that what is worked out for it can be kept.
    """

    graph: Graph
    elements: Mapping[str, Element]
    members: tuple[tuple[str, ...], ...]
    cell_of: Mapping[str, int]
    gates: tuple[Gate, ...]
    at: tuple[tuple[int, ...], ...]
    openings: tuple[Opening, ...]
    supplies: Mapping[str, int]
    users: Mapping[str, int]
    selectors: Mapping[str, tuple[str, ...]]
    injectors: Mapping[str, int]

    def assembly(self, gate: Gate) -> Backflow | None:
        """Return the assembly of a gate.

        Parameters
        ----------
        gate : Gate
            Any gate. [-]

        Returns
        -------
        Backflow or None
            None where the gate is none. [-]
        """
        link = self.graph.links[gate.link]
        return link if isinstance(link, Backflow) and gate.kind == "assembly" else None


def lay_piping(graph: Graph) -> Piping:
    """Gather the points of a site into cells.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    Piping
        Cells, gates, openings. [-]
    """
    elements = site_elements(graph)
    heap = _Heap(graph.points)
    ends: list[tuple[str, str, str, str, str]] = []
    for link in graph.links.values():
        ends.extend(_part(link, heap, elements))
    members = heap.members()
    cell_of = {point: n for n, cell in enumerate(members) for point in cell}
    gates = tuple(
        Gate(id_, link, kind, cell_of[start], cell_of[end])
        for id_, link, kind, start, end in ends
    )
    at: list[list[int]] = [[] for _ in members]
    for number, gate in enumerate(gates):
        at[gate.start].append(number)
        if gate.end != gate.start:
            at[gate.end].append(number)
    joined = tuple(map(tuple, at))
    openings = find_openings(graph, elements, cell_of, _zone_valves_of(gates, joined))
    return Piping(
        graph,
        elements,
        members,
        cell_of,
        gates,
        joined,
        openings,
        {p.id: cell_of[p.id] for p in graph.points.values() if isinstance(p, Supply)},
        {p.id: cell_of[p.id] for p in graph.points.values() if p.kind == "other_use"},
        _selectors(graph),
        {x.id: cell_of[x.to] for x in graph.links.values() if x.kind == "injector"},
    )


class _Heap:
    """Points put together bit by bit."""

    def __init__(self, points: Mapping[str, Point]) -> None:
        self.parent = {point: point for point in points}

    def find(self, point: str) -> str:
        self.parent.setdefault(point, point)
        while self.parent[point] != point:
            self.parent[point] = self.parent[self.parent[point]]
            point = self.parent[point]
        return point

    def join(self, one: str, other: str) -> None:
        self.parent[self.find(one)] = self.find(other)

    def members(self) -> tuple[tuple[str, ...], ...]:
        cells: dict[str, list[str]] = {}
        for point in self.parent:
            cells.setdefault(self.find(point), []).append(point)
        return tuple(tuple(sorted(cell)) for cell in cells.values())


def _part(
    link: Link, heap: _Heap, elements: Mapping[str, Element]
) -> list[tuple[str, str, str, str, str]]:
    """Return a link's gates as (element, link, kind, start, end), or join its ends."""
    one, other, key = link.from_, link.to, link.id
    match link:
        case IsolationValve():
            return [(key, key, "valve", one, other)]
        case ZoneValve() | InlineDevice(kind="master_valve"):
            return [(key, key, "diaphragm", one, other)]
        case CheckValve():
            return [(key, key, "check", one, other)]
        case Pump():
            return [(key, key, "pump", one, other)]
        case Backflow():
            inlet, outlet = f"{key}/inlet", f"{key}/outlet"
            heap.find(inlet)
            heap.find(outlet)
            gates = [(key, key, "assembly", inlet, outlet)]
            for name, start, end in (
                (SHUTOFF_1, one, inlet),
                (SHUTOFF_2, outlet, other),
            ):
                element = part_element(key, name)
                if element in elements:
                    gates.append((element, key, "valve", start, end))
                else:
                    heap.join(start, end)
            return gates
    heap.join(one, other)
    return []


def _zone_valves_of(
    gates: tuple[Gate, ...], joined: tuple[tuple[int, ...], ...]
) -> dict[int, tuple[str, ...]]:
    """Return for each cell the zone valves that feed it, not across another one."""
    found: dict[int, list[str]] = {}
    for valve in gates:
        if valve.kind != "diaphragm":
            continue
        seen, queue = {valve.end}, [valve.end]
        while queue:
            cell = queue.pop()
            found.setdefault(cell, []).append(valve.id)
            for number in joined[cell]:
                gate = gates[number]
                other = gate.end if gate.start == cell else gate.start
                if gate.kind != "diaphragm" and other not in seen:
                    seen.add(other)
                    queue.append(other)
    return {cell: tuple(valves) for cell, valves in found.items()}


def _selectors(graph: Graph) -> dict[str, tuple[str, ...]]:
    """Return for each selector valve the others that stand at one point with it."""
    found: dict[str, tuple[str, ...]] = {}
    valves = [
        link
        for link in graph.links.values()
        if isinstance(link, IsolationValve) and link.type == "selector"
    ]
    for valve in valves:
        ends = {valve.from_, valve.to}
        found[valve.id] = tuple(
            other.id
            for other in valves
            if other.id != valve.id and ends & {other.from_, other.to}
        )
    return found
