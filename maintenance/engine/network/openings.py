"""Where water can leave a network and where air can enter it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.passages import is_open
from maintenance.engine.network.positions import Positions, assembly_parts
from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    Drain,
    Head,
    Outlet,
    Point,
    Pump,
    Supply,
    ZoneValve,
)

ASSUMED_NOZZLE_HEIGHT_M: Final = 0.15
"""Height of a nozzle over its pipe where none is recorded; estimate, from memory."""
BOTH_SIDES: Final = 2
"""With fewer test cocks than this the one there is stands before the checks."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A way in or out at a point: the level of its lip and the head that it holds.

    ``passes_water`` is False for what only lets air in. An automatic drain opens
    when the water over it stands less than ``opens_below_m`` high; None elsewhere.
    """

    point: str
    level_m: float
    holds_m: float = 0.0
    admits_air: bool = False
    passes_water: bool = True
    opens_below_m: float | None = None


def find_openings(graph: Graph, positions: Positions) -> tuple[Opening, ...]:
    """Find every opening of a network.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to Position
        Position of the parts that are set by hand. [-]

    Returns
    -------
    tuple of Opening
        Of the points in their order, then of assemblies, valves and pumps. [m]
    """
    return (*_at_points(graph, positions), *_at_links(graph, positions))


def _at_points(graph: Graph, positions: Positions) -> Iterator[Opening]:
    for point in graph.points.values():
        position = positions.get(point.id)
        if position == "closed":
            continue
        level = point.elevation.value
        match point:
            case Head():
                yield _head(point, without_check=is_open(position))
            case Drain() if is_open(position):
                yield Opening(point.id, level, admits_air=point.admits_air is True)
            case Drain() if point.drain == "automatic" and point.opens_below:
                yield Opening(
                    point.id,
                    level,
                    admits_air=point.admits_air is True,
                    opens_below_m=point.opens_below.value
                    / (WATER_DENSITY * STANDARD_GRAVITY),
                )
            case Outlet() | BlowoutPort() if is_open(position):
                yield Opening(point.id, level, admits_air=True)
            case Outlet() if point.kind == "vent":
                yield _air_only(point)


def _head(head: Head, *, without_check: bool) -> Opening:
    height = head.nozzle_height
    level = head.elevation.value + (height.value if height else ASSUMED_NOZZLE_HEIGHT_M)
    if head.check_valve is None or without_check:
        return Opening(head.id, level, admits_air=True)
    return Opening(head.id, level, head.check_valve.value)


def _at_links(graph: Graph, positions: Positions) -> Iterator[Opening]:
    for link in graph.links.values():
        match link:
            case Backflow():
                yield from _assembly(graph, link, positions)
            case ZoneValve() if link.anti_siphon:
                yield _air_only(graph.points[link.to])
            case Pump():
                source = graph.points[link.from_]
                # Open water below takes what runs back; a public main does not.
                if isinstance(source, Supply) and source.source != "public":
                    yield Opening(source.id, source.elevation.value)


def _assembly(
    graph: Graph, device: Backflow, positions: Positions
) -> Iterator[Opening]:
    before, behind, cocks = (
        is_open(positions.get(name)) for name in assembly_parts(device)
    )
    count = device.test_cocks.count if device.test_cocks else None
    if cocks and before:
        yield Opening(
            device.from_, graph.points[device.from_].elevation.value, admits_air=True
        )
    downstream = graph.points[device.to]
    if cocks and behind and (count is None or count >= BOTH_SIDES):
        yield Opening(device.to, downstream.elevation.value, admits_air=True)
    # An atmospheric breaker has no shut-off behind it; the others may have.
    if device.device == "AVB" or (behind and device.device in ("PVB", "SVB")):
        yield _air_only(downstream)


def _air_only(point: Point) -> Opening:
    return Opening(point.id, point.elevation.value, admits_air=True, passes_water=False)
