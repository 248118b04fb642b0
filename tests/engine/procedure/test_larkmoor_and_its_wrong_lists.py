"""Larkmoor is classified as it is, a right list passes, and what canned lists forget is caught."""

import pytest

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import check_on
from maintenance.engine.procedure.elements import site_elements
from maintenance.engine.procedure.hazard import classify
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions, winter_positions
from maintenance.exchange.site_file import read_site
from tests.engine.procedure.gardens import (
    blown,
    closing,
    opening,
    place,
    procedure,
    put_before,
    step,
    swapped,
    without,
)
from tests.engine.procedure.larkmoor_list import WELL_ZONES, shutdown_of_larkmoor
from tests.fixtures.demo import CONTRACTOR, larkmoor

PIPING = lay_piping(build_graph(larkmoor()))
RIGHT = shutdown_of_larkmoor()


def broken(steps):
    found = check_on(PIPING, procedure("shutdown", steps))
    return {each.rule.key: each.at_step for each in found.checks if not each.holds}


def grades(positions):
    return {(h.what, h.to): h.grade for h in classify(PIPING, positions)}


def test_town_water_is_parted_from_the_well_by_the_assembly():
    summer = summer_positions(PIPING.graph)
    joined = {**summer, "VX": "open"}
    for positions in (summer, joined, winter_positions(PIPING.graph)):
        found = grades(positions)
        assert found["S2", "S1"] == "protected"
        assert found["irrigation", "S1"] == "protected"


def test_the_house_has_nothing_but_a_valve_between_it_and_the_irrigation():
    assert grades(summer_positions(PIPING.graph))["irrigation", "HOUSE"] == "exposed"
    assert grades(winter_positions(PIPING.graph))["irrigation", "HOUSE"] == "potential"


def test_a_list_written_by_hand_breaks_no_rule():
    assert broken(RIGHT) == {}


def test_every_position_at_its_end_is_the_one_that_the_site_names():
    end = check_on(PIPING, procedure("shutdown", RIGHT)).end.standing.positions
    named = {k: e.winter for k, e in site_elements(PIPING.graph).items()}
    assert {k: v for k, v in end.items() if v not in named[k]} == {}


def test_a_valve_that_winter_wants_half_open_is_not_forgotten():
    steps = without(RIGHT, "open VX")
    assert broken(steps) == {"I10": len(steps)}


def test_a_dead_leg_behind_a_valve_shut_too_early_is_caught():
    # The whole well side, shut off from its drain and its port.
    well_side = {*WELL_ZONES, "V2", "A2", "D2", "VX"}
    steps = [each for each in RIGHT if each.key.split()[-1] not in well_side]
    found = broken((*steps, closing("V2")))
    assert {"I9"} <= set(found) <= {"I9", "I10", "I11", "I12"}


def test_shutting_off_the_house_is_caught():
    off = (
        step("switch_off", "PU", ("PU", "off")),
        step("prove_dead", "PU", ("PU", "proved_dead")),
    )
    assert broken(swapped(RIGHT, "close V2", *off, closing("V2")))["I12"] == place(
        RIGHT, "close V2"
    )


def test_the_controller_off_before_the_blow_out_is_told():
    steps = put_before(RIGHT, "switch_off K", "open Z1")
    found = check_on(PIPING, procedure("shutdown", steps))
    told = {w.about[0] for w in found.warnings if w.code == "controller_off"}
    assert {"Z1", "Z29"} <= told
    # Zones turned by hand need no controller.
    assert not told & {"Z10", "Z23"}


def test_air_through_the_anti_siphon_zone_is_caught():
    at = place(RIGHT, "disconnect A1") - 1
    steps = (*RIGHT[:at], *blown("Z10"), *RIGHT[at:])
    assert broken(steps) == {"I3": at + 2}


def test_opening_town_water_onto_the_well_is_caught():
    assert broken((opening("VX"), *RIGHT))["I2"] == 1


def test_the_moment_between_two_zones_is_caught():
    at = place(RIGHT, "air off Z1") - 1
    over = step("run", "Z2", ("Z1", "closed"), ("Z2", "open"), sees=("Z2",))
    steps = without(without(RIGHT, "air off Z1"), "close Z1")
    steps = swapped(without(steps, "air on Z2"), "open Z2", over)
    assert broken(steps) == {"I7": at + 1}


def test_the_weeping_cellar_valve_may_stay_unproved_while_its_drain_is_open():
    # The site notes that it weeps, and to keep the drain open.
    steps = without(RIGHT, "prove_holding V1")
    assert broken(steps) == {}
    shut = (*steps, closing("D0"), closing("B1/test_cocks"))
    assert "I11" in broken(shut)


@pytest.mark.parametrize("path", CONTRACTOR, ids=lambda path: path.stem)
def test_every_small_site_is_classified_and_begins_without_a_fault(path):
    site = read_site(path.read_bytes())
    if site.card is not None:
        assert site.points == ()
        return
    piping = lay_piping(build_graph(site))
    for season in ("shutdown", "startup"):
        found = check_on(piping, procedure(season, ()))
        assert {c.rule.key for c in found.checks if c.at_step} == set()
        assert found.warnings == ()
    public = {key for key in piping.supplies if key in _public(piping)}
    hazards = classify(piping, summer_positions(piping.graph))
    assert public <= {each.to for each in hazards}


def _public(piping):
    points = piping.graph.points
    return [k for k in piping.supplies if points[k].source == "public"]
