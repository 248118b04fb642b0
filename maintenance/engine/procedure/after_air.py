"""What stays in each link once air went through some: the sheet in place of levels."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final, Literal

from maintenance.engine.network.drainage import Drainage, LinkWater
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import Opening
from maintenance.engine.network.spill_level import find_aired
from maintenance.engine.procedure.blown_pipes import BlownParts
from maintenance.engine.site import Link

LeftState = Literal["trapped", "partly", "air_locked", "drained", "blown"]
ToldBy = Literal["levels", "sheet"]
FULL: Final = 1.0 - 1e-9
"""Share of its bore from which a pipe counts as full from end to end."""


@dataclass(frozen=True, slots=True)
class AfterAir:
    """``left`` is the drainage with the links and the aired points as air left them.

    ``state`` and ``told_by`` are by id of the link.
    """

    left: Drainage
    state: Mapping[str, LeftState]
    told_by: Mapping[str, ToldBy]


def after_air(graph: Graph, drainage: Drainage, blown: BlownParts) -> AfterAir:
    """Put what air left in place of what the levels say; see `water_left`.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        What gravity alone leaves. [SI]
    blown : BlownParts
        Where air went, and what it left. [m³]

    Returns
    -------
    AfterAir
        Water and state of every link, in the order of the site. [SI]
    """
    waters = {water.link: water for water in drainage.links}
    state: dict[str, LeftState] = {}
    refilled: set[str] = set()
    for link_id in blown.pipes.keys() & waters.keys():
        water = _lesser(graph, waters[link_id], blown.pipes[link_id].volume_m3)
        state[link_id] = _blown_state(graph, water, stands=blown.pipes[link_id].stands)
        waters[link_id] = water
        refilled.update(_under_water(graph, water, state[link_id], drainage))
    for water in drainage.links:
        # What no air went through still stands against the points that it joins.
        if water.link in graph.bores and water.link not in blown.pipes:
            refilled.update(_under_water(graph, water, water.state, drainage))
    cleared = blown.points - refilled
    aired = _aired(drainage, cleared) if cleared else drainage.aired
    told_by: dict[str, ToldBy] = {}
    for link_id, water in waters.items():
        if link_id in state:
            by_air = water.state != "drained"
        elif link_id in graph.bores:
            waters[link_id] = _air_let_in(graph, water, drainage, aired)
            state[link_id] = waters[link_id].state
            by_air = False
        else:
            link = graph.links[link_id]
            state[link_id] = _device_state(link, water, drainage, cleared, aired)
            by_air = state[link_id] != water.state
        told_by[link_id] = "sheet" if by_air else "levels"
    left = replace(drainage, links=tuple(waters.values()), aired=aired)
    return AfterAir(left, state, told_by)


def low_and_high(graph: Graph, drainage: Drainage, link_id: str) -> tuple[str, str]:
    """Return the ends of a link, the lower first.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    drainage : Drainage
        Holds the elevations. [m]
    link_id : str
        Id of the link. [-]

    Returns
    -------
    tuple of str
        Ids of its ends. [-]
    """
    link, heights = graph.links[link_id], drainage.channels.elevation_m
    if heights[link.from_] <= heights[link.to]:
        return link.from_, link.to
    return link.to, link.from_


def _lesser(graph: Graph, water: LinkWater, left_m3: float) -> LinkWater:
    bore = graph.bores[water.link]
    if water.wet_volume_m3 is None or not bore.volume_m3:
        return water
    volume = min(left_m3, water.wet_volume_m3)
    length = bore.length_m * volume / bore.volume_m3
    return replace(
        water, wet_length_m=length, wet_volume_m3=volume, air_locked_length_m=0.0
    )


def _blown_state(graph: Graph, water: LinkWater, *, stands: bool) -> LeftState:
    if water.state == "drained":
        return "drained"
    if not stands or water.wet_length_m == 0.0:
        return "blown"
    full = water.wet_length_m >= FULL * graph.bores[water.link].length_m
    return "trapped" if full else "partly"


def _under_water(
    graph: Graph, water: LinkWater, state: LeftState, drainage: Drainage
) -> tuple[str, ...]:
    low, high = low_and_high(graph, drainage, water.link)
    return {"partly": (low,), "trapped": (low, high)}.get(state, ())


def _aired(drainage: Drainage, cleared: frozenset[str]) -> frozenset[str]:
    """Let air follow the water from every point that air went through, too."""
    heights = drainage.channels.elevation_m
    levels = {
        point: heights[point] if point in cleared else level
        for point, level in drainage.level_m.items()
    }
    inlets = tuple(Opening(point, heights[point], admits_air=True) for point in cleared)
    return drainage.aired | find_aired(
        drainage.channels, levels, (*drainage.states.openings, *inlets)
    )


def _air_let_in(
    graph: Graph, water: LinkWater, drainage: Drainage, aired: frozenset[str]
) -> LinkWater:
    """Free a pipe that only wanted air, where air now stands at its upper end."""
    _, high = low_and_high(graph, drainage, water.link)
    if not water.air_locked_length_m or high not in aired:
        return water
    freed = replace(water, air_locked_length_m=0.0)
    return freed if water.wet_length_m else replace(freed, state="drained")


def _device_state(
    device: Link,
    water: LinkWater,
    drainage: Drainage,
    cleared: frozenset[str],
    aired: frozenset[str],
) -> LeftState:
    ends = (device.from_, device.to)
    wet = [drainage.is_wet(end) and end not in cleared for end in ends]
    if all(wet):
        return "trapped"
    if any(wet):
        return "partly"
    if not aired.issuperset(ends):
        return "air_locked"
    went_through = not cleared.isdisjoint(ends)
    return "blown" if went_through and water.state != "drained" else "drained"
