"""Hazard classes of a potable supply and a well on one main, row by row.

The rows put what the published rules say into valve states. A closed valve is no
barrier (US EPA, Cross-Connection Control Manual, EPA 816-R-03-002, 2003: actual and
*potential* connections). More than one source on a potable irrigation system only by
RP assembly or air gap: Texas 30 TAC 344.51(c). Double checks for low hazard only: WAC
246-290-490(4). Vacuum breakers without any back-pressure, 12 in over the highest
opening behind them: 30 TAC 344.50. Second source prohibited: Virginia Plumbing Code
2009, 608.6.1.
"""

import pytest

from maintenance.engine.procedure.barriers import breaker_clearance
from maintenance.engine.procedure.hazard import classify
from maintenance.engine.procedure.rules.registry import RULES
from tests.reference.two_sources import laid, standing, two_sources

pytestmark = pytest.mark.reference

OPEN, SHUT = "open", "closed"
WEAK = [None, "PVB", "DC"]
STRONG = ["RP", "AG"]


def hazards(device, vp, vw, *, rule="rp_or_airgap", degree="high"):
    site = two_sources(device, rule=rule)
    found = classify(laid(site), standing(site, Vp=vp, Vw=vw), degree=degree)
    return {each.what: each for each in found if each.to == "PUB"}


@pytest.mark.parametrize("device", WEAK)
def test_both_open_is_an_actual_connection(device):
    found = hazards(device, OPEN, OPEN)
    assert (found["WELL"].grade, found["WELL"].valves) == ("actual", 0)
    assert found["irrigation"].grade == "exposed"


@pytest.mark.parametrize("device", WEAK)
def test_a_shut_well_valve_leaves_one_valve(device):
    found = hazards(device, OPEN, SHUT)
    assert (found["WELL"].grade, found["WELL"].valves) == ("potential", 1)
    assert found["WELL"].through == ("Vw",)


@pytest.mark.parametrize("device", [None, "DC"])
def test_with_the_well_shut_off_the_main_is_still_exposed(device):
    assert hazards(device, OPEN, SHUT)["irrigation"].grade == "exposed"


def test_a_vacuum_breaker_protects_only_while_no_pump_can_reach_it():
    found = hazards("PVB", OPEN, SHUT)["irrigation"]
    assert (found.grade, found.valves, found.held_off) == ("potential", 0, 1)
    assert "only while" in found.text


@pytest.mark.parametrize("device", WEAK)
def test_a_shut_public_valve_leaves_one_valve(device):
    found = hazards(device, SHUT, OPEN)
    assert (found["WELL"].grade, found["WELL"].valves) == ("potential", 1)
    assert (found["irrigation"].grade, found["irrigation"].valves) == ("potential", 1)


@pytest.mark.parametrize("device", WEAK)
def test_both_shut_leaves_two_valves_and_one_for_the_main(device):
    found = hazards(device, SHUT, SHUT)
    assert (found["WELL"].grade, found["WELL"].valves) == ("potential", 2)
    assert set(found["WELL"].through) == {"Vp", "Vw"}
    assert (found["irrigation"].grade, found["irrigation"].valves) == ("potential", 1)


@pytest.mark.parametrize("device", STRONG)
@pytest.mark.parametrize("vp", [OPEN, SHUT])
@pytest.mark.parametrize("vw", [OPEN, SHUT])
def test_an_rp_or_an_air_gap_protects_in_any_state(device, vp, vw):
    found = hazards(device, vp, vw)
    assert {each.grade for each in found.values()} == {"protected"}
    assert found["WELL"].allowed is True


@pytest.mark.parametrize("vp", [OPEN, SHUT])
def test_where_a_second_source_is_prohibited_an_rp_is_not_enough(vp):
    found = hazards("RP", vp, OPEN, rule="prohibited")["WELL"]
    assert (found.grade, found.allowed) == ("protected", False)
    assert "608.6.1" in found.source
    assert "may not be piped" in found.text
    assert hazards("AG", vp, OPEN, rule="prohibited")["WELL"].allowed is True


def test_a_double_check_counts_for_low_hazard_only():
    low = hazards("DC", OPEN, OPEN, degree="low")
    assert low["irrigation"].grade == "protected"
    # The well itself stays a high hazard.
    assert low["WELL"].grade == "actual"


@pytest.mark.parametrize(("inches", "enough"), [(13, True), (11, False)])
def test_a_vacuum_breaker_stands_twelve_inches_over_what_is_behind_it(inches, enough):
    highest_in = 100 * 12  # M1, 100.0 ft
    piping = laid(two_sources("PVB", assembly_at=f"{highest_in + inches} in"))
    gate = next(each for each in piping.gates if each.id == "BF")
    clearance = breaker_clearance(piping, gate)
    assert clearance is not None
    assert clearance.height_m == pytest.approx(inches * 0.0254, abs=1e-9)
    assert clearance.enough is enough


def test_the_rules_name_these_sources():
    sources = {rule.key: rule.source for rule in RULES}
    assert "344.51(c)" in sources["I1"]
    assert "344.51(c)" in sources["I2"]
    assert "344.50" in sources["I3"]
