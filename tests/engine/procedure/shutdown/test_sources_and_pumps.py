"""Pumps proved dead, sources parted and watched, other uses left with their water."""

import re

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
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
from tests.engine.procedure.shutdown.lists import (
    acts,
    at,
    checked,
    compiled,
    larkmoor_list,
    step_of,
    words,
)
from tests.fixtures.demo import larkmoor


def pumped(*, source="well", house=False, **pump):
    """Return a site whose main is fed by a pump."""
    points = [
        point("SRC", "supply", -3.0, source=source),
        point("W1"),
        point("AIR", "blowout_port"),
        point("J1"),
        point("D1", "drain", -1.0, drain="manual"),
    ]
    links = [
        link("PU", "pump", "SRC", "W1", **pump),
        valve("VW", "W1", "AIR", "open", "closed"),
        pipe("M1", "AIR", "J1"),
        pipe("PD1", "J1", "D1"),
    ]
    if house:
        points.append(point("HOUSE", "other_use", 1.0, what="house"))
        links.append(pipe("PH", "W1", "HOUSE"))
    record = site_record(*joined((points, links), lateral("1", "J1")), ["1"])
    return site_of(record)


def test_a_pump_that_feeds_a_house_stays_on_and_its_branch_is_shut():
    procedure = larkmoor_list()
    assert not acts(procedure, "switch_off") or "PU" not in acts(
        procedure, "switch_off"
    )
    stays = {each.id: each.why for each in procedure.stays_open}
    assert "HOUSE" in stays["PU"]
    assert "breaker 7" in stays["PU"]
    assert "V2" in acts(procedure, "close")
    assert "V2" not in stays


def test_a_pump_of_its_own_is_off_and_proved_dead_before_any_valve_is_shut():
    site = pumped(control="pressure_switch", power_disconnect="breaker 3")
    procedure = compiled(site, air=False)
    off, dead = at(procedure, "switch_off PU"), at(procedure, "prove_dead PU")
    first_shut = next(n for n, s in enumerate(procedure.steps) if s.act == "close")
    assert off < dead < first_shut
    assert "breaker 3" in procedure.steps[off].text


@pytest.mark.parametrize(
    ("control", "told"),
    [
        ("hand", "own switch"),
        ("pressure_switch", "cut-in"),
        ("start_relay", "station"),
        ("variable_speed", "drive"),
        (None, "must not start"),
    ],
)
def test_how_a_pump_is_proved_dead_goes_by_its_control(control, told):
    keys = {"control": control} if control else {}
    text = step_of(compiled(pumped(**keys), air=False), "prove_dead PU").text
    assert told in text.lower()


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"pump": "submersible", "drains_back": "yes"}, "drained back"),
        ({"pump": "submersible", "drains_back": "no"}, "below frost"),
        ({"pump": "submersible", "drains_back": "unknown"}, "below frost"),
        ({"pump": "jet"}, "suction"),
        ({"pump": "booster"}, "drain plugs"),
    ],
)
def test_how_a_pump_is_drained_goes_by_its_kind(keys, told):
    assert told in step_of(compiled(pumped(**keys), air=False), "drain PU").text


def test_the_intake_is_lifted_where_a_pump_draws_from_open_water():
    text = step_of(compiled(pumped(source="surface"), air=False), "drain PU").text
    assert "intake" in text


def test_a_pressure_tank_is_drained_before_the_lines():
    procedure = compiled(pumped(pressure_tank="20 gal"), air=False)
    tank = step_of(procedure, "drain tank of PU")
    assert "tank first" in tank.text
    assert "pressure tank" not in words(compiled(pumped(), air=False))


def test_a_house_on_the_pumps_line_keeps_the_pump():
    procedure = compiled(pumped(house=True), air=False)
    assert "prove_dead" not in {step.act for step in procedure.steps}
    assert {each.id for each in procedure.stays_open} >= {"SRC", "PU"}
    agreed = compiled(pumped(house=True), air=False, agreed=frozenset({"HOUSE"}))
    assert "prove_dead" in {step.act for step in agreed.steps}


def test_a_source_is_watched_only_after_the_drains_have_run():
    procedure = larkmoor_list()
    run = at(procedure, "drain lines")
    for key, drain in (("prove_holding V1", "D0"), ("prove_holding V2", "D2")):
        step = step_of(procedure, key)
        assert at(procedure, key) > run > at(procedure, f"open {drain}")
        assert step.minutes == 10
        assert drain in step.text


def test_a_weeping_valve_has_litres_an_hour_and_hours_to_fill():
    """A cup in ten minutes is 1.5 L/h; the gallons told over it are the hours told."""
    for key in ("prove_holding V1", "prove_holding V2"):
        rate = step_of(larkmoor_list(), key).cautions[0]
        assert "1.5 L an hour" in rate
        ((gallons, hours),) = re.findall(r"the ([\d.]+) gal .* about (\d+) h", rate)
        litres = float(gallons) * 3.785411784
        assert float(hours) == pytest.approx(litres / 1.5, rel=0.01)


def test_what_to_do_with_a_weep_goes_by_whether_air_comes_there():
    v1, v2 = (
        step_of(larkmoor_list(), f"prove_holding {v}").cautions[1] for v in ("V1", "V2")
    )
    assert "leave D0 open all winter" in v1
    assert "no air before it holds" in v2


def test_only_the_valve_behind_the_house_is_shut():
    procedure = compiled(garden(well=False), air=False)
    assert "IN" in acts(procedure, "close")
    assert "STOP" not in acts(procedure, "close")
    assert "STOP" in {each.id for each in procedure.stays_open}
    assert checked(garden(well=False), procedure).broken == ()


def test_a_source_without_a_valve_is_turned_off_itself():
    site = site_of(
        site_record(
            *joined(
                (
                    [point("SUP", "supply", source="public"), point("J1")],
                    [
                        link("B1", "backflow", "SUP", "J1", device="PVB", size="1"),
                    ],
                ),
                lateral("1", "J1"),
            ),
            ["1"],
        )
    )
    step = step_of(compiled(site, air=False), "close SUP")
    assert step.to == "off"
    assert "not recorded" in step.text


def test_where_no_valve_parts_house_and_irrigation_the_list_says_so():
    points = [
        point("SUP", "supply", source="public"),
        point("HOUSE", "other_use", what="house"),
        point("J1"),
    ]
    links = [pipe("P1", "SUP", "J1"), pipe("PH", "J1", "HOUSE")]
    whole = joined((points, links), lateral("1", "J1"))
    procedure = compiled(site_of(site_record(*whole, ["1"])), air=False)
    assert [w.about for w in procedure.warnings if w.code == "source_not_parted"] == [
        ("SUP", "HOUSE")
    ]
    assert not [step for step in procedure.steps if step.act == "drain"]


def test_a_pump_run_by_hand_runs_while_its_branch_is_watched():
    record = pumped(control="hand", house=True)
    procedure = compiled(record, air=False)
    step = step_of(procedure, "prove_holding VW")
    assert ("PU", "on") in [(c.element, c.position) for c in step.during]
    assert not [w for w in checked(record, procedure).warnings if w.code == "no_proof"]


def test_unknown_ids_in_the_choices_are_refused_in_one_sentence():
    for choices, told in (
        (ShutdownChoices(port="A9"), "A1, A2"),
        (ShutdownChoices(agreed=frozenset({"BARN"})), "HOUSE"),
    ):
        with pytest.raises(InputError, match=told):
            compile_shutdown(larkmoor(), choices=choices)
