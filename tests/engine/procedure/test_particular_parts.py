"""Parts that behave in a way of their own: wastes, boosters, hydrants, relief valves."""

import pytest

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.levels import levels_left
from maintenance.engine.procedure.piping import lay_piping
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
    zone_valve,
)
from tests.engine.procedure.gardens import (
    closing,
    garden,
    opening,
    procedure,
    shutdown,
    startup,
    step,
    valve,
    without,
)

RUN = step("run", "V1", during=(("V1", "open"),), sees=("V1",))
PUMP_ON = step("switch_on", "PU", ("PU", "on"))


def site_with(points, links, zone=None):
    """Return a site with one zone at J1."""
    zone = zone or lateral("1", "J1", (0.5, 0.5, 0.5))
    return site_of(site_record(*joined((points, links), zone), ["1"]))


def checked(site, *steps, season="shutdown", **keys):
    return check_procedure(site, procedure(season, steps), **keys)


def broken(site, *steps, season="shutdown", **keys):
    found = checked(site, *steps, season=season, **keys)
    return {(rule, each.step.key) for each in found.steps for rule, _ in each.breaks}


def contents_at(found, point_id):
    return found.end.contents[found.end.standing.piping.cell_of[point_id]]


def behind_a_valve(kind):
    """A riser between a valve and an assembly, with no drain of its own."""
    points = [
        point("S1", "supply", source="public"),
        point("K1", z_m=0.5),
        point("K2", z_m=1.0),
        point("J1"),
    ]
    links = [
        valve("IN", "S1", "K1", "open", "closed", type=kind),
        pipe("PK", "K1", "K2"),
        link("B1", "backflow", "K2", "J1", device="AVB"),
    ]
    return site_with(points, links)


def test_a_shut_stop_and_waste_valve_empties_the_riser_behind_it():
    steps = (closing("IN"), RUN)
    for kind, holds in (("stop_and_waste", "part"), ("ball", "water")):
        assert contents_at(checked(behind_a_valve(kind), *steps), "K1").holds == holds


def test_turning_a_stop_and_waste_valve_is_not_opening_under_pressure():
    assert broken(behind_a_valve("stop_and_waste"), closing("IN")) == set()


def test_nobody_sees_a_waste_pass_so_that_it_relieves_and_proves_nothing():
    site = behind_a_valve("stop_and_waste")
    found = checked(site, closing("IN"), step("prove_holding", "IN"))
    assert contents_at(found, "K1").pressure == "may_stand"
    assert [each.code for each in found.warnings] == ["no_proof"]


def test_a_zone_without_recorded_heads_waters_somewhere():
    points = [point("S1", "supply", source="public"), point("J1"), point("L1")]
    links = [valve("IN", "S1", "J1", "open", "closed")]
    site = site_with(points, links, ([], [zone_valve("1", "J1", "L1")]))
    assert contents_at(checked(site, closing("IN"), RUN), "J1").pressure == "relieved"


def test_a_head_belongs_to_the_valve_of_its_own_zone():
    piping = lay_piping(build_graph(garden()))
    heads = {o.point: o.valves for o in piping.openings if o.kind == "head"}
    assert heads
    assert all(valves == (f"V{point_id[1]}",) for point_id, valves in heads.items())


def boosted(**keys):
    """Town water and a well that meet before a booster."""
    points = [
        point("S1", "supply", source="public"),
        point("WELL", "supply", source="well"),
        point("K1"),
        point("J1"),
    ]
    links = [
        valve("IN", "S1", "K1", "open", "closed"),
        valve("VW", "WELL", "K1", "closed", "closed"),
        link("PU", "pump", "K1", "J1", **keys),
    ]
    return site_with(points, links)


@pytest.mark.parametrize("control", ["hand", "pressure_switch"])
def test_bad_water_goes_on_through_a_booster_running_or_pushed_through(control):
    site = boosted(control=control)
    assert contents_at(checked(site), "J1").history == "potable"
    mixed = checked(site, opening("VW"), closing("VW"))
    assert contents_at(mixed, "J1").history == "not_potable"


def test_the_water_of_a_pump_run_by_hand_stands_in_the_pipes_in_summer():
    points = [point("WELL", "supply", source="well"), point("J1")]
    site = site_with(points, [link("PU", "pump", "WELL", "J1", control="hand")])
    piping = lay_piping(build_graph(site))
    contents = begin(piping, "shutdown").contents[piping.cell_of["J1"]]
    assert (contents.holds, contents.pressure) == ("water", "may_stand")


def test_a_relief_valve_is_a_way_for_a_pump():
    def site(kind):
        points = [
            point("WELL", "supply", source="well"),
            point("J1"),
            point("R1"),
        ]
        links = [
            link("PU", "pump", "WELL", "J1", control="hand"),
            link("X1", kind, "J1", "R1"),
        ]
        return site_with(points, links)

    assert broken(site("meter"), PUMP_ON) == {("I8", "switch_on PU")}
    assert broken(site("relief_valve"), PUMP_ON) == set()


def test_air_does_not_press_on_a_pump():
    points = [
        point("WELL", "supply", source="well"),
        point("J0"),
        point("J1", "blowout_port"),
    ]
    pump = link("PU", "pump", "WELL", "J0", control="start_relay")
    steps = (
        step("switch_off", "PU", ("PU", "proved_dead")),
        RUN,
        step("connect", "J1", ("J1", "hose_connected")),
        opening("V1"),
        step("switch_on", "air", ("compressor", "on")),
    )
    bare = site_with(points, [pump, pipe("P1", "J0", "J1")])
    assert broken(bare, *steps) == {("I6", "switch_on air")}
    guarded = site_with(points, [pump, link("C1", "check_valve", "J0", "J1")])
    assert broken(guarded, *steps) == set()


def test_a_hydrant_is_made_to_be_opened_under_pressure():
    points = [
        point("S1", "supply", source="public"),
        point("J1"),
        point("Y1", "hydrant", 0.5),
        point("D1", "drain", -0.5, drain="manual"),
    ]
    links = [
        valve("IN", "S1", "J1", "open", "closed"),
        pipe("PY", "J1", "Y1"),
        pipe("PD", "J1", "D1"),
    ]
    site = site_with(points, links)
    assert broken(site, opening("Y1")) == set()
    assert broken(site, opening("D1")) == {("I4", "open D1")}


def test_an_end_below_the_air_outlet_is_capped_before_water_is_let_in():
    points = [
        point("S1", "supply", source="public"),
        point("J1"),
        point("E1", "end", -0.5),
        point("Q1", "quick_coupler", 0.5),
    ]
    links = [
        valve("IN", "S1", "J1", "open", "closed"),
        pipe("PE", "J1", "E1"),
        pipe("PQ", "J1", "Q1"),
    ]
    site = site_with(points, links)
    air_out = step("open", "Q1", ("Q1", "key_in"), sees=("Q1",))
    start = (opening("E1", act="relieve"), air_out)
    let_in = ("I5", "open IN")
    assert let_in in broken(site, *start, opening("IN"), season="startup")
    capped = (*start, closing("E1"), opening("IN"))
    assert let_in not in broken(site, *capped, season="startup")


def test_a_well_behind_a_vacuum_breaker_is_not_its_own_supply():
    site = garden(device="PVB")
    assert ("I3", "open VW") in broken(site, closing("IN"), opening("VW"))
    assert ("I3", "open IN") not in broken(site, *startup(), season="startup")


def test_a_level_zone_is_left_full_unless_it_is_blown():
    site = garden(falls_m=(0.0, 0.0, 0.0))
    levels = levels_left(build_graph(site))
    told = {
        c.rule.key: c.text for c in checked(site, *shutdown(), levels=levels).broken
    }
    assert told == {}
    steps = without(without(shutdown(), "blow V2"), "air on V2")
    told = {c.rule.key: c.text for c in checked(site, *steps, levels=levels).broken}
    assert set(told) == {"I9"}
    assert "H2.1" in told["I9"]
