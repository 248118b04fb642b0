"""Opening, filling, pumping and blowing: the particular cases of their rules."""

from dataclasses import replace

import pytest

from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.site import IsolationValve, Pipe, Pump
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
    HALF,
    closing,
    garden,
    opening,
    procedure,
    put_before,
    shutdown,
    startup,
    step,
    swapped,
    valve,
    without,
)
from tests.engine.procedure.rule_cases import pumped

AIR_ON = step("switch_on", "air", ("compressor", "on"))
AIR_OFF = step("switch_off", "air", ("compressor", "off"))
QUIET = (
    closing("IN"),
    step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
    closing("B1/shutoff_2"),
)


def broken(steps, site=None, season="shutdown"):
    """Return (rule, key of the step) for whatever a step breaks, but not the end."""
    checked = check_procedure(site or garden(), procedure(season, steps))
    return {(rule, each.step.key) for each in checked.steps for rule, _ in each.breaks}


def test_only_a_valve_made_for_it_is_opened_to_let_pressure_off():
    shut_in = (closing("IN"),)
    assert broken((*shut_in, opening("D1", act="relieve"))) == set()
    assert broken((*shut_in, opening("D1"))) == {("I4", "open D1")}
    key = step("relieve", "Q1", ("Q1", "key_in"), sees=("Q1",))
    assert broken((*shut_in, key)) == {("I4", "relieve Q1")}
    # And never against a source.
    assert broken((opening("D1", act="relieve"),)) == {("I4", "relieve D1")}


def test_a_coupler_key_moves_only_at_zero_pressure_in_and_out():
    key_in = step("open", "Q1", ("Q1", "key_in"), sees=("Q1",))
    key_out = step("close", "Q1", ("Q1", "key_out"))
    hose = step("connect", "AIR", ("AIR", "hose_connected"))
    watched = (opening("D1"), step("prove_holding", "VW"), closing("D1"))
    start = (*QUIET, *watched, hose)
    assert (
        broken((*start, key_in, AIR_ON, AIR_OFF, key_out)) - {("I11", "switch_on air")}
        == set()
    )
    with_air = (*start, key_in, AIR_ON, key_out)
    assert ("I4", "close Q1") in broken(with_air)


def test_a_hose_comes_off_only_at_zero_pressure():
    steps = put_before(shutdown(), "disconnect AIR", "air off V1")
    assert ("I4", "disconnect AIR") in broken(steps)


def test_a_zone_is_turned_by_hand_only_with_the_air_off():
    by_hand = garden(valve_opens_by="hand")
    assert broken(shutdown(), by_hand) == set()
    steps = put_before(shutdown(), "open V2", "air off V1")
    assert broken(steps, by_hand) == {("I4", "open V2")}
    assert broken(steps, garden(valve_opens_by="controller")) == set()


def test_the_first_cock_of_a_double_check_stands_before_its_shut_off():
    # Its own first shut-off is the only one: the first cock would spray.
    only_own = (closing("B1/shutoff_1"), closing("B1/shutoff_2"))
    site = garden(device="DC", well=False)
    every = opening("B1/test_cocks", act="relieve")
    assert ("I4", "relieve B1/test_cocks") in broken((*only_own, every), site)
    but_first = opening("B1/test_cocks", "open_but_first", act="relieve")
    assert broken((*only_own, but_first), site) == set()


def test_an_assembly_is_tested_through_its_cocks_under_pressure():
    cocks = (("B1/test_cocks", "open"),)
    assert broken((step("test", "B1", during=cocks),)) == set()
    assert ("I4", "check B1") in broken((step("check", "B1", during=cocks),))


def test_an_assembly_is_taken_out_only_without_pressure():
    out = step("remove", "B1", ("B1", "removed"), sees=("B1",))
    assert ("I4", "remove B1") in broken((out,))
    drained = (*QUIET[:2], opening("D0"), out)
    assert broken(drained) == set()


def test_a_section_that_still_holds_its_water_needs_no_way_out_for_air():
    assert broken((closing("IN"), opening("IN")), season="frost_undo") == set()


def test_a_drained_section_is_filled_only_with_its_highest_opening_seen():
    unseen = swapped(startup(), "open IN", step("open", "IN", ("IN", "open")))
    assert broken(unseen, season="startup") == {("I5", "open IN")}
    by_coupler = (
        *put_before(startup(), "open SPUR", "close D1")[:-3],
        step("open", "Q1", ("Q1", "key_in"), sees=("Q1",)),
        opening("IN"),
    )
    assert broken(by_coupler, season="startup") == set()


def test_a_pump_run_by_hand_needs_something_open_now():
    site = pumped_by_hand()
    on = step("switch_on", "PU", ("PU", "on"))
    assert ("I8", "switch_on PU") in broken((on,), site)
    assert broken((opening("V1"), on), site) == set()


def pumped_by_hand():
    record = pumped()
    links = tuple(
        replace(each, control="hand") if isinstance(each, Pump) else each
        for each in record.links
    )
    return replace(record, links=links)


def test_what_was_wrong_as_found_and_mended_may_not_come_back():
    # VW is shut in summer here, with the pump on.
    site = pumped()
    links = tuple(
        replace(each, summer="closed") if isinstance(each, IsolationValve) else each
        for each in site.links
    )
    site = replace(site, links=links)
    off = step("switch_off", "PU", ("PU", "off"))
    on = step("switch_on", "PU", ("PU", "on"))
    assert ("I8", "switch_on PU") not in broken((on,), site)
    assert ("I8", "switch_on PU") in broken((off, on), site)


def test_a_pump_called_by_zones_has_no_way_once_the_controller_is_off():
    points = [point("WELL", "supply", -5.0, source="well"), point("J1")]
    links = [link("PU", "pump", "WELL", "J1", control="start_relay")]
    record = site_record(*joined((points, links), lateral("1", "J1")), ["1"])
    record["controllers"] = [{"id": "K", "wiring": "common"}]
    off = step("switch_off", "K", ("controller:K", "off"))
    assert broken((off,), site_of(record)) == {("I8", "switch_off K")}


def test_air_and_a_source_never_press_on_one_section():
    steps = without(without(shutdown(), "close B1/shutoff_2"), "close IN")
    assert ("I6", "air on V1") in broken(steps)


@pytest.mark.parametrize(
    ("kind", "keys", "rule"),
    [("injector", {}, "I6"), ("meter", {}, None), ("filter", {}, None)],
)
def test_air_is_not_blown_through_an_injector(kind, keys, rule):
    found = broken(blown_past(kind, **keys)[1], blown_past(kind, **keys)[0])
    assert found == ({(rule, "switch_on air")} if rule else set())


def test_an_injector_that_was_taken_out_may_be_blown_past():
    site, steps = blown_past("injector")
    out = step("remove", "X1", ("X1", "taken_out"))
    assert broken((out, *steps), site) == set()


def blown_past(kind, **keys):
    points = [
        point("S1", "supply", source="public"),
        point("K1"),
        point("D0", "drain", -1.0, drain="manual"),
        point("AIR", "blowout_port"),
        point("J1"),
        point("J2"),
        point("DA", "drain", -1.0, drain="automatic", opens_below="5 psi"),
    ]
    links = [
        pipe("PDA", "J1", "DA"),
        valve("IN", "S1", "K1", "open", "closed"),
        pipe("PD", "K1", "D0"),
        link(
            "B1", "backflow", "K1", "AIR", device="RP", shutoff_1=HALF, shutoff_2=HALF
        ),
        pipe("PM", "AIR", "J1"),
        link("X1", kind, "J1", "J2", **keys),
    ]
    site = site_of(site_record(*joined((points, links), lateral("1", "J2")), ["1"]))
    steps = (
        closing("IN"),
        step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
        opening("D0"),
        step("prove_holding", "IN"),
        closing("B1/shutoff_2"),
        step("connect", "AIR", ("AIR", "hose_connected")),
        opening("V1"),
        AIR_ON,
    )
    return site, steps


def test_air_is_not_blown_into_an_assembly():
    points = [
        point("S1", "supply", source="public"),
        point("AIR", "blowout_port"),
        point("K1"),
    ]
    links = [
        valve("IN", "S1", "AIR", "open", "closed"),
        link(
            "B1", "backflow", "AIR", "K1", device="RP", shutoff_1=HALF, shutoff_2=HALF
        ),
    ]
    site = site_of(site_record(*joined((points, links), lateral("1", "K1")), ["1"]))
    steps = (
        closing("IN"),
        step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
        step("connect", "AIR", ("AIR", "hose_connected")),
        opening("V1"),
        AIR_ON,
    )
    assert ("I6", "switch_on air") in broken(steps, site)


def test_an_exception_entered_for_exposed_pipe_is_respected():
    site = garden(main_placement="above_ground")
    links = tuple(
        replace(each, air_exception="steel sleeve, seen")
        if isinstance(each, Pipe) and each.id == "PM"
        else each
        for each in site.links
    )
    assert broken(shutdown(), replace(site, links=links)) == set()


def test_a_compressor_without_a_hose_is_told():
    steps = without(shutdown(), "connect AIR")
    assert ("I7", "air on V1") in broken(steps)


def test_an_automatic_drain_is_no_outlet_for_air():
    # There is one at J1.
    site, steps = blown_past("meter")
    assert broken(without(steps, "open V1"), site) == {("I7", "switch_on air")}
