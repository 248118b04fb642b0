"""The level to which water in a network can fall by gravity alone.

The level at a point is the highest point, with what checks hold, on the best way
from it to any opening: a bottleneck path, found in one pass from all openings against
the direction of the water. It is the priority flood of Barnes, Lehman and Mulla
(Computers & Geosciences 62, 117-127, 2014, doi 10.1016/j.cageo.2013.04.024) on a graph
in place of a grid, with add-ons for checks. Siphons are taken to break.
"""

import heapq
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.drain_states import DrainStates
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import Opening

SAME_M: Final = 1e-6
"""Levels closer than this are one: what adding heights in other units rounds off."""
Ways = Mapping[str, list[tuple[str, float]]]


@dataclass(frozen=True, slots=True)
class Channels:
    """The ways of the water: from where to each point, to where from each point.

    Each way is the other point and the head that it holds [m]. ``elevation_m`` is
    that of every point.
    """

    into: Ways
    out_of: Ways
    elevation_m: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Levels:
    """The level left at every point, infinite where no way leads out [m].

    ``opened`` names the automatic drains that have opened.
    """

    level_m: Mapping[str, float]
    opened: tuple[Opening, ...]


def find_channels(graph: Graph, states: DrainStates) -> Channels:
    """Lay out the ways that water can take.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    states : DrainStates
        What passes. [-]

    Returns
    -------
    Channels
        Ways into and out of each point. [m]
    """
    into: dict[str, list[tuple[str, float]]] = {point: [] for point in graph.points}
    out_of: dict[str, list[tuple[str, float]]] = {point: [] for point in graph.points}
    passages = states.passages
    for link in graph.links.values():
        passage = passages[link.id]
        start, end = link.from_, link.to
        forward, backward = passage.forward_m, passage.backward_m
        if forward is not None:
            into[end].append((start, forward))
            out_of[start].append((end, forward))
        if backward is not None:
            into[start].append((end, backward))
            out_of[end].append((start, backward))
    elevations = {key: point.elevation.value for key, point in graph.points.items()}
    return Channels(into, out_of, elevations)


def spill_levels(channels: Channels, openings: Iterable[Opening]) -> Levels:
    """Find the level to which the water at every point can fall.

    Parameters
    ----------
    channels : Channels
        The ways of the water. [m]
    openings : iterable of Opening
        All openings, automatic drains among them. [m]

    Returns
    -------
    Levels
        Level at each point and the automatic drains that open. [m]

    Notes
    -----
    R(v) = max(z(v), lip + holding head) at an opening, R(u) = max(z(u), R(v) + h) across
    a link that passes from u to v and holds h; the least solution. Automatic drains are
    added one round after another, each once the water over it is low enough; levels
    only fall, so the order does not matter.
    """
    nothing = dict.fromkeys(channels.elevation_m, math.inf)
    own = [each for each in openings if each.passes_water]
    found = lower_levels(
        channels,
        nothing,
        [each for each in own if each.opens_below_m is None],
        [each for each in own if each.opens_below_m is not None],
    )
    return Levels({**nothing, **found.level_m}, found.opened)


def lower_levels(
    channels: Channels,
    levels_m: Mapping[str, float],
    openings: Iterable[Opening],
    automatic: Iterable[Opening],
) -> Levels:
    """Lower known levels by further openings.

    Parameters
    ----------
    channels : Channels
        The ways of the water. [m]
    levels_m : mapping of str to float
        Levels without those openings. [m]
    openings : iterable of Opening
        Openings added. [m]
    automatic : iterable of Opening
        Automatic drains that are still shut. [m]

    Returns
    -------
    Levels
        Only the levels that fall, and the automatic drains that open now. [m]
    """
    fallen: dict[str, float] = {}
    opened: list[Opening] = []
    waiting = list(automatic)
    added = list(openings)
    while added:
        _flow(channels, levels_m, fallen, added)
        added = [
            each
            for each in waiting
            if fallen.get(each.point, levels_m[each.point]) - each.level_m
            < (each.opens_below_m or 0.0)
        ]
        waiting = [each for each in waiting if each not in added]
        opened += added
    return Levels(fallen, tuple(opened))


def _flow(
    channels: Channels,
    levels_m: Mapping[str, float],
    fallen: dict[str, float],
    openings: Iterable[Opening],
) -> None:
    """Carry the levels of some openings as far up as they lower anything."""
    into, elevations = channels.into, channels.elevation_m
    queue: list[tuple[float, str]] = []
    for each in openings:
        level = max(elevations[each.point], each.level_m + each.holds_m)
        if level < fallen.get(each.point, levels_m[each.point]):
            fallen[each.point] = level
            queue.append((level, each.point))
    heapq.heapify(queue)
    while queue:
        level, point = heapq.heappop(queue)
        if level > fallen[point]:
            continue
        for other, holds in into[point]:
            reached = max(elevations[other], level + holds)
            if reached < fallen.get(other, levels_m[other]):
                fallen[other] = reached
                heapq.heappush(queue, (reached, other))


def find_aired(
    channels: Channels, levels_m: Mapping[str, float], openings: Iterable[Opening]
) -> frozenset[str]:
    """Find the points without water that air can reach.

    Parameters
    ----------
    channels : Channels
        The ways; air takes them in the direction of the water. [m]
    levels_m : mapping of str to float
        Level left at every point. [m]
    openings : iterable of Opening
        All openings. [m]

    Returns
    -------
    frozenset of str
        Ids of points from which air can follow the water. [-]

    Notes
    -----
    Air floods from every opening that admits it and is not under water, over points
    that are not under water; a pool or a check against its way bars it.
    """
    elevations, out_of = channels.elevation_m, channels.out_of
    waiting = [
        each.point
        for each in openings
        if each.admits_air and levels_m[each.point] - elevations[each.point] <= SAME_M
    ]
    aired: set[str] = set(waiting)
    while waiting:
        for other, _ in out_of[waiting.pop()]:
            if other not in aired and levels_m[other] - elevations[other] <= SAME_M:
                aired.add(other)
                waiting.append(other)
    return frozenset(aired)
