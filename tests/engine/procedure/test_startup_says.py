"""What the spring list says: questions first, tests raised, leaks, flows, programmes."""

import pytest

from maintenance.engine.procedure.startup.autumn import AutumnRecord
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.procedure.step import Step
from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    main_line,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import garden, valve
from tests.fixtures.demo import larkmoor

GPM = 3.785411784e-3 / 60.0


def steps_of(site: Site, **keys) -> tuple[Step, ...]:
    return compile_startup(site, **keys).steps


def the_one(steps: tuple[Step, ...], act: str, on: str) -> Step:
    (found,) = [step for step in steps if (step.act, step.on) == (act, on)]
    return found


def test_without_an_autumn_record_the_list_and_a_warning_say_so():
    procedure = compile_startup(garden(well=False))
    assert "No closed autumn list is on record" in procedure.steps[0].text
    assert procedure.warnings[0].code == "mirrors_winter_positions"


def test_with_an_autumn_record_nothing_is_said_of_mirroring():
    procedure = compile_startup(garden(well=False), autumn=AutumnRecord())
    assert not [w for w in procedure.warnings if w.code == "mirrors_winter_positions"]
    assert not any("No closed autumn list" in step.text for step in procedure.steps)


def test_zones_not_found_in_autumn_are_the_first_questions():
    record = AutumnRecord(
        zones={"1": "partly", "2": "not_found"}, notes=("Box 3 has wasps",)
    )
    steps = steps_of(garden(well=False), autumn=record)
    assert (steps[0].on, steps[0].to) == ("2", "not_found")
    assert steps[0].text == "Zone 2 was not found in autumn: where is its valve?"
    assert (steps[1].on, steps[1].to) == ("1", "partly")
    assert "Box 3 has wasps." in steps[2].text
    walked = the_one(steps, "run", "2")
    assert any("Not found in autumn" in text for text in walked.cautions)


def test_the_meter_of_autumn_is_compared():
    record = AutumnRecord(meter_m3=100.0)
    plain = the_one(steps_of(larkmoor(), autumn=record), "record", "MT1").text
    assert "In autumn it showed 26417.2 gal (100000.0 L)." in plain
    moved = StartupChoices(meter_m3=100.5)
    steps = steps_of(larkmoor(), autumn=record, choices=moved)
    assert "132.1 gal (500.0 L) went by since" in the_one(steps, "record", "MT1").text
    back = StartupChoices(meter_m3=99.0)
    steps = steps_of(larkmoor(), autumn=record, choices=back)
    assert "shows less now" in the_one(steps, "record", "MT1").text


@pytest.mark.parametrize("device", ["RP", "DC", "PVB"])
def test_an_assembly_is_seated_and_its_test_is_raised(device):
    steps = steps_of(garden(device=device, well=False))
    seat, test = the_one(steps, "check", "B1"), the_one(steps, "test", "B1")
    assert steps.index(seat) < steps.index(test)
    assert "licensed tester" in test.text
    assert any("Local code decides" in text for text in test.cautions)
    assert "second source is allowed only behind it" in test.why


def test_an_assembly_that_was_taken_out_is_put_back_and_tested_for_that():
    record = AutumnRecord(positions={"B1": "removed"})
    steps = steps_of(garden(well=False), autumn=record)
    back, test = the_one(steps, "install", "B1"), the_one(steps, "test", "B1")
    assert steps.index(back) < steps.index(test)
    assert "put back" in test.why
    assert "246-290-490(7)" in test.source


def test_an_atmospheric_breaker_is_inspected_and_not_tested():
    steps = steps_of(garden(device="AVB", well=False))
    assert not [step for step in steps if step.act == "test"]
    assert any("inspected where the rule says so" in step.text for step in steps)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("meter", "the dial should not move"),
        ("gauge", "see how far the gauge falls"),
        ("pump_starts", "it should not start at all"),
    ],
)
def test_the_leak_test_is_the_one_that_the_person_has_the_means_for(asked, says):
    steps = steps_of(larkmoor(), choices=StartupChoices(leak_test=asked))
    found = [s for s in steps if s.block == "Leak test" and s.act == "check"]
    assert [step.to for step in found] == [asked.replace("_", " ")] * 2
    assert all(says in step.text for step in found)
    for step in found:
        assert any("Upper bound, not an aim" in text for text in step.cautions)
        assert "Test with water, never with air." in step.cautions


def test_without_a_choice_the_meter_then_the_pump_then_a_gauge_is_taken():
    found = [s.to for s in steps_of(larkmoor()) if s.block == "Leak test" and s.to]
    assert found == ["meter", "pump starts"]
    garden_steps = steps_of(garden(well=False))
    assert [s.to for s in garden_steps if s.block == "Leak test" and s.to] == ["gauge"]


def test_the_allowance_is_that_of_the_standard_for_this_main():
    # 500 ft of 2 in at 75 psi: 0.0585 gal/h by C605, 221 mL/h; so 55 mL in 15 min.
    points = [
        point("SUP", "supply", source="public", static_pressure="75 psi"),
        point("K0"),
        point("K"),
        point("J1"),
    ]
    links = [
        link("MT", "meter", "SUP", "K0"),
        valve("IN", "K0", "K", "open", "closed"),
        pipe("M", "K", "J1", 500 * 0.3048, pipe="PVC SDR-21", size="2"),
    ]
    parts = joined((points, links), lateral("1", "J1"))
    steps = steps_of(site_of(site_record(*parts, ["1"])))
    (test,) = [s for s in steps if s.to == "meter"]
    assert "0.058 gal/h" in test.cautions[0]
    assert "55 mL in 15 minutes" in test.cautions[0]


def test_a_bucket_tells_what_each_pump_start_is_worth():
    choices = StartupChoices(leak_test="pump_starts", pump_start_volume_m3=0.01)
    text = the_one(steps_of(larkmoor(), choices=choices), "check", "PU").text
    assert "Each start is a loss of 2.7 gal (10.0 L)." in text


def test_every_zone_is_walked_once_against_what_it_should_draw():
    choices = StartupChoices(last_spring_m3_per_s={"11": 12.5 * GPM})
    steps = steps_of(larkmoor(), choices=choices)
    walked = [step for step in steps if step.act == "run"]
    assert [step.on for step in walked] == [z.id for z in larkmoor().zones]
    # Four heads of 3.2 gpm at 35 psi.
    text = the_one(steps, "run", "11").text
    assert "rated 12.8 gpm (48.5 L/min), 4 heads at 35 psi (241 kPa)" in text
    assert "Last spring it drew 12.5 gpm (47.3 L/min)." in text
    assert "Last spring" not in the_one(steps, "run", "12").text


def test_a_zone_whose_heads_are_unknown_says_what_to_enter():
    zone = lateral("1", "J1", head_flow=None, head_at_pressure=None)
    site = site_of(site_record(*joined(main_line(), zone), ["1"]))
    text = the_one(steps_of(site), "run", "1").text
    assert "unknown: enter the flow of H1.1, H1.2, H1.3" in text


def test_controllers_are_held_first_and_their_programmes_come_last():
    steps = steps_of(larkmoor())
    on = [s.on for s in steps if s.to == "suspended"]
    assert on == ["controller:K-CELLAR", "controller:K-PUMP"]
    assert [s.on for s in steps[-2:]] == on
    sensors = next(s for s in steps if s.on == "sensors of K-CELLAR")
    assert "rain, freeze and flow sensors" in sensors.text
    held = [n for n, s in enumerate(steps) if s.to == "suspended"]
    assert max(held) < min(n for n, s in enumerate(steps) if s.act == "fill")


def pumped(**keys) -> Site:
    points = [point("POND", "supply", source="surface"), point("W"), point("J1")]
    links = [
        link("PU", "pump", "POND", "W", power_disconnect="shed, breaker 2", **keys),
        valve("IN", "W", "J1", "open", "closed"),
    ]
    return site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))


def test_a_pump_is_primed_and_bled_before_its_power_comes_on():
    steps = steps_of(pumped(control="start_relay", pump="jet"))
    primed = the_one(steps, "check", "PU")
    filled = the_one(steps, "fill", "PU")
    assert steps.index(primed) < steps.index(filled)
    assert "fill its casing with water" in primed.text
    assert "shed, breaker 2" in primed.text
    assert filled.changes[0].position == "on"


def test_a_pump_started_by_hand_runs_only_while_something_takes_its_water():
    steps = steps_of(pumped(control="hand", pump="jet"))
    filled = the_one(steps, "fill", "PU")
    assert filled.changes == ()
    assert [(c.element, c.position) for c in filled.during] == [("PU", "on")]
    walked = the_one(steps, "run", "1")
    assert [(c.element, c.position) for c in walked.changes] == [("V1", "open")]
    assert [(c.element, c.position) for c in walked.during] == [("PU", "on")]
