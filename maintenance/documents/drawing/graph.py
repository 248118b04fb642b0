"""The site as a drawing needs it: what meets where, and which way water runs."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.site import Link, Pipe, Point, Site, ZoneValve
from maintenance.engine.site.links import InlineDevice, IsolationValve

LinksAt = dict[str, list[Link]]


@dataclass(frozen=True, slots=True)
class Graph:
    """Points and links by id, and the links that meet at each point."""

    points: dict[str, Point]
    links: dict[str, Link]
    at: LinksAt

    def neighbours(self, point: str) -> list[tuple[str, Link]]:
        """Return the points one link away, in the order of the file."""
        return [(other_end(link, point), link) for link in self.at[point]]


def other_end(link: Link, point: str) -> str:
    """Return the end of a link that is not the given one."""
    return link.to if link.from_ == point else link.from_


def graph_of(site: Site) -> Graph:
    """Return the graph of a site; a link without both ends is left out."""
    points = {point.id: point for point in site.points}
    links = {
        link.id: link
        for link in site.links
        if link.from_ in points and link.to in points and link.from_ != link.to
    }
    at: LinksAt = {point: [] for point in points}
    for link in links.values():
        at[link.from_].append(link)
        at[link.to].append(link)
    return Graph(points, links, at)


def roots(graph: Graph) -> list[str]:
    """Return all points, those from which a drawing starts first."""
    rank = {"supply": 0, "blowout_port": 1}
    return sorted(graph.points, key=lambda id_: rank.get(graph.points[id_].kind, 2))


def main_points(graph: Graph) -> frozenset[str]:
    """Return the points that water reaches with every zone valve shut."""
    sources = [id_ for id_ in roots(graph) if graph.points[id_].kind == "supply"]
    sources = sources or roots(graph)[:1]
    return frozenset(_steps(graph, sources, through_zone_valves=False))


def flow_directions(graph: Graph) -> dict[str, tuple[str, str]]:
    """Return for each pipe the ends (from, to) as water runs from the nearest source.

    A pipe whose ends are equally far from the sources, or that none reaches, is not
    in the answer: which way it runs is not known.
    """
    sources = [id_ for id_, point in graph.points.items() if point.kind == "supply"]
    steps = _steps(graph, sources, through_zone_valves=True)
    directions = {}
    for link in graph.links.values():
        if not isinstance(link, Pipe):
            continue
        first, last = steps.get(link.from_), steps.get(link.to)
        if first is None or last is None or first == last:
            continue
        ends = (link.from_, link.to)
        directions[link.id] = ends if first < last else (ends[1], ends[0])
    return directions


def _steps(
    graph: Graph, start: Iterable[str], *, through_zone_valves: bool
) -> dict[str, int]:
    steps = dict.fromkeys(start, 0)
    waiting = deque(steps)
    while waiting:
        point = waiting.popleft()
        for other, link in graph.neighbours(point):
            if isinstance(link, ZoneValve) and not through_zone_valves:
                continue
            if other not in steps and (link.from_ == point or _both_ways(link)):
                steps[other] = steps[point] + 1
                waiting.append(other)
    return steps


def _both_ways(link: Link) -> bool:
    if isinstance(link, InlineDevice):
        return link.kind == "fitting"
    return isinstance(link, Pipe | IsolationValve)
