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
from tests.engine.network.small_sites import (
    Record,
    link,
    pipe,
    point,
    site_of,
    site_record,
)

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


def named(points: list[Record], links: list[Record]) -> list[str]:
    supply = point("S", "supply", source="public")
    graph = build_graph(site_of(site_record([supply, *points], links)))
    states = drain_states(graph, winter_positions(graph))
    return [each.at for each in rank_next_drains(graph, find_drainage(graph, states))]


def test_a_flat_bottom_is_named_once_by_its_first_point():
    points = [point("A", z_m=1.0), point("B"), point("C"), point("D", z_m=1.0)]
    links = [pipe("P", "A", "B"), pipe("Q", "C", "B"), pipe("R", "C", "D")]
    assert named(points, links) == ["B"]


def test_behind_a_check_on_a_flat_bottom_the_side_it_opens_to_is_named():
    points = [point("A", z_m=1.0), point("B"), point("C"), point("D", z_m=1.0)]
    links = [
        pipe("P", "A", "B"),
        link("CV", "check_valve", "B", "C"),
        pipe("R", "C", "D"),
    ]
    assert named(points, links) == ["C"]


def test_a_check_that_holds_needs_a_drain_on_either_side():
    points = [point("A", z_m=1.0), point("B", z_m=0.5), point("C"), point("D", z_m=1.0)]
    links = [
        pipe("P", "A", "B", 12.0),
        link("CV", "check_valve", "B", "C", holds="0.8 m"),
        pipe("R", "C", "D", 10.0),
    ]
    # At C the level over B stays 0 + 0.8: that empties a part of P too, and all of R.
    assert named(points, links) == ["C", "B"]


def test_water_that_no_shut_valve_parts_from_its_source_gets_a_drain():
    points = [point("A", z_m=-2.0), point("B")]
    assert named(points, [pipe("P", "S", "A"), pipe("Q", "A", "B")]) == ["A"]
