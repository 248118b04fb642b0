"""The best next drains against solving the whole network again at every point."""

from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.network.drain_states import DrainStates, drain_states
from maintenance.engine.network.drainage import find_drainage
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.network.next_drains import rank_next_drains
from maintenance.engine.network.openings import Opening
from maintenance.engine.network.positions import winter_positions
from tests.engine.network.random_networks import draw_network

SEEDS = st.integers(0, 2**32 - 1)


def trapped(graph: Graph, states: DrainStates, *more: Opening) -> float:
    found = find_drainage(
        graph, replace(states, openings=(*states.openings, *more))
    ).trapped_m3
    assert found is not None
    return found


@given(seed=SEEDS)
def test_each_drain_empties_what_solving_again_with_it_shows(seed: int):
    graph = build_graph(draw_network(seed, most_points=14).site)
    states = drain_states(graph, winter_positions(graph))
    before = trapped(graph, states)
    for each in rank_next_drains(graph, find_drainage(graph, states)):
        level = graph.points[each.at].elevation.value
        after = trapped(graph, states, Opening(each.at, level))
        assert each.empties_m3 == pytest.approx(before - after, abs=1e-12)


@given(seed=SEEDS)
def test_no_point_would_do_better_than_the_best_named(seed: int):
    graph = build_graph(draw_network(seed, most_points=14).site)
    states = drain_states(graph, winter_positions(graph))
    before = trapped(graph, states)
    ranked = rank_next_drains(graph, find_drainage(graph, states))
    best_named = max((each.empties_m3 or 0.0 for each in ranked), default=0.0)
    best_of_all = max(
        before - trapped(graph, states, Opening(key, p.elevation.value))
        for key, p in graph.points.items()
    )
    assert best_named == pytest.approx(best_of_all, abs=1e-12)


@given(seed=SEEDS)
def test_the_drains_are_ranked_by_what_they_let_out_and_each_helps(seed: int):
    graph = build_graph(draw_network(seed, most_points=14).site)
    states = drain_states(graph, winter_positions(graph))
    ranked = rank_next_drains(graph, find_drainage(graph, states))
    volumes = [each.empties_m3 or 0.0 for each in ranked]
    assert volumes == sorted(volumes, reverse=True)
    assert all(volume > 0.0 for volume in volumes)
    assert len({each.at for each in ranked}) == len(ranked)
