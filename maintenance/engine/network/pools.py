"""Parts of a network that hang together: water that a drain may take, air locks."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.drainage import Drainage
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.passages import SHUT
from maintenance.engine.network.spill_level import Channels
from maintenance.engine.site import OtherUse, Supply, ZoneValve

IRRIGATION: Final = frozenset({"head", "drain", "quick_coupler", "blowout_port"})
"""Points that only what is to be drained has; zone valves are told beside them."""


@dataclass(frozen=True, slots=True)
class AirLock:
    """Emptied pipe that hangs together and that no air reaches.

    ``highest`` is the point to open; ``links`` are the pipes that may not drain.
    """

    highest: str
    length_m: float
    links: tuple[str, ...]


def find_air_locks(graph: Graph, drainage: Drainage) -> tuple[AirLock, ...]:
    """Find the stretches that may not drain, and where to let air in.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        Where water stays. [SI]

    Returns
    -------
    tuple of AirLock
        The longest first. [m]
    """
    elevations = drainage.channels.elevation_m
    locked = {
        point
        for point in graph.points
        if not drainage.is_wet(point) and point not in drainage.aired
    }
    lengths = {
        each.link: each.air_locked_length_m
        for each in drainage.links
        if each.air_locked_length_m > 0.0
    }
    hanging: dict[str, list[str]] = {}
    for link_id in lengths:
        link = graph.links[link_id]
        upper = max((link.from_, link.to), key=lambda end: elevations[end])
        hanging.setdefault(upper, []).append(link_id)
    found = []
    for group in connected(drainage.channels, locked, order=graph.points):
        links = tuple(link for point in group for link in hanging.get(point, ()))
        if links:
            highest = max(group, key=lambda point: elevations[point])
            found.append(AirLock(highest, sum(lengths[each] for each in links), links))
    return tuple(sorted(found, key=lambda lock: -lock.length_m))


def connected(
    channels: Channels, points: Iterable[str], *, order: Iterable[str]
) -> Iterator[tuple[str, ...]]:
    """Part some points into groups that water joins in either direction.

    Parameters
    ----------
    channels : Channels
        The ways of the water. [m]
    points : iterable of str
        Points to part; water crosses no others. [-]
    order : iterable of str
        Order in which groups begin. [-]

    Yields
    ------
    tuple of str
        The points of one group. [-]
    """
    left = set(points)
    for start in order:
        if start not in left:
            continue
        left.discard(start)
        group = [start]
        for point in group:
            for other, _ in (*channels.out_of[point], *channels.into[point]):
                if other in left:
                    left.discard(other)
                    group.append(other)
        yield tuple(group)


def kept_waters(graph: Graph, drainage: Drainage) -> tuple[tuple[str, ...], ...]:
    """Find the waters that are meant to stay.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        Where water stays. [SI]

    Returns
    -------
    tuple of tuple of str
        The points of each: all that another use hangs on, and what stands on a source's
        side of a shut valve. [-]
    """
    return tuple(
        group
        for group in connected(drainage.channels, graph.points, order=graph.points)
        if _is_kept(graph, drainage, group)
    )


def _is_kept(graph: Graph, drainage: Drainage, group: tuple[str, ...]) -> bool:
    points = [graph.points[key] for key in group]
    if any(isinstance(point, OtherUse) for point in points):
        return True
    if not any(isinstance(point, Supply) for point in points):
        return False
    links = [graph.links[link] for key in group for link in graph.joined[key]]
    return (
        any(drainage.states.passages[link.id] == SHUT for link in links)
        and not any(point.kind in IRRIGATION for point in points)
        and not any(isinstance(link, ZoneValve) for link in links)
    )
