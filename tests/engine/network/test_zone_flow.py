"""What a running zone draws: sources, pumps, checks, regulators, rings."""

import math

import pytest

from tests.engine.network.running_zone import (
    GPM,
    Parts,
    codes,
    flow_of,
    garden,
    gpm,
    source,
    through,
)
from tests.engine.network.small_sites import (
    PSI,
    Record,
    joined,
    lateral,
    link,
    pipe,
    point,
    site_record,
)

METRE_PA = 9806.65


def test_the_flow_is_the_sum_of_what_the_heads_give():
    found = flow_of(garden())
    k = 2 * GPM / math.sqrt(30 * PSI)
    given = sum(k * math.sqrt(pressure) for pressure in found.head_pressure_pa.values())
    assert found.flow_m3_per_s == pytest.approx(given, rel=1e-6)
    assert set(found.head_pressure_pa) == {"H1.1", "H1.2", "H1.3"}
    assert set(found.velocity_m_per_s) == {"M", "P1.1", "P1.2", "P1.3"}
    first, second = (found.velocity_m_per_s[key] for key in ("P1.1", "P1.2"))
    assert found.velocity_m_per_s["M"] == pytest.approx(first, rel=1e-6)
    assert first > second > 0
    assert (found.source, found.pump) == ("S", None)
    assert not found.missing
    assert not found.warnings
    assert not found.at_most


def test_a_pump_behind_an_air_gap_presses_on_the_zone():
    gap = link("B", "backflow", "J", "K", device="AG")
    pump = link("PU", "pump", "K", "Z", flow="30 gpm", shutoff_pressure="60 psi")
    found = flow_of(through(gap, pump))
    assert (found.source, found.pump) == ("S", "PU")
    assert found.at_most
    straight = gpm(site_record(*joined(([source()], []), lateral("1", "S")), ["1"]))
    assert found.flow_m3_per_s == pytest.approx(straight * GPM, rel=1e-6)


def two_sources(first: float | None, second: float | None) -> Record:
    other: Parts = ([source("S2", second)], [pipe("M2", "S2", "J", 12.0)])
    return garden(other, supply=source("S", first))


def test_of_two_sources_the_one_with_the_higher_pressure_is_taken():
    found = flow_of(two_sources(50.0, 70.0))
    assert found.source == "S2"
    assert found.flow_m3_per_s == pytest.approx(
        gpm(garden(supply=source("S", 70.0))) * GPM, rel=1e-6
    )
    (warning,) = found.warnings
    assert warning.code == "two_sources"
    assert "that of S2 alone" in warning.text


def test_of_two_sources_the_one_that_is_named_is_taken():
    found = flow_of(two_sources(50.0, 70.0), source="S")
    assert found.source == "S"
    assert found.flow_m3_per_s == pytest.approx(
        gpm(garden(supply=source("S", 50.0))) * GPM, rel=1e-6
    )


def test_a_source_of_unknown_pressure_beside_a_known_one_is_said():
    found = flow_of(two_sources(50.0, None))
    assert found.source == "S"
    assert "No pressure is recorded for S2" in found.warnings[0].text
    assert codes(flow_of(two_sources(50.0, None), source="S2")) == ["missing_pressure"]


def test_a_source_gives_no_more_than_its_flow():
    free = flow_of(garden())
    record = garden(supply=source(flow="4 gpm"))
    found = flow_of(record)
    assert found.flow_m3_per_s == pytest.approx(4 * GPM, rel=1e-6)
    assert found.limited_by == "source_flow"
    assert free.limited_by == "source_pressure"
    for name, pressure in found.head_pressure_pa.items():
        assert 0 < pressure < free.head_pressure_pa[name]


@pytest.mark.parametrize(("well", "pump"), [("3 gpm", "9 gpm"), ("9 gpm", "3 gpm")])
def test_a_pump_gives_no_more_than_its_well(well, pump):
    pumped: Parts = (
        [source(source="well", psi=None, flow=well), point("J")],
        [link("PU", "pump", "S", "J", flow=pump, shutoff_pressure="70 psi")],
    )
    record = site_record(*joined(pumped, lateral("1", "J")), ["1"])
    assert gpm(record) == pytest.approx(3.0, rel=1e-6)


def test_the_spring_of_a_check_takes_its_head():
    check = link("C", "check_valve", "J", "Z", holds="5 m")
    weaker = garden(supply=source(psi=60.0 - 5 * METRE_PA / PSI))
    assert gpm(through(check, points=())) == pytest.approx(gpm(weaker), rel=1e-4)


def test_a_regulator_keeps_its_pressure_where_there_is_more():
    def regulated(psi: float) -> Record:
        keys = {"outlet_pressure": f"{psi} psi"}
        part = link("R", "pressure_regulator", "J", "Z", **keys)
        return through(part, points=())

    straight = site_record(*joined(([source(psi=30.0)], []), lateral("1", "S")), ["1"])
    assert gpm(regulated(30.0)) == pytest.approx(gpm(straight), rel=1e-4)
    assert gpm(regulated(90.0)) == pytest.approx(gpm(garden()), rel=1e-4)


def test_a_head_too_high_for_the_pressure_gives_nothing_and_is_said():
    record = garden(falls_m=(0.0, -12.0, 0.0), step_m=15.0, supply=source(psi=15.0))
    found = flow_of(record)
    assert found.head_pressure_pa["H1.1"] > 0
    assert found.head_pressure_pa["H1.2"] == found.head_pressure_pa["H1.3"] == 0.0
    (warning,) = found.warnings
    assert (warning.code, warning.about) == ("no_water_at_head", ("H1.2", "H1.3"))
    assert found.velocity_m_per_s["P1.2"] == pytest.approx(0.0, abs=1e-4)
    k = 2 * GPM / math.sqrt(30 * PSI)
    alone = k * math.sqrt(found.head_pressure_pa["H1.1"])
    assert found.flow_m3_per_s == pytest.approx(alone, rel=1e-4)


def test_a_source_too_low_for_every_head_gives_no_water_and_names_them():
    found = flow_of(garden(z_m=10.0, step_m=15.0, supply=source(psi=5.0)))
    assert found.flow_m3_per_s == pytest.approx(0.0, abs=1e-9)
    assert found.warnings[0].about == ("H1.1", "H1.2", "H1.3")


def test_a_second_way_lets_more_water_through():
    ring: Parts = ([], [pipe("M2", "S", "J", 20.0)])
    found = flow_of(garden(ring))
    assert found.flow_m3_per_s is not None
    assert found.flow_m3_per_s / GPM > gpm(garden())
    assert found.velocity_m_per_s["M"] > found.velocity_m_per_s["M2"] > 0


def test_a_regulator_with_an_open_way_round_it_gives_no_flow():
    keeps = link("R", "pressure_regulator", "J", "Z", outlet_pressure="20 psi")
    found = flow_of(through(keeps, pipe("PR", "J", "Z", 0.5), points=()))
    assert codes(found) == ["not_settled"]
    assert found.missing[0].text.endswith("look at the record of R.")
