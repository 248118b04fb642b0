"""The verdict on a row: cannot, too much, enough, enough with rests, not enough."""

from collections.abc import Set
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.blowout.cells import Array, Cells
from maintenance.engine.blowout.passes import PassState
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sweep import LEVEL_SINE, sweep_factors
from maintenance.engine.network.graph import Graph
from maintenance.engine.site import BlowoutPort, Drain, Pipe

MOST_PASSES = 3
LONGEST_REST_S = 600.0
HALF_FULL = 0.5
"""A place that keeps more of its bore than this after settling is not clear."""
CANDIDATES = 9
LEAST_AIR, MOST_AIR = 0.0005, 0.6
"""Span in which the least air is looked for, about 0.9 to 1,000 cfm. [kg/s]"""


@dataclass(frozen=True, slots=True)
class Needs:
    """What decides: the rises that must be swept, and the places that count."""

    rises: npt.NDArray[np.bool_]
    places: npt.NDArray[np.bool_]
    ratio: Array


def what_counts(
    row: Row, cells: Cells, rt: float, drained: Set[str], swept_before: Set[str]
) -> Needs:
    """Find the rises that gravity does not drain, and the pools that stay.

    Parameters
    ----------
    row : Row
        The row. [-]
    cells : Cells
        Its places. [-]
    rt : float
        Gas constant times temperature. [J/kg]
    drained : set of str
        Points from `drained_points`. [-]
    swept_before : set of str
        Pipes whose rise an earlier row has swept; they need not be swept again. [-]

    Returns
    -------
    Needs
        Masks over segments and over places. [-]
    """
    drained_pools = {
        number
        for number, cell in enumerate(cells.pools.start)
        if row.segments[cells.segment[cell]].low_end in drained
    }
    places = np.array([pool not in drained_pools for pool in cells.pools.of])
    first_cell = {int(seg): i for i, seg in reversed(list(enumerate(cells.segment)))}
    rises = np.array(
        [
            s.sin_slope > LEVEL_SINE
            and s.link not in swept_before
            and bool(places[first_cell[j]])
            for j, s in enumerate(row.segments)
        ]
    )
    return Needs(rises, places, sweep_factors(row, rt)[1])


def drained_points(graph: Graph) -> frozenset[str]:
    """Return the points from which water runs down to a drain or a port by itself.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    frozenset of str
        Ids. A port is open once the hose is off; its elevation is the outlet's own.
        [-]
    """
    drained = {
        p.id for p in graph.points.values() if isinstance(p, (BlowoutPort, Drain))
    }
    queue = list(drained)
    while queue:
        point = queue.pop()
        level = graph.points[point].elevation.value
        for link_id in graph.joined[point]:
            link = graph.links[link_id]
            other = graph.other_end(link, point)
            if other in drained or not (
                isinstance(link, Pipe) or link.kind == "fitting"
            ):
                continue
            if graph.points[other].elevation.value >= level:
                drained.add(other)
                queue.append(other)
    return frozenset(drained)


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


def all_clear(needs: Needs, state: PassState) -> bool:
    """Tell whether every lane is clear now, so that no further pass decides anything.

    Parameters
    ----------
    needs : Needs
        What decides. [-]
    state : PassState
        The passes run so far. [-]

    Returns
    -------
    bool
        True where all rises are swept and no place keeps half its bore. [-]
    """
    reached = state.kept_after[-1] * needs.ratio >= 1.0
    fullest = state.fullest[-1][:, needs.places]
    return bool(reached[:, needs.rises].all() and (fullest <= HALF_FULL).all())


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


def best_margin(needs: Needs, state: PassState, lane: int) -> float:
    """Return how far a lane is over (1 or more) or under what is enough, at its best.

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
    float
        The least of the sweep ratios and of half a bore over the fullest place, after
        the best of at most `MOST_PASSES` passes. [-]
    """
    return max(
        _margin(needs, kept[lane], full[lane])
        for kept, full in zip(
            state.kept_after[:MOST_PASSES], state.fullest[:MOST_PASSES], strict=True
        )
    )


def _margin(needs: Needs, kept: Array, full: Array) -> float:
    reached = (kept * needs.ratio)[needs.rises]
    fullest = full[needs.places]
    margins = [float(reached.min())] if reached.size else []
    if fullest.size:
        margins.append(HALF_FULL / max(float(fullest.max()), 1e-9))
    return min(margins, default=1.0)
