"""Drinking water, weeping valves and houses: the particular cases of their rules."""

from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.hazard import classify
from maintenance.engine.procedure.levels import levels_left
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import (
    closing,
    garden,
    opening,
    procedure,
    put_before,
    shutdown,
    step,
    swapped,
    valve,
    without,
)


def told(steps, site=None, season="shutdown", **keys):
    """Return rule -> (step, text) of what a list breaks."""
    checked = check_procedure(site or garden(), procedure(season, steps), **keys)
    return {each.rule.key: (each.at_step, each.text) for each in checked.broken}


def grades(site, **moved):
    piping = lay_piping(build_graph(site))
    positions = {**summer_positions(piping.graph), **moved}
    return {(h.what, h.to): h.grade for h in classify(piping, positions)}


def test_removing_the_assembly_parts_the_water_for_good():
    assert grades(garden(device="DC"))["WELL", "TOWN"] == "potential"
    assert grades(garden(device="DC"), B1="removed")["WELL", "TOWN"] == "protected"


def test_a_house_on_a_well_is_exposed_to_the_irrigation_behind_a_check():
    found = grades(garden(), VW="open")
    assert found["irrigation", "BARN"] == "exposed"
    assert found["irrigation", "HOUSE"] == "protected"
    # Shut, the valve is all there is.
    assert grades(garden())["irrigation", "BARN"] == "potential"


def test_a_booster_behind_a_vacuum_breaker_defeats_it():
    assert pvb_grade(booster=False) == "protected"
    assert pvb_grade(booster=True) == "exposed"


def test_a_tank_that_stands_higher_defeats_a_vacuum_breaker():
    assert pvb_grade(booster=False, tank=True) == "exposed"


def test_a_vacuum_breaker_that_stands_too_low_is_defeated_by_the_pipes_behind_it():
    assert pvb_grade(booster=False, height_m=0.1) == "exposed"


def pvb_grade(*, booster, tank=False, height_m=1.0):
    points = [
        point("S1", "supply", -2.0, source="public"),
        point("K1", z_m=height_m),
        point("K2", z_m=height_m),
        point("J1", z_m=-0.3),
    ]
    links = [
        pipe("P1", "S1", "K1"),
        link("B1", "backflow", "K1", "K2", device="PVB"),
        link("PU", "pump", "K2", "J1") if booster else pipe("P2", "K2", "J1"),
    ]
    if tank:
        points.append(point("T1", "supply", -0.5, source="tank"))
        links.append(pipe("PT", "T1", "J1"))
    zone = lateral("1", "J1", z_m=-0.3)
    site = site_of(site_record(*joined((points, links), zone), ["1"]))
    return grades(site)["irrigation", "S1"]


VALVES = ("STOP", "IN", "SPUR", "VW", "B1/shutoff_1", "B1/shutoff_2")
WORST_LAST = ("protected", "potential", "exposed", "actual")
states = st.fixed_dictionaries(
    {v: st.sampled_from(["open", "half_open", "closed"]) for v in VALVES}
)


@settings(max_examples=40, deadline=None)
@given(states, st.sampled_from(["RP", "DC", "PVB"]))
def test_no_valve_makes_a_way_that_was_not_there_into_a_barrier(moved, device):
    # Protected is a matter of assemblies: shutting valves never earns it.
    site = garden(device=device)
    sources = {key for key in grades(site) if key[0] != "irrigation"}
    usual = grades(site)
    now = grades(site, **moved)
    for key in sources:
        assert (now[key] == "protected") == (usual[key] == "protected")


@settings(max_examples=40, deadline=None)
@given(states, st.sampled_from(VALVES), st.sampled_from(["RP", "DC", "PVB"]))
def test_opening_a_valve_never_makes_a_class_better(moved, valve_, device):
    site = garden(device=device)
    before, after = grades(site, **moved), grades(site, **{**moved, valve_: "open"})
    for key in before:
        assert WORST_LAST.index(after[key]) >= WORST_LAST.index(before[key])


def test_two_sources_never_stand_open_to_the_section_of_a_house():
    text = told((opening("VW"),), season="frost_night")["I2"][1]
    assert "WELL" in text
    assert "TOWN" in text


def test_where_it_is_prohibited_an_rp_does_not_part_two_sources():
    site = garden(cross_connection_rule="prohibited")
    checked = check_procedure(site, procedure("shutdown", shutdown()))
    rule = next(each for each in checked.checks if each.rule.key == "I1")
    assert (rule.holds, rule.at_step) == (False, 0)
    assert "may not be piped" in rule.text


@pytest.mark.parametrize("rule", ["rp_or_airgap", "case_by_case", None])
def test_elsewhere_an_rp_parts_them(rule):
    site = garden(cross_connection_rule=rule) if rule else without_rule()
    assert told(shutdown(), site) == {}


def without_rule():
    return replace(garden(), cross_connection_rule=None)


def test_a_weeping_source_valve_may_be_drained_to_daylight_instead():
    # IN weeps and is never proved; D0 stays open behind it.
    steps = without(shutdown(), "prove_holding IN")
    assert told(steps) == {}


def test_a_drain_that_nobody_saw_run_is_no_way_to_daylight():
    steps = swapped(
        without(shutdown(), "prove_holding IN"),
        "open D0",
        step("open", "D0", ("D0", "open")),
    )
    steps = put_before(steps, "open B1/test_cocks", "disconnect AIR")
    assert "I11" in told(steps)


def test_what_is_left_for_winter_needs_the_proof_too():
    steps = tuple(
        each
        for each in shutdown()
        if each.row is None
        and "air" not in each.key
        and each.key not in ("leave D1", "prove_holding VW", "disconnect AIR")
        and "B1" not in each.key
    )
    found = told(without(steps, "prove_holding IN"))
    assert "I11" in found
    assert "left for winter" in found["I11"][1]


def test_a_pump_at_rest_must_be_proved_dead_before_air_goes_in():
    points = [
        point("WELL", "supply", -5.0, source="well"),
        point("AIR", "blowout_port"),
        point("J1"),
    ]
    links = [
        link("PU", "pump", "WELL", "J1", control="start_relay"),
        link("C1", "check_valve", "J1", "AIR"),
    ]
    site = site_of(site_record(*joined((points, links), lateral("1", "AIR")), ["1"]))

    def steps(pump):
        return (
            step("switch_off", "PU", ("PU", pump)),
            step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
            step("connect", "AIR", ("AIR", "hose_connected")),
            opening("V1"),
            step("switch_on", "air", ("compressor", "on")),
        )

    assert "PU" in told(steps("off"), site)["I11"][1]
    assert "I11" not in told(steps("proved_dead"), site)


def test_a_source_that_its_keeper_shuts_is_watched_like_a_valve():
    points = [
        point("CANAL", "supply", source="surface", static_pressure="20 psi"),
        point("J1"),
        point("D1", "drain", -1.0, drain="manual"),
    ]
    links = [pipe("P1", "CANAL", "J1"), pipe("P2", "J1", "D1")]
    site = site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))
    off = step("close", "CANAL", ("CANAL", "off"))
    shut = (off, opening("D1", act="relieve"), closing("D1"))
    assert "CANAL" in told(shut, site)["I11"][1]
    watched = (off, opening("D1", act="relieve"), step("prove_holding", "CANAL"))
    assert told((*watched, closing("D1")), site) == {}


def test_a_drain_on_the_line_of_a_house_is_not_opened():
    found = told((closing("STOP"), opening("D0", act="relieve")), agreed=[])
    assert "I12" in found
    beyond = (closing("IN"), opening("D0", act="relieve"))
    assert "I12" not in told(beyond)


def test_air_is_kept_from_a_house_only_by_valves_that_were_proved():
    steps = without(shutdown(), "prove_holding VW")
    found = told(steps)
    assert "BARN" in found["I12"][1]
    # To go without water is not to agree to air.
    assert "I12" in told(steps, agreed=["HOUSE", "BARN"])


def drained_at(height_m):
    """Return a main at 0 m with one drain, and a list that opens it."""
    points = [
        point("S1", "supply", source="public"),
        point("J1"),
        point("J2"),
        point("D1", "drain", height_m, drain="manual"),
    ]
    links = [
        valve("IN", "S1", "J1", "open", "closed"),
        pipe("PM", "J1", "J2"),
        pipe("PD", "J2", "D1"),
    ]
    zone = lateral("1", "J2", (0.5, 0.5, 0.5))
    site = site_of(site_record(*joined((points, links), zone), ["1"]))
    run = step("run", "V1", during=(("V1", "open"),), sees=("V1",))
    return site, (closing("IN"), run, opening("D1"), step("prove_holding", "IN"))


@pytest.mark.parametrize("height_m", [-1.0, 3.0])
def test_without_the_levels_an_opening_is_an_opening(height_m):
    site, steps = drained_at(height_m)
    assert "I9" not in told(steps, site)


@pytest.mark.parametrize(("height_m", "empties"), [(-1.0, True), (3.0, False)])
def test_with_the_levels_an_opening_too_high_is_told(height_m, empties):
    site, steps = drained_at(height_m)
    found = told(steps, site, levels=levels_left(build_graph(site)))
    assert ("I9" not in found) is empties
    assert empties or "too high" in found["I9"][1]
