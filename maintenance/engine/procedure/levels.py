"""The positions of a list in the words of the drainage, and the levels left by it."""

from collections.abc import Mapping

from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import find_drainage
from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.elements import (
    SHUTOFF_1,
    SHUTOFF_2,
    TEST_COCKS,
    part_element,
    site_elements,
)
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.rules.rule import Levels
from maintenance.engine.procedure.ways_out import OPEN_WORDS
from maintenance.engine.site import Position

_HYDRAULIC = frozenset(
    {
        "isolation_valve",
        "shutoff",
        "zone_valve",
        "master_valve",
        "drain",
        "test_cock",
        "test_cocks",
        "hydrant",
        "end",
        "open_end",
        "quick_coupler",
        "blowout_port",
    }
)


def drainage_positions(graph: Graph, positions: Positions) -> dict[str, Position]:
    """Turn the positions of a list into those of the drainage.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]

    Returns
    -------
    dict of str to Position
        Open, half open or closed; a removed assembly counts as open everywhere. [-]
    """
    found: dict[str, Position] = {}
    removed = []
    for key, element in site_elements(graph).items():
        position = positions[key]
        if element.kind == "assembly" and position == "removed":
            removed.append(key)
        if element.kind not in _HYDRAULIC:
            continue
        if position == "half_open":
            found[key] = "half_open"
        else:
            passes = position in OPEN_WORDS or position == "open_but_first"
            found[key] = "open" if passes else "closed"
    for key in removed:
        for part in (SHUTOFF_1, SHUTOFF_2, TEST_COCKS):
            found[part_element(key, part)] = "open"
    return found


def levels_left(graph: Graph) -> Levels:
    """Return what finds the water levels that gravity leaves, for the checker.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    callable
        From positions to the level at each point, infinite where nothing lets the
        water out. [m]
    """

    def levels(positions: Positions) -> Mapping[str, float | None]:
        states = drain_states(graph, drainage_positions(graph, positions))
        return find_drainage(graph, states).level_m

    return levels
