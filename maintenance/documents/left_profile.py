"""The profile of the water that is left: from a port or a source to the farthest end."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from maintenance.documents.drawing.line import Station
from maintenance.documents.drawing.water_line import WaterLine, WaterReach
from maintenance.documents.water_words import lies_words, place_words, standing_places
from maintenance.engine.network.graph import Graph, as_networkx, zone_valves
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft
from maintenance.engine.site import Head, IsolationValve, Link, Pipe, ZoneValve
from maintenance.engine.units import UnitSystem

Found = Mapping[str, tuple[float, list[str]]]


@dataclass(frozen=True, slots=True)
class Way:
    """A way through the site: its key and name, the links in order, the first point."""

    key: str
    name: str
    start: str
    links: tuple[str, ...]


def ways_of(graph: Graph) -> tuple[Way, ...]:
    """Return the ways worth a profile: a main from each port, then every zone.

    A site without a port begins at its sources. What a start is not the nearest to
    belongs to another start.
    """
    valves = zone_valves(graph)
    shut = [valve.id for valve in valves]
    shut += [link.id for link in graph.links.values() if _shut_in_summer(link)]
    main = as_networkx(graph, without=shut)
    starts = [p.id for p in graph.points.values() if p.kind == "blowout_port"]
    starts = starts or [p.id for p in graph.points.values() if p.kind == "supply"]
    reach = {start: _reach(main, start) for start in starts}
    ways = [_main_way(main, start, reach) for start in starts]
    ways += [_zone_way(graph, main, valve, reach) for valve in valves]
    return tuple(way for way in ways if any(link in graph.bores for link in way.links))


def wettest(left: WaterLeft, ways: tuple[Way, ...]) -> Way | None:
    """Return the way with the most water on it, the first of equal ones."""
    volumes = {each.link: each.wet_volume_m3 or 0.0 for each in left.links}
    return max(
        ways, key=lambda way: sum(volumes[link] for link in way.links), default=None
    )


def water_line(left: WaterLeft, way: Way, system: UnitSystem) -> WaterLine:
    """Draw up a way for `water_profile_svg`."""
    graph, by_link = left.graph, {each.link: each for each in left.links}
    stations = [_station(left, way.start, 0.0)]
    reaches = []
    along = 0.0
    for link_id in way.links:
        link = graph.links[link_id]
        here = graph.other_end(link, stations[-1].point)
        if isinstance(link, Pipe):
            along += graph.bores[link_id].length_m
        stations.append(_station(left, here, along))
        if isinstance(link, Pipe):
            place = len(stations) - 1
            reaches.append(_reach_of(left, by_link[link_id], place, link))
    return WaterLine(
        name=way.name,
        stations=tuple(stations),
        reaches=tuple(reaches),
        pools=tuple(_pools(left, stations, reaches, system)),
        frost_depth_m=left.frost_depth_m,
    )


def _pools(
    left: WaterLeft,
    stations: list[Station],
    reaches: list[WaterReach],
    system: UnitSystem,
) -> Iterator[tuple[str, str]]:
    """Tell each pool at its low point, or at the lowest of it that is on the line."""
    for place in standing_places(left):
        words = place_words(left, place, system)
        if any(station.point == place.at for station in stations):
            yield place.at, words
            continue
        ends = [
            stations[end]
            for reach in reaches
            if reach.link in place.links and reach.wet_share
            for end in (reach.start, reach.end)
        ]
        if ends:
            yield min(ends, key=lambda each: each.elevation_m).point, f"{words} in all"


def _shut_in_summer(link: Link) -> bool:
    """Whether no water goes that way: such a link is no part of a line."""
    return isinstance(link, IsolationValve) and link.summer == "closed"


def _reach(main: "nx.MultiGraph[str]", start: str) -> Found:
    lengths, paths = nx.single_source_dijkstra(main, start, weight="length")
    return {point: (lengths[point], paths[point]) for point in lengths}


def _main_way(
    main: "nx.MultiGraph[str]", start: str, reach: Mapping[str, Found]
) -> Way:
    own = {
        point: length
        for point, (length, _) in reach[start].items()
        if all(length <= other.get(point, (length,))[0] for other in reach.values())
    }
    end = max(own, key=lambda point: own[point])
    _, path = reach[start][end]
    return Way(f"main:{start}", f"main from {start}", start, _links(main, path))


def _zone_way(
    graph: Graph,
    main: "nx.MultiGraph[str]",
    valve: ZoneValve,
    reach: Mapping[str, Found],
) -> Way:
    zone = next((z for z in graph.site.zones if z.valve == valve.id), None)
    key = zone.id if zone is not None else valve.id
    starts = [start for start, found in reach.items() if valve.from_ in found]
    path = [valve.from_]
    if starts:
        start = min(starts, key=lambda each: reach[each][valve.from_][0])
        path = reach[start][valve.from_][1]
    beyond = _reach(main, valve.to)
    heads = [p for p in beyond if isinstance(graph.points[p], Head)]
    end = max(heads or beyond, key=lambda point: beyond[point][0])
    links = (*_links(main, path), valve.id, *_links(main, beyond[end][1]))
    return Way(f"zone:{key}", f"zone {key}", path[0], links)


def _links(main: "nx.MultiGraph[str]", path: list[str]) -> tuple[str, ...]:
    """Return the shortest link between each two points of a path."""
    links = []
    for one, two in pairwise(path):
        between = main[one][two]
        links.append(min(between, key=lambda key: between[key]["length"]))
    return tuple(links)


def _station(left: WaterLeft, point: str, along_m: float) -> Station:
    part = left.graph.points[point]
    nouns = {"head": "head", "blowout_port": "port", "drain": "drain"}
    noun = nouns.get(part.kind, "")
    return Station(
        distance_m=along_m,
        elevation_m=part.elevation.value,
        point=point,
        label=f"{noun} {point}" if noun else "",
    )


def _reach_of(left: WaterLeft, each: LinkLeft, end: int, pipe: Pipe) -> WaterReach:
    stands = each.state in ("trapped", "partly")
    share = each.wet_length_m / left.graph.bores[pipe.id].length_m if stands else 0.0
    levels = [left.drainage.level_m[point] for point in (pipe.from_, pipe.to)]
    by_level = stands and each.told_by == "levels" and min(levels) < float("inf")
    size = pipe.size or ""
    return WaterReach(
        link=pipe.id,
        start=end - 1,
        end=end,
        state=each.state,
        wet_share=min(1.0, share),
        volume_m3=each.wet_volume_m3,
        surface_m=min(levels) if by_level else None,
        depth_m=pipe.depth.value if pipe.depth is not None else None,
        exposed=each.placement in ("above_ground", "indoors"),
        pipe_text=f"{size} {pipe.pipe or pipe.material or 'pipe'}".strip(),
        lies=lies_words(each, left.frost_depth_m),
    )
