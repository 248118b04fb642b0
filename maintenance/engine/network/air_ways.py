"""The ways that air can take from a port, and the rings that must be broken."""

import heapq
from collections.abc import Mapping, Set
from dataclasses import dataclass

import networkx as nx
from networkx.utils import UnionFind

from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import (
    Graph,
    as_networkx,
    valves_shut_for_air,
    zone_valves,
)
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    IsolationValve,
    Link,
    Pipe,
    Pump,
    ZoneValve,
)


@dataclass(frozen=True, slots=True)
class Barred:
    """Links that air does not take: valves shut, and pipes left out of rings."""

    valves: frozenset[str]
    pipes: frozenset[str]
    warnings: tuple[Warning, ...]


@dataclass(frozen=True, slots=True)
class Ways:
    """The shortest way of the air to each point it reaches.

    ``arrive`` gives the link and the point before; ``distance_m`` the pipe length.
    """

    port: str
    arrive: Mapping[str, tuple[str, str]]
    distance_m: Mapping[str, float]

    def path(self, point: str) -> tuple[tuple[str, str, str], ...]:
        """Return the links from the port to a point.

        Parameters
        ----------
        point : str
            Id of a point that air reaches. [-]

        Returns
        -------
        tuple of (link, start, end)
            In the direction of the air. [-]
        """
        steps = []
        while point != self.port:
            link, before = self.arrive[point]
            steps.append((link, before, point))
            point = before
        return tuple(reversed(steps))


def bar_rings(graph: Graph) -> Barred:
    """Shut one valve in each ring, so that the air has one way.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    Barred
        Valves shut for air, pipes left out where a ring has no valve, and a warning
        for each ring. [-]
    """
    shut = set(valves_shut_for_air(graph))
    left_out: set[str] = set()
    warnings: list[Warning] = []
    closed = {v.id for v in zone_valves(graph)} | {
        link.id for link in graph.links.values() if isinstance(link, (Backflow, Pump))
    }
    ports = [p.id for p in graph.points.values() if p.kind == "blowout_port"]
    while True:
        without = closed | shut | left_out
        if not _has_ring(graph, without):
            return Barred(frozenset(shut), frozenset(left_out), tuple(warnings))
        rest = as_networkx(graph, without=without)
        ring = tuple(str(edge[2]) for edge in nx.find_cycle(rest))
        far = _distances(rest, ports)
        valves = [i for i in ring if isinstance(graph.links[i], IsolationValve)]
        pipes = [i for i in ring if isinstance(graph.links[i], Pipe)] or list(ring)
        chosen = max(
            valves or pipes, key=lambda i: (far.get(graph.links[i].from_, 0.0), i)
        )
        about = tuple(sorted(ring))
        if valves:
            shut.add(chosen)
            text = f"The pipes form a ring; shut {chosen} so that the air has one way."
            warnings.append(Warning("ring", text, (chosen, *about)))
        else:
            left_out.add(chosen)
            text = (
                f"The pipes form a ring without a valve; the air can go round it, and "
                f"{chosen} is counted as not blown. Fit a valve or blow from both sides."
            )
            warnings.append(Warning("ring_without_valve", text, (chosen, *about)))


def _has_ring(graph: Graph, without: Set[str]) -> bool:
    """Tell whether any link joins two points that are joined already."""
    joined = UnionFind(graph.points)
    for link in graph.links.values():
        if link.id in without:
            continue
        if joined[link.from_] == joined[link.to]:
            return True
        joined.union(link.from_, link.to)
    return False


def _distances(graph: "nx.MultiGraph[str]", ports: list[str]) -> dict[str, float]:
    if not ports:
        return {}
    found = nx.multi_source_dijkstra_path_length(graph, set(ports), weight="length")
    return {str(key): float(value) for key, value in found.items()}


def find_ways(
    graph: Graph, port: str, barred: Barred, *, open_valve: str | None = None
) -> Ways:
    """Find the shortest way of the air from a port to every point it reaches.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    port : str
        Id of the port. [-]
    barred : Barred
        Links that air does not take. [-]
    open_valve : str, optional
        The zone valve that stands open; all others are shut. [-]

    Returns
    -------
    Ways
        A tree from the port. [-]
    """
    distance = {port: 0.0}
    arrive: dict[str, tuple[str, str]] = {}
    queue = [(0.0, port)]
    while queue:
        so_far, point = heapq.heappop(queue)
        if so_far > distance[point]:
            continue
        for link_id in graph.joined[point]:
            link = graph.links[link_id]
            if not _passes_air(link, point, barred, open_valve):
                continue
            other = graph.other_end(link, point)
            length = graph.bores[link_id].length_m if isinstance(link, Pipe) else 0.0
            if so_far + length < distance.get(other, float("inf")):
                distance[other] = so_far + length
                arrive[other] = (link_id, point)
                heapq.heappush(queue, (so_far + length, other))
    return Ways(port, arrive, distance)


def _passes_air(link: Link, start: str, barred: Barred, open_valve: str | None) -> bool:
    if link.id in barred.valves or link.id in barred.pipes:
        return False
    if isinstance(link, (Backflow, Pump)):
        return False
    if isinstance(link, CheckValve):
        return link.from_ == start
    if isinstance(link, ZoneValve):
        return link.id == open_valve and link.from_ == start
    return True
