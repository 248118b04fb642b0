"""Site A, left to drain in five ways: worked out by hand before the engine was written.

The site and its figures are our own worked example (invented geometry; levels, wet
lengths, gallons and what is held by the air were found with pencil and paper, and are
written beside each case). Volumes are 0.0408 d² gal/ft, d in inches, from the bores of
Schedule 40 in ASTM D1785: 1.380 in gives 0.07770, 1.049 in gives 0.04490 gal/ft. The
case numbers are those of the worked example.
"""

from dataclasses import dataclass
from pathlib import Path

import pytest

from maintenance.engine.network.drain_site import DrainedSite, drain_site
from maintenance.exchange.site_file import read_site

pytestmark = pytest.mark.reference

SITE_A = Path(__file__).parents[2] / "fixtures" / "examples" / "site-a.json"
FT = 0.3048
GAL = 3.785411784e-3
MAIN = ("P-M12", "P-M23", "P-M34", "P-M45")
ZONE_1 = ("P-L12", "P-L23")
ZONE_2 = ("P-P12", "P-P23")


@dataclass(frozen=True)
class Case:
    """Lengths in feet; ``held`` is what may not drain for want of air."""

    name: str
    opens: tuple[str, ...]
    shuts: tuple[str, ...]
    main: float
    zone_1: float
    zone_2: float
    gallons: float
    held: dict[str, float]


CASES = (
    Case("A1 as it is", ("M5",), (), 150, 0, 80, 15.25, {}),
    Case("A2 coupler shut", (), (), 180, 0, 80, 17.58, {}),
    Case(
        "A3 test cock shut",
        ("M5",),
        ("M1",),
        150,
        0,
        80,
        15.25,
        {"P-M12": 100, "P-M23": 80, "P-M34": 30},
    ),
    Case("A4 automatic drain fails", ("M5",), ("D3",), 150, 20, 80, 16.15, {}),
    Case("A5 check of head P1 out", ("M5", "P1"), (), 150, 0, 75, 15.02, {"P-P23": 5}),
)


def drained(case: Case) -> DrainedSite:
    site = read_site(SITE_A.read_bytes())
    return drain_site(site, opens=case.opens, shuts=case.shuts)


def wet_ft(result: DrainedSite, pipes: tuple[str, ...]) -> float:
    return sum(e.wet_length_m for e in result.drainage.links if e.link in pipes) / FT


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_wet_lengths_and_gallons_are_those_worked_by_hand(case: Case):
    result = drained(case)
    assert wet_ft(result, MAIN) == pytest.approx(case.main, abs=1e-6)
    assert wet_ft(result, ZONE_1) == pytest.approx(case.zone_1, abs=1e-6)
    assert wet_ft(result, ZONE_2) == pytest.approx(case.zone_2, abs=1e-6)
    trapped = result.drainage.trapped_m3
    assert trapped is not None
    assert trapped / GAL == pytest.approx(case.gallons, rel=0.005)
    by_zone = result.drainage.trapped_by_zone
    assert set(by_zone) == {"1", "2", "main"}
    expected = {
        "main": case.main * 0.07770,
        "1": case.zone_1 * 0.04490,
        "2": case.zone_2 * 0.04490,
    }
    for zone, gallons in expected.items():
        assert (by_zone[zone] or 0.0) / GAL == pytest.approx(gallons, rel=0.005)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_the_air_holds_is_what_was_found_by_hand(case: Case):
    found = {
        each.link: each.air_locked_length_m / FT
        for each in drained(case).drainage.links
        if each.air_locked_length_m > 0.0
    }
    assert found == pytest.approx(case.held, abs=1e-6)


def test_the_levels_of_the_worked_example_hold():
    a1, a2, a4, a5 = (drained(CASES[n]).drainage.level_m for n in (0, 1, 3, 4))
    assert a1["M4"] / FT == pytest.approx(98.0)
    assert a2["M4"] / FT == pytest.approx(99.0)
    assert a4["L3"] / FT == pytest.approx(96.5)
    assert a1["P2"] / FT == pytest.approx(106.5), "the nozzle and what its check holds"
    assert a5["P2"] / FT == pytest.approx(98.5)


def test_the_states_of_the_pipes_are_told_by_what_they_hold():
    states = {e.link: e.state for e in drained(CASES[2]).drainage.links}
    assert {pipe: states[pipe] for pipe in (*MAIN, *ZONE_1, *ZONE_2)} == {
        "P-M12": "air_locked",
        "P-M23": "air_locked",
        "P-M34": "partly",
        "P-M45": "trapped",
        "P-L12": "drained",
        "P-L23": "drained",
        "P-P12": "trapped",
        "P-P23": "trapped",
    }


def test_the_automatic_drain_opens_under_half_a_foot_of_water():
    """96.5 - 96.0 = 0.5 ft stands over it; 5 psi are 11.5 ft."""
    assert drained(CASES[0]).drainage.opened == ("D3",)
    assert drained(CASES[3]).drainage.opened == ()


def test_a_drain_at_the_sag_of_the_main_lets_out_most():
    """M4 gives 150 ft x 0.0777 = 11.66 gal, P2 80 ft x 0.0449 = 3.59 gal."""
    best = [(d.at, (d.empties_m3 or 0) / GAL) for d in drained(CASES[0]).next_drains]
    assert [at for at, _ in best] == ["M4", "P2"]
    assert [gallons for _, gallons in best] == pytest.approx([11.655, 3.592], rel=0.005)
