"""Steady flow obeys its laws: what comes in goes out, and each branch its own loss."""

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.errors import NoConvergenceError
from maintenance.engine.network.steady_flow import (
    FEED,
    Pipework,
    Regulator,
    Steady,
    solve_for_flow,
    solve_for_head,
)

FEED_M = 30.0
PIPE, CHECK, VALVE = 0, 1, 2


def pipework(
    branches: list[tuple[int, int, float]],
    outlets: dict[int, float],
    *,
    k: float = 2e-4,
    regulators: tuple[Regulator, ...] = (),
    one_way: tuple[int, ...] = (),
) -> Pipework:
    """Return plain pipes, then an outlet q = k sqrt(head) at each level given."""
    count = 1 + max(max(start, end) for start, end, _ in branches)
    numbers = range(count, count + len(outlets))
    pipes = len(branches)
    return Pipework(
        start=np.array([*(b[0] for b in branches), *outlets]),
        end=np.array([*(b[1] for b in branches), *numbers]),
        resistance=np.array([*(b[2] for b in branches), *(k**-2 for _ in outlets)]),
        exponent=np.array([1.852] * pipes + [2.0] * len(outlets)),
        holds_m=np.zeros(pipes + len(outlets)),
        one_way=np.array([*(n in one_way for n in range(pipes)), *map(bool, numbers)]),
        fixed_m=np.array([np.nan] * count + list(outlets.values())),
        regulators=regulators,
    )


def random_pipework(seed: int) -> Pipework:
    """Draw pipes, checks and valves with rings, and outlets that may be too high."""
    rng = np.random.default_rng(seed)
    nodes = int(rng.integers(3, 15))
    ends = [(int(rng.integers(0, n)), n) for n in range(1, nodes)]
    for _ in range(int(rng.integers(0, 4))):
        first, second = rng.choice(nodes, 2, replace=False)
        ends.append((int(first), int(second)))
    kinds = rng.choice(3, len(ends), p=[0.65, 0.2, 0.15])
    outlets = rng.choice(np.arange(1, nodes), int(rng.integers(1, nodes)), False)
    exponents = np.array([1.852, 1.0, 2.0])[kinds]
    resistance = 10 ** rng.uniform(3, 8, len(ends))
    springs = rng.choice([0.0, 1.0, 3.0], len(ends))
    more = len(outlets)
    numbers = np.arange(nodes, nodes + more)
    return Pipework(
        start=np.array([*(start for start, _ in ends), *outlets]),
        end=np.array([*(end for _, end in ends), *numbers]),
        resistance=np.r_[
            np.where(kinds == CHECK, 0.1, resistance), 10 ** rng.uniform(6, 12, more)
        ],
        exponent=np.r_[exponents, np.full(more, 2.0)],
        holds_m=np.r_[np.where(kinds == CHECK, springs, 0.0), np.zeros(more)],
        one_way=np.r_[kinds != PIPE, np.full(more, True)],
        fixed_m=np.r_[np.full(nodes, np.nan), rng.uniform(-5, 35, more)],
    )


def left_over(net: Pipework, found: Steady) -> np.ndarray:
    total = np.zeros(len(net.fixed_m))
    np.add.at(total, net.start, -found.flow_m3_per_s)
    np.add.at(total, net.end, found.flow_m3_per_s)
    return total


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_every_node_passes_on_what_it_gets_and_every_branch_obeys_its_law(seed):
    net = random_pipework(seed)
    found = solve_for_head(net, FEED_M)
    free = np.isnan(net.fixed_m)
    free[FEED] = False
    assert left_over(net, found)[free] == pytest.approx(0.0, abs=1.1e-7)
    fall = found.head_m[net.start] - found.head_m[net.end] - net.holds_m
    flow = found.flow_m3_per_s
    shut = net.one_way & (fall <= 0.0)
    assert not flow[shut].any()
    lost = net.resistance * np.abs(flow) ** (net.exponent - 1.0) * flow
    assert lost[~shut] == pytest.approx(fall[~shut], rel=1e-6, abs=1e-3)
    runs = np.abs(flow) > 1e-7
    assert (found.head_m[net.start[runs]] <= FEED_M + 1e-6).all()


@given(seed=st.integers(0, 2**32 - 1), share=st.floats(0.05, 0.95))
@settings(max_examples=25, deadline=None)
def test_a_feed_that_gives_less_gives_just_that_and_presses_less(seed, share):
    net = random_pipework(seed)
    whole = solve_for_head(net, FEED_M)
    most = share * whole.drawn_m3_per_s(net)
    if most < 1e-6:
        return
    found, held_back = solve_for_flow(net, FEED_M, most)
    assert held_back
    assert found.drawn_m3_per_s(net) == pytest.approx(most, rel=1e-3)
    assert found.head_m[FEED] < FEED_M


def test_two_equal_ways_share_the_water():
    one = solve_for_head(pipework([(0, 1, 1e5)], {1: 0.0}), FEED_M)
    net = pipework([(0, 1, 1e5), (0, 1, 1e5)], {1: 0.0})
    two = solve_for_head(net, FEED_M)
    assert two.flow_m3_per_s[0] == pytest.approx(two.flow_m3_per_s[1], rel=1e-9)
    assert two.drawn_m3_per_s(net) > one.flow_m3_per_s[0]


def test_one_pipe_and_one_outlet_by_hand():
    # 0.5 L/s through k = 2e-4 takes 6.25 m; the pipe the rest of 30 m.
    resistance = (FEED_M - 6.25) / 0.0005**1.852
    net = pipework([(0, 1, resistance)], {1: 0.0})
    found = solve_for_head(net, FEED_M)
    assert found.flow_m3_per_s == pytest.approx([0.0005, 0.0005], rel=1e-6)
    assert found.head_m[1] == pytest.approx(6.25, rel=1e-6)


def test_two_regulators_in_a_row_keep_their_heads():
    branches = [(0, 1, 1e4), (1, 2, 1e4), (2, 3, 1e4), (3, 4, 1e4)]
    keep = (Regulator(1, 20.0), Regulator(3, 12.0))
    net = pipework(branches, {2: 0.0, 4: 0.0}, regulators=keep, one_way=(1, 3))
    found = solve_for_head(net, FEED_M)
    assert found.head_m[2] == pytest.approx(20.0)
    assert found.head_m[4] == pytest.approx(12.0)
    assert found.flow_m3_per_s[3] == pytest.approx(2e-4 * 12.0**0.5, rel=1e-6)
    through_first = 2e-4 * (20.0**0.5 + 12.0**0.5)
    assert found.flow_m3_per_s[1] == pytest.approx(through_first, rel=1e-6)
    assert found.drawn_m3_per_s(net) == pytest.approx(through_first, rel=1e-6)


def test_a_regulator_with_an_open_way_round_it_is_refused():
    branches = [(0, 1, 1e4), (1, 2, 0.1), (1, 2, 1e4), (2, 3, 1e4)]
    keep = (Regulator(1, 10.0),)
    net = pipework(branches, {3: 0.0}, regulators=keep, one_way=(1,))
    with pytest.raises(NoConvergenceError, match="comes round"):
        solve_for_head(net, FEED_M)
