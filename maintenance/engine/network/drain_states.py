"""The state of a network that is left to drain: what passes, what is open."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import (
    ASSUMED_NOZZLE_HEIGHT_M,
    Opening,
    find_openings,
)
from maintenance.engine.network.passages import Passage, find_passages
from maintenance.engine.network.positions import Positions
from maintenance.engine.site import CheckValve, Drain, Head, IsolationValve
from maintenance.engine.units import UnitSystem, display


@dataclass(frozen=True, slots=True)
class DrainStates:
    """How water passes every link, and every opening to the outside.

    Made from positions by `drain_states`; nothing here is worked out from levels.
    """

    passages: Mapping[str, Passage]
    openings: tuple[Opening, ...]


def drain_states(graph: Graph, positions: Positions) -> DrainStates:
    """Turn the positions of all parts into what passes and what is open.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to Position
        As `winter_positions` gives them, with any changes; a part without a position
        does what it does by itself. [-]

    Returns
    -------
    DrainStates
        For `find_drainage`. [m]
    """
    return DrainStates(find_passages(graph, positions), find_openings(graph, positions))


def state_warnings(
    graph: Graph, positions: Positions, *, units: UnitSystem = "us"
) -> tuple[Warning, ...]:
    """Name what is not recorded, and what was taken in its place.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to Position
        Position of the parts that are set by hand. [-]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    tuple of Warning
        At most one for each kind of gap. [-]
    """
    return tuple(_gaps(graph, positions, units))


def _gaps(graph: Graph, positions: Positions, units: UnitSystem) -> Iterator[Warning]:
    parts = (*graph.points.values(), *graph.links.values())
    free = [part for part in parts if part.id not in positions]
    found = {
        "missing_opens_below": (
            [
                part.id
                for part in free
                if isinstance(part, Drain)
                and part.drain == "automatic"
                and part.opens_below is None
            ],
            (
                "opens_below is not recorded: these automatic drains count as shut. Read "
                "it from the maker's sheet and enter it."
            ),
        ),
        "missing_nozzle_height": (
            [
                part.id
                for part in parts
                if isinstance(part, Head)
                and part.nozzle_height is None
                and positions.get(part.id) != "closed"
            ],
            (
                "nozzle_height is not recorded: taken as "
                f"{display(ASSUMED_NOZZLE_HEIGHT_M, 'height', units)} over the pipe. Measure from "
                "the pipe to the ground."
            ),
        ),
        "missing_holds": (
            [
                part.id
                for part in free
                if isinstance(part, CheckValve) and part.holds is None
            ],
            (
                "holds is not recorded: taken as a check without a spring. A spring keeps "
                "more water."
            ),
        ),
        "missing_winter": (
            [
                part.id
                for part in parts
                if isinstance(part, IsolationValve) and part.winter is None
            ],
            (
                "winter is not recorded: these valves count as closed unless they are "
                "opened here. Enter how they are left."
            ),
        ),
        "waste_not_counted": (
            [
                part.id
                for part in parts
                if isinstance(part, IsolationValve)
                and part.type == "stop_and_waste"
                and positions.get(part.id) == "closed"
            ],
            (
                "The waste port of these valves is not counted: it may be clogged. If you "
                "have seen it run, enter a drain behind the valve."
            ),
        ),
    }
    for code, (about, text) in found.items():
        if about:
            yield Warning(code, text, tuple(about))
