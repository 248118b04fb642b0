"""The pass over the graph against every simple path, and how levels may move."""

from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import Drainage, find_drainage
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.network.positions import (
    changed_positions,
    winter_positions,
)
from maintenance.engine.site import CheckValve, Head, Pipe, Site
from tests.engine.network.random_networks import (
    draw_network,
    levels_by_every_path,
    metres,
)

SEEDS = st.integers(0, 2**32 - 1)
GRAPHS = 300


def drained(
    site: Site, *, opens: tuple[str, ...] = (), shuts: tuple[str, ...] = ()
) -> Drainage:
    graph = build_graph(site)
    positions = changed_positions(
        graph, winter_positions(graph), opens=opens, shuts=shuts
    )
    return find_drainage(graph, drain_states(graph, positions))


def test_the_levels_of_three_hundred_networks_are_those_of_the_best_of_all_paths():
    finite = 0
    checked = 0
    opened = 0
    for seed in range(GRAPHS):
        network = draw_network(seed)
        found = drained(network.site)
        assert found.level_m == pytest.approx(
            levels_by_every_path(network), abs=1e-9
        ), f"seed {seed}"
        finite += sum(level < float("inf") for level in found.level_m.values())
        checked += any(isinstance(link, CheckValve) for link in network.links)
        opened += len(found.opened)
    # The networks are worth the trial: most points have a way out, many pass checks.
    assert finite > 2 * GRAPHS
    assert checked > GRAPHS / 3
    assert opened > GRAPHS / 10


def settable(graph: Graph) -> tuple[str, ...]:
    """Return the parts that a person may open or shut."""
    return tuple(
        key
        for key, part in {**graph.points, **graph.links}.items()
        if part.kind not in ("pipe", "junction")
    )


@given(seed=SEEDS, data=st.data())
def test_opening_any_part_never_raises_a_level(seed: int, data: st.DataObject):
    site = draw_network(seed).site
    parts = settable(build_graph(site))
    if not parts:
        return
    part = data.draw(st.sampled_from(parts))
    before, after = drained(site), drained(site, opens=(part,))
    assert all(after.level_m[p] <= before.level_m[p] for p in before.level_m)
    assert after.wet_length_m <= before.wet_length_m + 1e-9


@given(seed=SEEDS, data=st.data())
def test_shutting_any_part_never_lowers_a_level(seed: int, data: st.DataObject):
    site = draw_network(seed).site
    parts = settable(build_graph(site))
    if not parts:
        return
    part = data.draw(st.sampled_from(parts))
    before, after = drained(site), drained(site, shuts=(part,))
    assert all(after.level_m[p] >= before.level_m[p] for p in before.level_m)


@given(seed=SEEDS, more=st.floats(0.0, 5.0))
def test_more_holding_head_never_lowers_a_level(seed: int, more: float):
    site = draw_network(seed).site
    links = tuple(
        replace(link, holds=metres(link.holds.value + more))
        if isinstance(link, CheckValve) and link.holds
        else link
        for link in site.links
    )
    points = tuple(
        replace(point, check_valve=metres(point.check_valve.value + more))
        if isinstance(point, Head) and point.check_valve
        else point
        for point in site.points
    )
    before = drained(site)
    after = drained(replace(site, links=links, points=points))
    assert all(after.level_m[p] >= before.level_m[p] for p in before.level_m)


@given(seed=SEEDS)
def test_no_level_lies_under_its_point_and_no_pipe_holds_more_than_it_can(seed: int):
    site = draw_network(seed).site
    graph = build_graph(site)
    found = drained(site)
    for point, level in found.level_m.items():
        assert level >= graph.points[point].elevation.value
    for each in found.links:
        if not isinstance(graph.links[each.link], Pipe):
            assert each.wet_length_m == each.air_locked_length_m == 0.0
            continue
        bore = graph.bores[each.link]
        assert bore.volume_m3 is not None
        assert each.wet_volume_m3 is not None
        assert 0.0 <= each.wet_volume_m3 <= bore.volume_m3
        assert 0.0 <= each.wet_length_m <= bore.length_m
        whole = each.wet_length_m + each.air_locked_length_m
        assert whole <= bore.length_m + 1e-9
    total = sum(bore.volume_m3 or 0.0 for bore in graph.bores.values())
    assert found.trapped_m3 is not None
    assert 0.0 <= found.trapped_m3 <= total + 1e-12


@given(seed=SEEDS)
def test_the_order_of_the_file_does_not_change_a_level(seed: int):
    site = draw_network(seed).site
    turned = replace(site, points=site.points[::-1], links=site.links[::-1])
    before, after = drained(site), drained(turned)
    assert dict(before.level_m) == dict(after.level_m)
    assert before.trapped_m3 == pytest.approx(after.trapped_m3)


@given(seed=SEEDS)
def test_air_reaches_only_what_water_has_left(seed: int):
    found = drained(draw_network(seed).site)
    assert not any(found.is_wet(point) for point in found.aired)
