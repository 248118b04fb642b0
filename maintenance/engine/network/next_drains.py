"""Which new drain would let out the most water, one at a time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.drainage import Drainage, known_sum, wet_share
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import Opening
from maintenance.engine.network.pools import connected, kept_waters
from maintenance.engine.network.spill_level import SAME_M, Channels, lower_levels

MOST_TRIED_IN_A_POOL: Final = 30
"""Low points tried in one pool, the lowest of it: a person fits one drain at a time."""


@dataclass(frozen=True, slots=True)
class NextDrain:
    """A point, and what an opening at its own level there would let out.

    ``empties_m3`` is None where only pipe of unknown size would empty.
    """

    at: str
    empties_m3: float | None
    empties_length_m: float


@dataclass(frozen=True, slots=True)
class _WetPipe:
    """A pipe over its low end: what it holds, and the share of it that is wet."""

    high_m: float
    share: float
    length_m: float
    volume_m3: float | None


def rank_next_drains(graph: Graph, drainage: Drainage) -> tuple[NextDrain, ...]:
    """Try a drain at every low point that holds water.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        Where water stays now. [SI]

    Returns
    -------
    tuple of NextDrain
        What empties most first; each is tried alone. [m³]

    Notes
    -----
    The levels are solved again with an open drain at the point, starting from the
    levels now: only where they fall is there anything to work out. A point from which
    the water could flow on to a lower one needs no trial of its own, since a drain at
    the lower one does all that it does; of a pool with very many low points only the
    lowest are tried. Water that another use keeps, or that stands on
    a source's side of a shut valve, is left out.
    """
    low_points = tuple(_low_points(graph, drainage))
    if not low_points:
        return ()
    opened = set(drainage.levels.opened)
    shut = [
        each
        for each in drainage.states.openings
        if each.opens_below_m is not None and each not in opened
    ]
    pipes_up = _wet_pipes(graph, drainage)
    found = [_tried(drainage, point, shut, pipes_up) for point in low_points]
    return tuple(
        sorted(
            (each for each in found if each.empties_length_m > SAME_M),
            key=lambda each: (-(each.empties_m3 or 0.0), -each.empties_length_m),
        )
    )


def _low_points(graph: Graph, drainage: Drainage) -> Iterator[str]:
    """Find the low points of each pool, the lowest first."""
    channels = drainage.channels
    kept = {point for group in kept_waters(graph, drainage) for point in group}
    wet = [p for p in graph.points if p not in kept and drainage.is_wet(p)]
    for pool in connected(channels, wet, order=graph.points):
        low_points = list(_sinks(channels, pool))
        low_points.sort(key=lambda point: channels.elevation_m[point])
        yield from low_points[:MOST_TRIED_IN_A_POOL]


def _sinks(channels: Channels, pool: tuple[str, ...]) -> Iterator[str]:
    """Find the points from which water can flow to no lower or equal one.

    Of points at one level that water joins both ways, the first stands for all.
    """
    elevations, out_of = channels.elevation_m, channels.out_of
    seen: set[str] = set()
    for start in pool:
        if start in seen:
            continue
        seen.add(start)
        waiting, runs_on = [start], False
        while waiting:
            point = waiting.pop()
            level = elevations[point]
            for other, holds in out_of[point]:
                reached = elevations[other] + holds
                if reached > level:
                    continue
                if reached < level or holds or (point, 0.0) not in out_of[other]:
                    runs_on = True
                elif other not in seen:
                    seen.add(other)
                    waiting.append(other)
        if not runs_on:
            yield start


def _wet_pipes(graph: Graph, drainage: Drainage) -> dict[str, list[_WetPipe]]:
    """Lay out the pipes that hold water by their low ends."""
    elevations = drainage.channels.elevation_m
    found: dict[str, list[_WetPipe]] = {point: [] for point in graph.points}
    for each in drainage.links:
        if each.wet_length_m > 0.0:
            link, bore = graph.links[each.link], graph.bores[each.link]
            low, high = link.from_, link.to
            if elevations[low] > elevations[high]:
                low, high = high, low
            share = each.wet_length_m / bore.length_m
            pipe = _WetPipe(elevations[high], share, bore.length_m, bore.volume_m3)
            found[low].append(pipe)
    return found


def _tried(
    drainage: Drainage,
    point: str,
    shut: list[Opening],
    pipes_up: Mapping[str, list[_WetPipe]],
) -> NextDrain:
    elevations = drainage.channels.elevation_m
    drain = Opening(point, elevations[point])
    after = lower_levels(drainage.channels, drainage.level_m, [drain], shut)
    length = 0.0
    volumes: list[float | None] = []
    for low, level in after.level_m.items():
        for pipe in pipes_up[low]:
            fallen = pipe.share - wet_share(level, elevations[low], pipe.high_m)
            if fallen > 0.0:
                length += fallen * pipe.length_m
                volume = pipe.volume_m3
                volumes.append(None if volume is None else fallen * volume)
    return NextDrain(point, known_sum(volumes), length)
