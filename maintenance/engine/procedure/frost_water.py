"""What is opened for one night so that no water stays in what stands in the open air."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import Drainage, LinkWater, find_drainage
from maintenance.engine.procedure.exposed import Exposed, exposed_cells
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sections import stand

MOST_OPENINGS: Final = 4
_SAME_M: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Lowering:
    """What is opened besides the assemblies, and what that leaves.

    ``drains`` stay open for the night, ``zones`` run until their heads stop.
    ``let_out_m3`` is the water that leaves, None where a size is unknown; ``still_wet``
    names exposed pipes that keep water all the same.
    """

    drains: tuple[str, ...]
    zones: tuple[str, ...]
    let_out_m3: float | None
    still_wet: tuple[str, ...]


def choose_lowering(piping: Piping, positions: Positions, exposed: Exposed) -> Lowering:
    """Choose what empties the exposed pipes with the least water let out.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Water shut off, assemblies open. [-]
    exposed : Exposed
        What stands in the open air. [-]

    Returns
    -------
    Lowering
        Openings are added one by one as long as one more empties another length of
        exposed pipe: the one that empties most, of equals the one that lets out least.
        At most four. [-]
    """
    drains, zones = _candidates(piping, positions, exposed)
    now = dict(positions)
    chosen: list[str] = []
    best = _drained(piping, now)
    wet = _wet_m(piping, best, exposed)
    while wet > _SAME_M and len(chosen) < MOST_OPENINGS:
        tried = []
        for key in (*drains, *zones):
            if key not in chosen:
                after = _drained(piping, {**now, key: "open"})
                tried.append(
                    (_wet_m(piping, after, exposed), -_stays_m3(after), key, after)
                )
        if not tried:
            break
        least, _, key, after = min(tried, key=lambda each: each[:3])
        if least > wet - _SAME_M:
            break
        chosen.append(key)
        now[key], wet, best = "open", least, after
    full = _drained(piping, positions)
    return Lowering(
        tuple(key for key in chosen if key in drains),
        tuple(key for key in chosen if key in zones),
        _difference(full, best) if chosen else 0.0,
        tuple(
            each.link
            for each in best.links
            if each.link in exposed.pipes and _length_m(each) > _SAME_M
        ),
    )


def _candidates(
    piping: Piping, positions: Positions, exposed: Exposed
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the drains and the zone valves on the sections of the exposed parts."""
    standing = stand(piping, positions)
    cells = {
        cell
        for each in exposed_cells(piping, exposed.all)
        for cell in standing.cells[standing.section_of[each]]
        if not standing.sources_at(cell)
    }
    drains = tuple(
        o.element
        for o in piping.openings
        if o.kind == "drain" and o.cell in cells and positions[o.element] == "closed"
    )
    watering = {valve for o in piping.openings for valve in o.valves}
    zones = tuple(
        gate.id
        for gate in piping.gates
        if gate.kind == "diaphragm" and gate.start in cells and gate.id in watering
    )
    return drains, zones


def _drained(piping: Piping, positions: Mapping[str, str]) -> Drainage:
    graph = piping.graph
    return find_drainage(
        graph, drain_states(graph, drainage_positions(graph, positions))
    )


def _wet_m(piping: Piping, drainage: Drainage, exposed: Exposed) -> float:
    """Return the length of exposed pipe with water, and the height of it in risers."""
    waters = {each.link: each for each in drainage.links}
    pipes = sum(_length_m(waters[key]) for key in exposed.pipes)
    return pipes + sum(
        _height_m(piping, drainage, waters[key], floor) for key, floor in exposed.risers
    )


def _height_m(
    piping: Piping, drainage: Drainage, water: LinkWater, floor_m: float
) -> float:
    """Return how high water stands in a riser over the level it is emptied to."""
    link, points = piping.graph.links[water.link], piping.graph.points
    low, high = sorted(
        (link.from_, link.to), key=lambda end: points[end].elevation.value
    )
    top = points[high].elevation.value
    bottom = max(points[low].elevation.value, floor_m)
    level = top if water.air_locked_length_m > _SAME_M else drainage.level_m[low]
    return max(0.0, min(level, top) - bottom)


def _length_m(water: LinkWater) -> float:
    return water.wet_length_m + water.air_locked_length_m


def _stays_m3(drainage: Drainage) -> float:
    return sum(each.wet_volume_m3 or 0.0 for each in drainage.links)


def _difference(before: Drainage, after: Drainage) -> float | None:
    if before.trapped_m3 is None or after.trapped_m3 is None:
        return None
    return max(0.0, before.trapped_m3 - after.trapped_m3)
