"""Pools of water that are left: what stands together, and its lowest point."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from maintenance.engine.network.drainage import Drainage, LinkWater, known_sum
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.passages import SHUT
from maintenance.engine.network.pools import kept_waters
from maintenance.engine.procedure.after_air import FULL, low_and_high


@dataclass(frozen=True, slots=True)
class WaterPlace:
    """Water that stands together; ``kept`` where it is meant to stay.

    ``at`` is its lowest point. The volume is None where no pipe of it has a known size.
    """

    at: str
    volume_m3: float | None
    links: tuple[str, ...]
    kept: bool


def find_places(graph: Graph, left: Drainage) -> tuple[WaterPlace, ...]:
    """Group the pipes that hold water into pools.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    left : Drainage
        What passes, and what stays in each link, whatever that is told by. [SI]

    Returns
    -------
    tuple of WaterPlace
        The most water first; unknown volumes lead. [m³]

    Notes
    -----
    Two pipes hold one pool where they meet under water: at the low end of a pipe that
    is wet in part, at either end of a full one, and across what passes both ways.
    """
    wet = {each.link: each for each in left.links if each.wet_length_m > 0.0}
    under = {
        link: tuple(_ends_under_water(graph, left, water))
        for link, water in wet.items()
    }
    at: dict[str, list[str]] = {}
    for link, points in under.items():
        for point in points:
            at.setdefault(point, []).append(link)
    kept = {point for group in kept_waters(graph, left) for point in group}
    heights = left.channels.elevation_m
    found = []
    for points, links in _pools(graph, left, at, under):
        low = min(points, key=lambda point: heights[point])
        volume = known_sum(wet[link].wet_volume_m3 for link in links)
        found.append(WaterPlace(low, volume, links, low in kept))
    found.sort(key=lambda place: -(place.volume_m3 or float("inf")))
    return tuple(found)


def _ends_under_water(graph: Graph, left: Drainage, water: LinkWater) -> Iterator[str]:
    low, high = low_and_high(graph, left, water.link)
    yield low
    if water.wet_length_m >= FULL * graph.bores[water.link].length_m:
        yield high


def _pools(
    graph: Graph,
    left: Drainage,
    at: Mapping[str, list[str]],
    under: Mapping[str, tuple[str, ...]],
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    seen: set[str] = set()
    for start in graph.points:
        if start in seen or start not in at:
            continue
        seen.add(start)
        points = [start]
        links: dict[str, None] = {}
        for point in points:
            links.update(dict.fromkeys(at[point]))
            others = [end for link in at[point] for end in under[link]]
            others += _across_devices(graph, left, point)
            for other in others:
                if other in at and other not in seen:
                    seen.add(other)
                    points.append(other)
        yield tuple(points), tuple(links)


def _across_devices(graph: Graph, left: Drainage, point: str) -> Iterator[str]:
    for link_id in graph.joined[point]:
        if link_id not in graph.bores and left.states.passages[link_id] != SHUT:
            yield graph.other_end(graph.links[link_id], point)
