"""Steady flow of water under pressure through pipes, valves, regulators and outlets."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from maintenance.engine.errors import NoConvergenceError

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Indices = NDArray[np.intp]

FEED: Final = 0
"""Number of the node that the water comes from."""
_SMALLEST_M3_PER_S: Final = 1e-8
"""Below this flow, a hundredth of a millilitre a second, a law is taken as straight."""
_USUAL_M3_PER_S: Final = 1e-4
_HELD: Final = 1e-12
"""Slope given to a branch that passes nothing [m3/s per m], so that heads are defined."""
_BALANCED_M3_PER_S: Final = 1e-9
_NEARLY_M3_PER_S: Final = 1e-7
"""What may be left over where a check about to open lets the steps get no closer."""
_SAME_M: Final = 1e-6
_ROUNDS: Final = 100
_HALVINGS: Final = 40


@dataclass(frozen=True, slots=True)
class Regulator:
    """A branch that keeps the head behind it at ``head_m``, or below it."""

    branch: int
    head_m: float


@dataclass(frozen=True, slots=True)
class Pipework:
    """Nodes joined by branches, each with its law of loss.

    A branch from ``start`` to ``end`` loses ``resistance`` |q|^(``exponent`` - 1) q,
    and ``holds_m`` besides; a one-way branch passes nothing back. ``fixed_m`` is the
    head of a node where it is known, as outside an outlet, and NaN elsewhere; that of
    node `FEED` is given with each question.
    """

    start: Indices
    end: Indices
    resistance: Array
    exponent: Array
    holds_m: Array
    one_way: Mask
    fixed_m: Array
    regulators: tuple[Regulator, ...] = ()


@dataclass(frozen=True, slots=True)
class Steady:
    """Head of each node [m], and flow of each branch from its start [m3/s]."""

    head_m: Array
    flow_m3_per_s: Array

    def drawn_m3_per_s(self, pipework: Pipework) -> float:
        """Return what leaves the feed.

        Parameters
        ----------
        pipework : Pipework
            What was solved. [-]

        Returns
        -------
        float
            Flow. [m3/s]
        """
        return float(_left_over(pipework, self.flow_m3_per_s)[FEED])


def solve_for_head(pipework: Pipework, feed_head_m: float) -> Steady:
    """Find heads and flows where the feed keeps its head.

    Parameters
    ----------
    pipework : Pipework
        What the water runs through; every node is joined to the feed. [-]
    feed_head_m : float
        Head at the feed [m].

    Returns
    -------
    Steady
        Heads and flows. [SI]

    Raises
    ------
    NoConvergenceError
        If the flows do not settle, or a regulator on a ring would run backwards.

    Notes
    -----
    At every free node the flows balance; the heads are found by Newton's method on the
    sum over all branches of what their flow makes of their fall, which is convex in the
    heads (M. Collins et al., Management Science 24, 1978, pp. 747-760, from memory). A
    regulator stands wide open or keeps its head; one at a time is tried the other way
    until each agrees with the heads about it. A test compares the result with EPANET.
    """
    fixed = pipework.fixed_m.copy()
    fixed[FEED] = feed_head_m
    branches = np.array([r.branch for r in pipework.regulators], dtype=np.intp)
    wanted = np.array([r.head_m for r in pipework.regulators])
    before, behind = pipework.start[branches], pipework.end[branches]
    keeps = np.zeros(len(branches), dtype=np.bool_)
    passed = np.zeros(len(branches))
    for _ in range(8 * len(branches) + 2):
        held = fixed.copy()
        held[behind[keeps]] = wanted[keeps]
        asked = _summed(pipework, before, passed * keeps)
        found = _balance(pipework, held, asked, branches[keeps])
        drawn = _left_over(pipework, found.flow_m3_per_s) + asked
        now = np.where(keeps, drawn[behind], 0.0)
        found.flow_m3_per_s[branches[keeps]] = now[keeps]
        enough = found.head_m[before] >= wanted
        too_much = enough & (found.head_m[behind] > wanted + _SAME_M)
        wrong = np.where(keeps, ~enough, too_much)
        if not wrong.any() and np.allclose(now, passed, atol=_BALANCED_M3_PER_S):
            break
        passed = now
        if wrong.any():
            turned = int(np.argmax(wrong))
            keeps[turned] ^= True
            passed[turned] = found.flow_m3_per_s[branches[turned]] * keeps[turned]
    else:
        raise NoConvergenceError("The pressure regulators of the zone do not settle.")
    if (passed < -_BALANCED_M3_PER_S).any():
        raise NoConvergenceError("Water comes round a pressure regulator from behind.")
    return found


def solve_for_flow(
    pipework: Pipework, feed_head_m: float, most_m3_per_s: float
) -> tuple[Steady, bool]:
    """Find heads and flows where the feed keeps its head as long as its flow lasts.

    Parameters
    ----------
    pipework : Pipework
        What the water runs through. [-]
    feed_head_m : float
        Head at the feed while it gives no more than it can [m].
    most_m3_per_s : float
        Most that the feed gives, above 0 [m3/s].

    Returns
    -------
    tuple of Steady and bool
        Heads and flows, and whether the feed's flow is what limits them. [SI]

    Raises
    ------
    NoConvergenceError
        If the flows do not settle.
    """
    found = solve_for_head(pipework, feed_head_m)
    if found.drawn_m3_per_s(pipework) <= most_m3_per_s:
        return found, False
    lowest = float(np.nanmin(pipework.fixed_m))

    def too_much(head_m: float) -> float:
        drawn = solve_for_head(pipework, head_m).drawn_m3_per_s(pipework)
        return drawn - most_m3_per_s

    head = float(brentq(too_much, lowest, feed_head_m, rtol=1e-10))
    return solve_for_head(pipework, head), True


def _balance(net: Pipework, held_m: Array, asked: Array, cut: Indices) -> Steady:
    """Find the heads at which every node passes on what it gets.

    ``asked`` is drawn at nodes besides; the branches in ``cut`` pass nothing here. Each
    step goes down a convex slope, and no farther than to where most of it is gone.
    """
    free = np.isnan(held_m)
    slope = _USUAL_M3_PER_S ** (1.0 - net.exponent) / net.resistance
    slope[cut] = 0.0
    head = np.where(free, 0.0, held_m)
    head[free] = _step(net, slope, -asked - _matrix(net, slope) @ head, free)
    for number in range(_ROUNDS + 1):
        flow, slope = _flows(net, head, cut)
        left = -_left_over(net, flow) - asked
        most = float(np.abs(left[free]).max(initial=0.0))
        if most <= (_BALANCED_M3_PER_S if number < _ROUNDS else _NEARLY_M3_PER_S):
            return Steady(head, flow)
        way = np.zeros_like(head)
        way[free] = _step(net, slope, left, free)
        head = head + way * _share(net, head, way, asked, cut)
    raise NoConvergenceError("The flows of the zone do not settle.")


def _flows(net: Pipework, head: Array, cut: Indices) -> tuple[Array, Array]:
    """Return the flow of each branch, and how fast it grows with the fall of head."""
    fall = head[net.start] - head[net.end] - net.holds_m
    by_law = (np.abs(fall) / net.resistance) ** (1.0 / net.exponent)
    counts = by_law > _SMALLEST_M3_PER_S
    size = np.where(counts, by_law, _SMALLEST_M3_PER_S)
    fall_per_flow = net.resistance * size ** (net.exponent - 1.0)
    slope = 1.0 / (fall_per_flow * np.where(counts, net.exponent, 1.0))
    shut = net.one_way & (fall <= 0.0)
    flow = np.where(shut, 0.0, fall / fall_per_flow)
    slope = np.where(shut, _HELD, slope)
    flow[cut], slope[cut] = 0.0, 0.0
    return flow, slope


def _share(net: Pipework, head: Array, way: Array, asked: Array, cut: Indices) -> float:
    """Return how much of a step to take: all, or so far that most of the slope is gone."""

    def steepness(share: float) -> float:
        flow, _ = _flows(net, head + share * way, cut)
        return float(way @ (_left_over(net, flow) + asked))

    first, low, high, share = abs(steepness(0.0)), 0.0, 1.0, 1.0
    for _ in range(_HALVINGS):
        here = steepness(share)
        if share == 1.0 and here <= 0.0:
            return share
        if abs(here) <= 0.1 * first:
            return share
        low, high = (low, share) if here > 0.0 else (share, high)
        share = 0.5 * (low + high)
    return share


def _left_over(net: Pipework, flow: Array) -> Array:
    """Return what leaves each node, less what comes."""
    return _summed(net, net.start, flow) - _summed(net, net.end, flow)


def _summed(net: Pipework, nodes: Indices, flow: Array) -> Array:
    summed: Array = np.bincount(nodes, flow, len(net.fixed_m)).astype(np.float64)
    return summed


def _matrix(net: Pipework, slope: Array) -> Array:
    matrix = np.zeros((len(net.fixed_m), len(net.fixed_m)))
    np.add.at(matrix, (net.start, net.start), slope)
    np.add.at(matrix, (net.end, net.end), slope)
    np.add.at(matrix, (net.start, net.end), -slope)
    np.add.at(matrix, (net.end, net.start), -slope)
    return matrix


def _step(net: Pipework, slope: Array, got: Array, free: Mask) -> Array:
    matrix = _matrix(net, slope)[np.ix_(free, free)]
    # Nodes that nothing passes to would have any head; this keeps the one they have.
    matrix[np.diag_indices_from(matrix)] *= 1.0 + _HELD
    matrix[np.diag_indices_from(matrix)] += _HELD
    try:
        return np.linalg.solve(matrix, got[free]).astype(np.float64)
    except np.linalg.LinAlgError as error:
        raise NoConvergenceError("The flows of the zone do not settle.") from error
