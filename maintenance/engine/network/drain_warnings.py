"""What a person should know beside the levels: gaps, doubts, and what to look at."""

from collections.abc import Iterator

from maintenance.engine.figure import Warning
from maintenance.engine.network.drainage import Drainage
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.pools import IRRIGATION, AirLock, kept_waters
from maintenance.engine.network.spill_level import SAME_M
from maintenance.engine.site import Supply, ZoneValve
from maintenance.engine.units import UnitSystem, display


def drain_warnings(
    graph: Graph,
    drainage: Drainage,
    air_locks: tuple[AirLock, ...],
    *,
    units: UnitSystem = "us",
) -> tuple[Warning, ...]:
    """Name what a person should know beside the levels.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        Where water stays. [SI]
    air_locks : tuple of AirLock
        What `find_air_locks` found. [m]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    tuple of Warning
        Sources that are open first. [-]
    """
    return (
        *_open_sources(graph, drainage),
        *_kept(graph, drainage),
        *_unknown_sizes(graph, drainage, units),
        *_no_way_out(graph, drainage),
        *_air_locked(air_locks, units),
        *_level_pipes(graph, drainage),
    )


def _open_sources(graph: Graph, drainage: Drainage) -> Iterator[Warning]:
    for point in graph.points.values():
        if not isinstance(point, Supply):
            continue
        reached = {point.id}
        waiting = [point.id]
        while waiting:
            ways = drainage.channels.out_of[waiting.pop()]
            found = [other for other, _ in ways if other not in reached]
            reached.update(found)
            waiting += found
        if any(
            graph.points[each].kind in IRRIGATION
            or any(isinstance(graph.links[i], ZoneValve) for i in graph.joined[each])
            for each in reached
        ):
            text = (
                f"No shut valve parts {point.id} from these pipes: nothing drains until "
                "it is shut and holds. The levels are as if it gave no water."
            )
            yield Warning("source_open", text, (point.id,))


def _kept(graph: Graph, drainage: Drainage) -> Iterator[Warning]:
    kept = {point for group in kept_waters(graph, drainage) for point in group}
    links = _wet_among(graph, drainage, kept)
    if links:
        text = (
            "These pipes keep their water for a source or another use, and no drain is "
            "named for them: keep them from frost."
        )
        yield Warning("kept", text, links)


def _wet_among(graph: Graph, drainage: Drainage, points: set[str]) -> tuple[str, ...]:
    return tuple(
        each.link
        for each in drainage.links
        if each.wet_length_m > 0.0
        and {graph.links[each.link].from_, graph.links[each.link].to} <= points
    )


def _unknown_sizes(
    graph: Graph, drainage: Drainage, units: UnitSystem
) -> Iterator[Warning]:
    unknown = tuple(each.link for each in drainage.links if each.wet_volume_m3 is None)
    if unknown:
        length = sum(e.wet_length_m for e in drainage.links if e.wet_volume_m3 is None)
        text = (
            f"size is not recorded: {display(length, 'length', units, 'up')} of these "
            "pipes hold water that no total counts. Measure round the pipe with a "
            "string, or read the print on it."
        )
        yield Warning("unknown_size", text, unknown)
    guessed = tuple(
        each.link
        for each in drainage.links
        if each.wet_volume_m3
        and any("largest bore" in text for text in graph.bores[each.link].assumed)
    )
    if guessed:
        text = (
            "What these pipes are is not known: their water is worked out with the "
            "largest bore of their class."
        )
        yield Warning("largest_bore", text, guessed)


def _no_way_out(graph: Graph, drainage: Drainage) -> Iterator[Warning]:
    kept = {point for group in kept_waters(graph, drainage) for point in group}
    endless = {
        point
        for point, level in drainage.level_m.items()
        if level == float("inf") and point not in kept
    }
    links = _wet_among(graph, drainage, endless)
    if links:
        text = (
            "Nothing lets the water out of these pipes: no drain, head or other opening "
            "is open to them."
        )
        yield Warning("no_way_out", text, links)


def _air_locked(air_locks: tuple[AirLock, ...], units: UnitSystem) -> Iterator[Warning]:
    for lock in air_locks:
        length = display(lock.length_m, "length", units, "up")
        text = (
            f"{length} of pipe may not drain, since no air gets in: open something at "
            f"{lock.highest}."
        )
        yield Warning("air_locked", text, lock.links)


def _level_pipes(graph: Graph, drainage: Drainage) -> Iterator[Warning]:
    elevations = drainage.channels.elevation_m
    level = tuple(
        each.link
        for each in drainage.links
        if each.link in graph.bores
        and each.wet_length_m == 0.0
        and abs(
            elevations[graph.links[each.link].from_]
            - elevations[graph.links[each.link].to]
        )
        <= SAME_M
    )
    if level:
        text = (
            "These pipes lie level: they count as emptied, but a sag between their ends "
            "keeps water."
        )
        yield Warning("no_slope", text, level)
