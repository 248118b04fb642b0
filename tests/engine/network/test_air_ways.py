"""The ways of the air: rings broken, the nearest way, what passes and what does not."""

import pytest

from maintenance.engine.blowout.rows import build_rows
from maintenance.engine.network.air_ways import bar_rings, find_ways
from maintenance.engine.network.graph import Graph, build_graph, valves_shut_for_air
from tests.engine.network.small_sites import (
    Record,
    head,
    joined,
    lateral,
    link,
    main_line,
    one_zone,
    pipe,
    point,
    site_of,
    site_record,
    zone_valve,
)


def graph_of(record: Record) -> Graph:
    return build_graph(site_of(record))


def ring(*, valve: bool) -> Record:
    """Return a main that goes round: J1 to J2 directly, and back over J3."""
    points, links = joined(main_line(2), lateral("1", "J2"))
    points.append(point("J3"))
    links.append(pipe("R1", "J1", "J3", 30.0))
    if valve:
        points.append(point("J4"))
        links.append(
            link("IV", "isolation_valve", "J3", "J4", type="ball", summer="open")
        )
        links.append(pipe("R2", "J4", "J2", 25.0))
    else:
        links.append(pipe("R2", "J3", "J2", 25.0))
    return site_record(points, links, ["1"])


def test_a_ring_is_broken_at_its_valve_and_the_warning_names_it() -> None:
    barred = bar_rings(graph_of(ring(valve=True)))
    assert barred.valves == {"IV"}
    assert not barred.pipes
    assert [w.code for w in barred.warnings] == ["ring"]
    assert "shut IV" in barred.warnings[0].text
    assert set(barred.warnings[0].about) >= {"IV", "R1", "R2", "M2"}


def test_a_ring_without_a_valve_leaves_out_the_pipe_that_starts_farthest() -> None:
    graph = graph_of(ring(valve=False))
    barred = bar_rings(graph)
    assert barred.valves == frozenset()
    assert len(barred.pipes) == 1
    assert barred.pipes <= {"R1", "R2", "M2"}
    assert [w.code for w in barred.warnings] == ["ring_without_valve"]
    ways = find_ways(graph, "AIR", barred)
    assert set(ways.distance_m) >= {"J1", "J2", "J3"}, "all points are still reached"


def test_two_rings_are_both_broken() -> None:
    record = ring(valve=True)
    record["points"] += [point("J5")]
    record["links"] += [pipe("R3", "J1", "J5", 5.0), pipe("R4", "J5", "J2", 5.0)]
    barred = bar_rings(graph_of(record))
    assert len(barred.warnings) == 2
    assert len(barred.valves | barred.pipes) == 2
    assert "IV" in barred.valves


def test_parallel_pipes_are_a_ring() -> None:
    points, links = main_line(2)
    links.append(pipe("TWIN", "J1", "J2", 14.0))
    barred = bar_rings(graph_of(site_record(points, links)))
    assert [w.code for w in barred.warnings] == ["ring_without_valve"]
    assert barred.pipes <= {"M2", "TWIN"}
    assert len(barred.pipes) == 1


def test_a_tree_has_nothing_barred() -> None:
    barred = bar_rings(graph_of(one_zone()))
    assert not barred.valves
    assert not barred.pipes
    assert not barred.warnings


def test_the_path_runs_from_the_port_in_the_direction_of_the_air() -> None:
    graph = graph_of(one_zone())
    ways = find_ways(graph, "AIR", bar_rings(graph), open_valve="V1")
    assert ways.path("H1.2") == (
        ("M1", "AIR", "J1"),
        ("V1", "J1", "L1"),
        ("P1.1", "L1", "H1.1"),
        ("P1.2", "H1.1", "H1.2"),
    )
    assert ways.distance_m["H1.2"] == pytest.approx(12.0 + 8.0 + 8.0)
    assert ways.path("AIR") == ()


def test_only_the_open_zone_valve_passes_air_and_only_forward() -> None:
    points, links = joined(main_line(2), lateral("1", "J1"), lateral("2", "J2"))
    graph = graph_of(site_record(points, links, ["1", "2"]))
    barred = bar_rings(graph)
    shut = find_ways(graph, "AIR", barred)
    assert not {"L1", "L2"} & set(shut.distance_m)
    first = find_ways(graph, "AIR", barred, open_valve="V1")
    assert "H1.3" in first.distance_m
    assert "L2" not in first.distance_m


@pytest.mark.parametrize(("forward", "reached"), [(True, True), (False, False)])
def test_a_check_valve_passes_air_one_way(forward: bool, reached: bool) -> None:
    points, links = main_line(1)
    points += [point("K1"), point("E1", "open_end")]
    ends = ("J1", "K1") if forward else ("K1", "J1")
    links += [link("C1", "check_valve", *ends), pipe("M2", "K1", "E1", 9.0)]
    graph = graph_of(site_record(points, links))
    ways = find_ways(graph, "AIR", bar_rings(graph))
    assert ("E1" in ways.distance_m) is reached


def test_no_air_goes_back_through_the_backflow_assembly() -> None:
    graph = graph_of(one_zone())
    assert "SUP" not in find_ways(graph, "AIR", bar_rings(graph)).distance_m


def test_a_valve_that_summer_keeps_closed_is_shut_for_air() -> None:
    points, links = main_line(1)
    points += [point("K1"), point("E1", "open_end")]
    links += [
        link("IV", "isolation_valve", "J1", "K1", type="ball", summer="closed"),
        pipe("M2", "K1", "E1", 9.0),
    ]
    graph = graph_of(site_record(points, links))
    assert valves_shut_for_air(graph) == {"IV"}
    assert "E1" not in find_ways(graph, "AIR", bar_rings(graph)).distance_m


@pytest.mark.parametrize(
    ("where", "shut"), [("before_the_port", True), ("after_the_port", False)]
)
def test_a_winter_valve_is_shut_for_air_only_towards_a_source(
    where: str, shut: bool
) -> None:
    valve = {"type": "ball", "summer": "open", "winter": "closed"}
    points, links = main_line(1)
    points += [point("K1"), point("E1", "open_end")]
    if where == "before_the_port":
        points.append(point("S0"))
        links[0]["from"] = "S0"
        links.append(link("IV", "isolation_valve", "SUP", "S0", **valve))
        links.append(pipe("M0", "J1", "K1", 4.0))
    else:
        links.append(link("IV", "isolation_valve", "J1", "K1", **valve))
    links.append(pipe("M2", "K1", "E1", 9.0))
    graph = graph_of(site_record(points, links))
    assert (valves_shut_for_air(graph) == {"IV"}) is shut
    assert "E1" in find_ways(graph, "AIR", bar_rings(graph)).distance_m


def two_ports(**near: object) -> Record:
    """Return a main with a port at each end; zone 1 near the first, 2 near the other."""
    points, links = joined(
        main_line(3), lateral("1", "J1"), lateral("2", "J3"), ([], [])
    )
    points.append(point("AIR2", "blowout_port", 0.0))
    links.append(pipe("M9", "J3", "AIR2", 3.0, **near))
    return site_record(points, links, ["1", "2"])


def test_each_zone_is_blown_from_its_nearest_port() -> None:
    rows, _ = build_rows(graph_of(two_ports()))
    ports = {row.key: row.port for row in rows}
    assert ports == {"1": "AIR", "2": "AIR2"}


def test_a_farther_port_is_taken_where_plastic_lies_above_ground_to_the_nearer() -> (
    None
):
    rows, _ = build_rows(graph_of(two_ports(placement="above_ground")))
    assert {row.key: row.port for row in rows} == {"1": "AIR", "2": "AIR"}


def test_two_ports_give_a_main_row_each_where_each_has_an_end_opening() -> None:
    points, links = joined(main_line(1), lateral("1", "J1"))
    points += [
        point("D1", "drain", -0.5, drain="manual"),
        point("AIR2", "blowout_port"),
        point("K1"),
        point("D2", "drain", -0.5, drain="manual"),
        point("L2"),
        head("H2.1"),
    ]
    links += [
        pipe("MD1", "J1", "D1", 5.0),
        pipe("N1", "AIR2", "K1", 9.0),
        pipe("ND", "K1", "D2", 5.0),
        zone_valve("2", "K1", "L2"),
        pipe("P2.1", "L2", "H2.1", 8.0),
        {"id": "B2", "kind": "backflow", "from": "SUP", "to": "AIR2", "device": "PVB"},
    ]
    rows, _ = build_rows(graph_of(site_record(points, links, ["1", "2"])))
    ports = {row.key: row.port for row in rows}
    assert ports == {"main:D1": "AIR", "main:D2": "AIR2", "1": "AIR", "2": "AIR2"}


def test_an_unknown_pipe_takes_the_largest_bore_of_its_class_and_says_so() -> None:
    known = graph_of(one_zone()).bores["P1.1"]
    unknown = graph_of(one_zone(pipe="unknown plastic")).bores["P1.1"]
    assert known.inside_diameter_m is not None
    assert unknown.inside_diameter_m is not None
    assert unknown.inside_diameter_m >= known.inside_diameter_m
    assert any("unknown plastic" in text for text in unknown.assumed)


def test_a_missing_size_gives_no_bore_and_no_volume() -> None:
    bore = graph_of(one_zone(pipe="unknown plastic", size=None)).bores["P1.1"]
    assert bore.inside_diameter_m is None
    assert bore.volume_m3 is None
    assert any("size not recorded" in text for text in bore.assumed)
