"""The immutable graph of a site: points joined by links."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from maintenance.engine.network.bores import Bore, resolve_pipe
from maintenance.engine.site import (
    IsolationValve,
    Link,
    Pipe,
    Point,
    Site,
    ZoneValve,
)
from maintenance.engine.site.quick import expand_quick_zones


@dataclass(frozen=True, slots=True)
class Graph:
    """Points and links by id, the links at each point, and the resolved pipes.

    ``site`` is the site with its quick zones laid out.
    """

    site: Site
    points: Mapping[str, Point]
    links: Mapping[str, Link]
    joined: Mapping[str, tuple[str, ...]]
    bores: Mapping[str, Bore]

    def other_end(self, link: Link, point: str) -> str:
        """Return the point at the other end of a link.

        Parameters
        ----------
        link : Link
            The link. [-]
        point : str
            Id of one of its ends. [-]

        Returns
        -------
        str
            Id of the other end. [-]
        """
        return link.to if link.from_ == point else link.from_


def build_graph(site: Site) -> Graph:
    """Build the graph of a site that has passed its checks.

    Parameters
    ----------
    site : Site
        Site as recorded; quick zones are laid out here. [-]

    Returns
    -------
    Graph
        Immutable graph. [-]

    Raises
    ------
    InputError
        If a pipe is not in the catalogue.
    """
    laid_out = expand_quick_zones(site)
    joined: dict[str, list[str]] = {point.id: [] for point in laid_out.points}
    for link in laid_out.links:
        joined[link.from_].append(link.id)
        joined[link.to].append(link.id)
    return Graph(
        site=laid_out,
        points={point.id: point for point in laid_out.points},
        links={link.id: link for link in laid_out.links},
        joined={key: tuple(ids) for key, ids in joined.items()},
        bores={
            link.id: resolve_pipe(link)
            for link in laid_out.links
            if isinstance(link, Pipe)
        },
    )


def as_networkx(graph: Graph, *, without: Iterable[str] = ()) -> "nx.MultiGraph[str]":
    """Return an undirected copy for searches, less some links.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    without : iterable of str
        Ids of links left out. [-]

    Returns
    -------
    networkx.MultiGraph
        Edge keys are link ids; ``length`` is in metres. [-]
    """
    left_out = set(without)
    result: nx.MultiGraph[str] = nx.MultiGraph()
    result.add_nodes_from(graph.points)
    for link in graph.links.values():
        if link.id not in left_out:
            length = link.length.value if isinstance(link, Pipe) else 0.0
            result.add_edge(link.from_, link.to, key=link.id, length=length)
    return result


def zone_valves(graph: Graph) -> tuple[ZoneValve, ...]:
    """Return the zone valves in the order of their zones, others after them.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    tuple of ZoneValve
        All zone valves; the order does not change when a quick zone is laid out. [-]
    """
    rank = {zone.valve: number for number, zone in enumerate(graph.site.zones)}
    valves = (v for v in graph.links.values() if isinstance(v, ZoneValve))
    return tuple(sorted(valves, key=lambda valve: rank.get(valve.id, len(rank))))


def valves_shut_for_air(graph: Graph) -> frozenset[str]:
    """Return the isolation valves that are shut while air is on.

    A valve that winter closes and that parts a source or another use from the rest
    is shut; so is one that summer keeps closed. All others stand open.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    frozenset of str
        Ids of the valves. [-]
    """
    shut = set()
    for valve in graph.links.values():
        if not isinstance(valve, IsolationValve):
            continue
        if valve.summer == "closed" or (
            valve.winter == "closed" and _parts_a_source(graph, valve)
        ):
            shut.add(valve.id)
    return frozenset(shut)


def _parts_a_source(graph: Graph, valve: IsolationValve) -> bool:
    for end, other in ((valve.from_, valve.to), (valve.to, valve.from_)):
        side = _joined_to(graph, end, without=valve.id)
        wet = any(graph.points[p].kind in ("supply", "other_use") for p in side)
        ported = any(graph.points[p].kind == "blowout_port" for p in side)
        if wet and not ported and other not in side:
            return True
    return False


def _joined_to(graph: Graph, start: str, *, without: str) -> set[str]:
    found, queue = {start}, [start]
    while queue:
        point = queue.pop()
        for link_id in graph.joined[point]:
            other = graph.other_end(graph.links[link_id], point)
            if link_id != without and other not in found:
                found.add(other)
                queue.append(other)
    return found
