"""What can be moved, to where, and where it stands in summer and in winter."""

import json
from pathlib import Path

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.network.positions import (
    winter_positions as drainage_in_winter,
)
from maintenance.engine.procedure.elements import site_elements
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.positions import (
    changed,
    summer_positions,
    winter_positions,
)
from maintenance.engine.procedure.step import Change
from maintenance.exchange.site_file import read_site
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import garden, valve
from tests.fixtures.demo import larkmoor

SITE_A = Path(__file__).parents[3] / "fixtures" / "examples" / "site-a.json"


def graph_of(*parts, zones=("1",), **keys):
    points, links = joined(*parts, lateral("1", "J1"))
    record = site_record(
        [point("S1", "supply", source="public"), *points], links, zones
    )
    return build_graph(site_of({**record, **keys}))


def test_every_position_is_a_word_of_its_element():
    for site in (garden(), larkmoor()):
        graph = build_graph(site)
        for key, each in site_elements(graph).items():
            assert each.id == key
            for word in (*each.summer, *each.winter):
                assert word in each.words


def test_a_named_position_stands_alone():
    elements = site_elements(build_graph(larkmoor()))
    assert elements["V1"].winter == ("closed",)
    assert elements["VX"].winter == ("half_open",)
    assert elements["VX"].summer == ("closed",)
    assert elements["B1/shutoff_2"].winter == ("half_open",)


def test_larkmoor_stands_as_recorded():
    summer, winter = (
        each(build_graph(larkmoor())) for each in (summer_positions, winter_positions)
    )
    assert (summer["VX"], winter["VX"]) == ("closed", "half_open")
    assert (summer["D1"], winter["D1"]) == ("closed", "open")
    assert (summer["Q3"], winter["Q3"]) == ("key_out", "key_out")
    assert (summer["B1/test_cocks"], winter["B1/test_cocks"]) == ("closed", "half_open")
    # The pump feeds the house too.
    assert (summer["PU"], winter["PU"]) == ("on", "on")
    assert (summer["controller:K-PUMP"], winter["controller:K-PUMP"]) == ("on", "off")
    assert "D3" not in summer


def test_a_controller_may_bear_the_id_of_a_point():
    record = json.loads(SITE_A.read_text(encoding="utf-8"))
    record["controllers"] = [{"id": "M1"}]
    summer = summer_positions(build_graph(read_site(json.dumps(record))))
    assert (summer["M1"], summer["controller:M1"]) == ("closed", "on")


@pytest.mark.parametrize(
    ("device", "parts"),
    [
        ("RP", {"shutoff_1", "shutoff_2", "test_cocks"}),
        ("DC", {"shutoff_1", "shutoff_2", "test_cocks"}),
        ("PVB", {"shutoff_1", "shutoff_2", "test_cocks"}),
        ("SVB", {"shutoff_1", "shutoff_2", "test_cocks"}),
        ("AVB", set()),
        ("AG", set()),
    ],
)
def test_assemblies_have_their_shut_offs_recorded_or_not(device, parts):
    graph = graph_of(
        ([point("J1")], [link("B1", "backflow", "S1", "J1", device=device)])
    )
    found = {key for key in summer_positions(graph) if key.startswith("B1/")}
    assert found == {f"B1/{part}" for part in parts}


def test_a_pump_that_feeds_nothing_else_ends_proved_dead():
    pump = link("PU", "pump", "S1", "J1", control="hand")
    graph = graph_of(([point("J1")], [pump]))
    assert winter_positions(graph)["PU"] == "proved_dead"
    assert summer_positions(graph)["PU"] == "off"


def test_an_open_end_on_the_main_is_capped_in_summer_and_one_beyond_a_valve_is_not():
    points = [point("J1"), point("E1", "open_end"), point("E2", "open_end")]
    links = [
        pipe("P1", "S1", "J1"),
        pipe("P2", "J1", "E1"),
        valve("VD", "J1", "E2", "closed", "open"),
    ]
    summer = summer_positions(graph_of((points, links)))
    assert (summer["E1"], summer["E2"]) == ("closed", "open")


@pytest.mark.parametrize("site", [garden(), larkmoor()], ids=["garden", "larkmoor"])
def test_winter_is_the_winter_of_the_drainage(site):
    graph = build_graph(site)
    ours = drainage_positions(graph, winter_positions(graph))
    theirs = drainage_in_winter(graph)
    assert {k: v for k, v in theirs.items() if ours.get(k, v) != v} == {}


def test_a_change_of_what_is_not_there_is_refused():
    graph = build_graph(garden())
    elements, summer = site_elements(graph), summer_positions(graph)
    assert changed(elements, summer, [Change("IN", "closed")])["IN"] == "closed"
    assert summer["IN"] == "open"
    with pytest.raises(InputError, match='nothing on this site is called "X9"'):
        changed(elements, summer, [Change("X9", "closed")])
    with pytest.raises(InputError, match="write one of key_out, key_in"):
        changed(elements, summer, [Change("Q1", "open")])
