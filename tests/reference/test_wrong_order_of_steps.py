"""Worked wrong orders on site A with a well: which rule stops them, and at which step.

Close Vp; open the drain M2; start the compressor at the coupler M5; close M2. With an
RP, or behind a closed shut-off, air may go on while M2 is open; a vacuum breaker with
its shut-off open must not meet the air (Texas 30 TAC 344.50); shutting M2 leaves air
without an outlet (stored energy: ASTM D2241, note 1). And once the well has fed the
main, Vp must not open onto it without RP or air gap (30 TAC 344.51(c)), even with the
well valve shut again.
"""

import pytest

from maintenance.engine.procedure.checker import check_procedure
from tests.engine.procedure.gardens import closing, opening, procedure, step
from tests.reference.two_sources import two_sources

pytestmark = pytest.mark.reference

WELL_OFF = (step("switch_off", "PU", ("PU", "proved_dead")), closing("Vw"))


def blow_at_the_coupler(*before):
    return (
        *WELL_OFF,
        *before,
        closing("Vp"),
        opening("M2", act="relieve"),
        step("connect", "M5", ("M5", "hose_connected")),
        step("switch_on", "air", ("compressor", "on")),
        closing("M2"),
    )


def broken_at(site, steps):
    """Return the published rules that each step breaks; I11 and I12 are our own."""
    checked = check_procedure(site, procedure("shutdown", steps))
    return {
        each.step.key: {rule for rule, _ in each.breaks if rule not in ("I11", "I12")}
        for each in checked.steps
    }


def test_with_an_rp_air_may_go_on_while_the_drain_is_open():
    found = broken_at(two_sources("RP"), blow_at_the_coupler())
    assert found["switch_on air"] == set()


@pytest.mark.parametrize("device", ["RP", "PVB", "SVB", "DC"])
def test_an_assembly_that_is_shut_off_from_the_air_lets_it_go_on(device):
    steps = blow_at_the_coupler(closing("BF/shutoff_2"))
    assert broken_at(two_sources(device), steps)["switch_on air"] == set()


@pytest.mark.parametrize("device", ["PVB", "SVB"])
def test_a_vacuum_breaker_open_to_the_air_stops_it(device):
    found = broken_at(two_sources(device), blow_at_the_coupler())
    assert "I3" in found["switch_on air"]


@pytest.mark.parametrize("device", ["RP", "PVB", "DC"])
def test_shutting_the_only_outlet_under_air_is_stopped(device):
    steps = blow_at_the_coupler(closing("BF/shutoff_2"))
    assert broken_at(two_sources(device), steps)["close M2"] == {"I7"}


def test_the_steps_before_the_air_break_nothing():
    found = broken_at(two_sources("RP"), blow_at_the_coupler())
    assert [key for key, rules in found.items() if rules] == ["close M2"]


WELL_THEN_TOWN = (
    closing("Vp"),
    opening("Vw"),
    *WELL_OFF,
    opening("Vp"),
)


@pytest.mark.parametrize("device", ["DC", "PVB", None])
def test_town_water_is_not_opened_onto_what_the_well_left(device):
    found = broken_at(well_shut_in_summer(device), WELL_THEN_TOWN)
    assert "I1" in found["open Vp"]


@pytest.mark.parametrize("device", ["RP", "AG"])
def test_behind_an_rp_or_an_air_gap_it_may_be(device):
    found = broken_at(well_shut_in_summer(device), WELL_THEN_TOWN)
    assert [key for key, rules in found.items() if rules] == []


def test_without_the_well_between_town_water_may_be_opened_again():
    found = broken_at(well_shut_in_summer("DC"), (closing("Vp"), opening("Vp")))
    assert found["open Vp"] == set()


def well_shut_in_summer(device):
    return two_sources(device, well_in_summer="closed")
