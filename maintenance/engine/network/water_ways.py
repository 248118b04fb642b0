"""Where the water of a running zone comes from, and the ways that it takes.

All stands as in summer: isolation valves and the shut-offs of assemblies as recorded,
open where nothing is recorded; drains, couplers and relief valves shut; one zone valve
open and all others shut.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import networkx as nx

from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY
from maintenance.engine.network.graph import Graph
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    Head,
    InlineDevice,
    IsolationValve,
    Link,
    Pump,
    Supply,
    ZoneValve,
)

PASCALS_PER_METRE: Final = WATER_DENSITY * STANDARD_GRAVITY
_OUTSIDE: Final = ""


@dataclass(frozen=True, slots=True)
class Feed:
    """A source, or the pump that draws on it, with what it gives at ``point``.

    ``head_m`` is what it keeps at most, ``most_m3_per_s`` the flow that it gives at
    most; None where that is not recorded.
    """

    source: str
    pump: str | None
    point: str
    head_m: float | None
    most_m3_per_s: float | None


@dataclass(frozen=True, slots=True)
class Waterway:
    """The links between a feed and the heads that it waters, and the heads."""

    links: tuple[Link, ...]
    heads: tuple[Head, ...]
    other_uses: tuple[str, ...]


def find_feeds(graph: Graph, valve: ZoneValve) -> tuple[Feed, ...]:
    """Find what presses on a zone valve in summer.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    valve : ZoneValve
        The valve. [-]

    Returns
    -------
    tuple of Feed
        In the order of the file. [SI]

    Notes
    -----
    A pump hides what presses behind it: its shut-off pressure is the one read at its
    outlet. Water falls free in an air gap, so that only a pump presses beyond it.
    """
    found: list[Feed] = []
    pumps = [link for link in graph.links.values() if isinstance(link, Pump)]
    for supply in graph.points.values():
        if not isinstance(supply, Supply):
            continue
        if valve.from_ in _reached(graph, supply.id, valve.id):
            static = supply.static_pressure.value if supply.static_pressure else None
            found.append(_feed(graph, supply, None, static))
        drawn = _reached(graph, supply.id, valve.id, drawn=True)
        for pump in pumps:
            shutoff = pump.shutoff_pressure.value if pump.shutoff_pressure else None
            if pump.from_ in drawn and valve.from_ in _reached(
                graph, pump.to, valve.id
            ):
                found.append(_feed(graph, supply, pump, shutoff))
    return tuple(found)


def find_waterway(graph: Graph, feed: Feed, valve: ZoneValve) -> Waterway:
    """Find the links and heads that get water while one zone runs.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    feed : Feed
        Where the water comes from; every other source is taken as shut. [-]
    valve : ZoneValve
        The valve that stands open. [-]

    Returns
    -------
    Waterway
        Links that lie on some way from the feed to a head, rings included, and no
        dead ends. [-]
    """
    reached = _reached(graph, feed.point, valve.id)
    points = [graph.points[key] for key in graph.points if key in reached]
    heads = tuple(point for point in points if isinstance(point, Head))
    links = [
        link
        for link in graph.links.values()
        if (link.from_ in reached and _passes(link, link.from_, valve.id))
        or (link.to in reached and _passes(link, link.to, valve.id))
    ]
    ends = _between(links, feed.point, [head.id for head in heads])
    return Waterway(
        tuple(link for link in links if frozenset((link.from_, link.to)) in ends),
        heads,
        tuple(point.id for point in points if point.kind == "other_use"),
    )


def _feed(graph: Graph, supply: Supply, pump: Pump | None, pa: float | None) -> Feed:
    point = pump.to if pump else supply.id
    level = graph.points[point].elevation.value
    flows = [part.flow.value for part in (supply, pump) if part and part.flow]
    return Feed(
        source=supply.id,
        pump=pump.id if pump else None,
        point=point,
        head_m=None if pa is None else level + pa / PASCALS_PER_METRE,
        most_m3_per_s=min(flows, default=None),
    )


def _reached(
    graph: Graph, start: str, open_valve: str, *, drawn: bool = False
) -> set[str]:
    """Return the points that water from ``start`` presses on, or is drawn to by pumps."""
    found, queue = {start}, [start]
    while queue:
        point = queue.pop()
        if isinstance(graph.points[point], Supply) and point != start:
            continue
        for link_id in graph.joined[point]:
            link = graph.links[link_id]
            other = graph.other_end(link, point)
            if other not in found and _passes(link, point, open_valve, drawn=drawn):
                found.add(other)
                queue.append(other)
    return found


def _passes(link: Link, start: str, open_valve: str, *, drawn: bool = False) -> bool:
    forward = link.from_ == start
    match link:
        case IsolationValve():
            passes = link.summer != "closed"
        case ZoneValve():
            passes = forward and link.id == open_valve
        case Pump():
            passes = forward and drawn
        case Backflow():
            shutoffs = (link.shutoff_1, link.shutoff_2)
            shut = any(each and each.summer == "closed" for each in shutoffs)
            passes = forward and not shut and (drawn or link.device != "AG")
        case CheckValve() | InlineDevice(kind="pressure_regulator"):
            passes = forward
        case _:
            passes = link.kind != "relief_valve"
    return passes


def _between(
    links: Iterable[Link], start: str, ends: Iterable[str]
) -> set[frozenset[str]]:
    """Return the pairs of points joined on some simple way from the start to an end.

    One point outside joins the start and all ends: the pairs wanted are those that
    share a ring with it.
    """
    net: nx.Graph[str] = nx.Graph()
    net.add_edges_from((link.from_, link.to) for link in links)
    net.add_edges_from((_OUTSIDE, point) for point in (start, *ends))
    for pairs in nx.biconnected_component_edges(net):
        found = {frozenset(pair) for pair in pairs}
        if frozenset((_OUTSIDE, start)) in found:
            return found
    return set()
