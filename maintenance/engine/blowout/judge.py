"""The verdict on a row: cannot, too much, enough, enough with rests, not enough."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.blowout.cells import Array, Cells
from maintenance.engine.blowout.passes import PassState
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sweep import LEVEL_SINE, sweep_factors
from maintenance.engine.network.graph import Graph
from maintenance.engine.site import Drain, InlineDevice

MOST_PASSES = 3
LONGEST_REST_S = 600.0
HALF_FULL = 0.5
"""A place that keeps more of its bore than this after settling is not clear."""
CANDIDATES = 12
LEAST_AIR, MOST_AIR = 0.0005, 0.6
"""Span in which the least air is looked for, about 0.9 to 1,000 cfm. [kg/s]"""


@dataclass(frozen=True, slots=True)
class Needs:
    """What decides: the rises that must be swept, and the places that count."""

    rises: npt.NDArray[np.bool_]
    places: npt.NDArray[np.bool_]
    ratio: Array


def what_counts(graph: Graph, row: Row, cells: Cells, rt: float) -> Needs:
    """Find the rises that gravity does not drain, and the pools that stay.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    row : Row
        The row. [-]
    cells : Cells
        Its places. [-]
    rt : float
        Gas constant times temperature. [J/kg]

    Returns
    -------
    Needs
        Masks over segments and over places. [-]
    """
    drained_points = _drained_points(graph)
    ends = [(s.start, s.end) for s in row.segments]
    drained_pools = set()
    for number, cell in enumerate(cells.start_of_pool):
        lowest = min(
            ends[cells.segment[cell]],
            key=lambda p: graph.points[p].elevation.value,
        )
        if lowest in drained_points:
            drained_pools.add(number)
    places = np.array([pool not in drained_pools for pool in cells.pool])
    first_cell = {int(seg): i for i, seg in reversed(list(enumerate(cells.segment)))}
    rises = np.array(
        [
            s.sin_slope > LEVEL_SINE and bool(places[first_cell[j]])
            for j, s in enumerate(row.segments)
        ]
    )
    return Needs(rises, places, sweep_factors(row, rt)[1])


def _drained_points(graph: Graph) -> set[str]:
    drains = {p.id for p in graph.points.values() if isinstance(p, Drain)}
    beside = set(drains)
    for link in graph.links.values():
        if isinstance(link, InlineDevice) and link.kind == "fitting":
            if link.from_ in drains:
                beside.add(link.to)
            if link.to in drains:
                beside.add(link.from_)
    return beside


def clear_after(needs: Needs, state: PassState, lane: int) -> int | None:
    """Return the fewest passes after which a lane is clear, or None.

    Parameters
    ----------
    needs : Needs
        What decides. [-]
    state : PassState
        The passes run. [-]
    lane : int
        Lane. [-]

    Returns
    -------
    int or None
        Number of passes, at most `MOST_PASSES`. [-]
    """
    for number, (kept, full) in enumerate(
        zip(state.kept_after, state.fullest, strict=True), start=1
    ):
        if number > MOST_PASSES:
            return None
        reached = kept[lane] * needs.ratio >= 1.0
        fullest = full[lane][needs.places]
        if reached[needs.rises].all() and (fullest <= HALF_FULL).all():
            return number
    return None


def candidates(low: float, high: float, count: int) -> Array:
    """Return free-air deliveries to try, evenly spaced in their logarithm.

    Parameters
    ----------
    low, high : float
        Ends, included. [kg/s]
    count : int
        How many. [-]

    Returns
    -------
    array
        Deliveries. [kg/s]
    """
    return np.asarray(np.geomspace(low, high, count))


def margin_after(needs: Needs, state: PassState, lane: int, number: int) -> float:
    """Return how far a lane is over (1 or more) or under what is enough.

    Parameters
    ----------
    needs : Needs
        What decides. [-]
    state : PassState
        The passes run. [-]
    lane : int
        Lane. [-]
    number : int
        After how many passes. [-]

    Returns
    -------
    float
        The least of the sweep ratios and of half a bore over the fullest place. [-]
    """
    reached = (state.kept_after[number - 1][lane] * needs.ratio)[needs.rises]
    fullest = state.fullest[number - 1][lane][needs.places]
    margins = [float(reached.min())] if reached.size else []
    if fullest.size:
        margins.append(HALF_FULL / max(float(fullest.max()), 1e-9))
    return min(margins, default=1.0)
