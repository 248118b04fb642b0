"""Water levels after a whole list: what ran off while something stood open is gone.

The positions at the end alone say too much stays: a zone that ran back into the main
through its open valve does not fill again when the valve is shut.
"""

from collections.abc import Mapping
from dataclasses import replace

from maintenance.engine.network.drain_states import DrainStates, drain_states
from maintenance.engine.network.drainage import find_drainage
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import Opening
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.positions import Positions, summer_positions
from maintenance.engine.procedure.rules.rule import Levels
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.engine.site import ZoneValve


def levels_after(graph: Graph, procedure: Procedure) -> Levels:
    """Return what finds the levels left once a shutdown list has been done.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    procedure : Procedure
        A shutdown, whoever wrote it. [-]

    Returns
    -------
    callable
        From the positions at the end to the level at each point: the lowest that it
        came to at any step with the act ``drain``, or comes to at the end. [m]
    """
    points = set(graph.points)
    moments: dict[tuple[tuple[str, ...], tuple[str, ...]], dict[str, str]] = {}
    positions = summer_positions(graph)
    elements = set(positions)
    drawn: tuple[str, ...] = ()
    for step in procedure.steps:
        positions |= {change.element: change.position for change in step.changes}
        if step.act == "drain":
            if step.on in points - elements:
                drawn = (*drawn, step.on)
            at = positions | _during(step)
            moments[tuple(at.values()), drawn] = at

    def levels(ending: Positions) -> Mapping[str, float | None]:
        lowest: dict[str, float] = {}
        last = {key: ending[key] for key in positions}
        for (_, open_), at in {**moments, (tuple(last.values()), drawn): last}.items():
            for point, level in level_with(graph, at, open_).items():
                lowest[point] = min(level, lowest.get(point, level))
        return lowest

    return levels


def level_with(
    graph: Graph, positions: Positions, drawn: tuple[str, ...]
) -> Mapping[str, float]:
    """Return the levels that gravity leaves, water being drawn out at some points.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to str
        Position of every element, in the words of a list. [-]
    drawn : tuple of str
        Points at which the pipe was opened and its water drawn out. [-]

    Returns
    -------
    mapping of str to float
        Level by point; nothing runs back through an anti-siphon valve, whose vacuum
        breaker falls shut. [m]
    """
    return find_drainage(graph, _states(graph, positions, drawn)).level_m


def trapped_in_zone(graph: Graph, positions: Positions, zone: str) -> float | None:
    """Return the water that stays in a zone.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to str
        Position of every element, in the words of a list. [-]
    zone : str
        Id of the zone. [-]

    Returns
    -------
    float or None
        None where a bore is not known. [m³]
    """
    states = _states(graph, positions, ())
    return find_drainage(graph, states).trapped_by_zone.get(zone, 0.0)


def _states(graph: Graph, positions: Positions, drawn: tuple[str, ...]) -> DrainStates:
    shut = {
        link.id: "closed"
        for link in graph.links.values()
        if isinstance(link, ZoneValve) and link.anti_siphon
    }
    states = drain_states(graph, drainage_positions(graph, {**positions, **shut}))
    more = tuple(
        Opening(point, graph.points[point].elevation.value, admits_air=True)
        for point in drawn
    )
    return replace(states, openings=(*states.openings, *more))


def _during(step: Step) -> dict[str, str]:
    return {change.element: change.position for change in step.during}
