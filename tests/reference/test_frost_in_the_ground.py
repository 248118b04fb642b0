"""Frost in the ground against the exact Neumann solution and published readings."""

import numpy as np
import pytest

from maintenance.engine.freezing.frost_depth import (
    conductivity_kersten,
    lambda_neumann,
    stefan_depth,
)
from maintenance.engine.freezing.part_at_risk import box_threshold
from maintenance.engine.freezing.soil_column import NODE_DEPTHS_M, Soil, freeze_ground
from maintenance.engine.freezing.soil_wave import damping_depth

pytestmark = pytest.mark.reference

BTU = 1.7307346663713907
LB_PER_FT3 = 16.018463373960142
DAY = 86_400.0
EVEN = Soil(
    conductivity_thawed=1.5,
    conductivity_frozen=1.5,
    capacity_thawed=2.2e6,
    capacity_frozen=2.2e6,
    water_share=0.25,
)


def neumann_depth(frost_k, ground_k, days):
    latent = 0.25 * 333.6e6
    share = lambda_neumann(2.2e6 * frost_k / latent, ground_k / frost_k)
    return share * stefan_depth(1.5, frost_k * days * DAY, latent)


def test_a_step_of_5_k_on_ground_at_4_degc_has_its_exact_depth():
    assert neumann_depth(5.0, 4.0, 30) == pytest.approx(0.5798, abs=5e-5)


@pytest.mark.parametrize(
    ("frost", "ground", "days"), [(5.0, 4.0, 30), (2.0, 6.0, 60), (10.0, 1.0, 20)]
)
def test_the_column_follows_the_exact_solution(frost, ground, days):
    column = freeze_ground(
        np.full((days, 1), 273.15 - frost),
        np.full(NODE_DEPTHS_M.size, 273.15 + ground),
        [0.1],
        soil=EVEN,
    )
    depth = column.frost_depth_m[:, 0]
    exact = neumann_depth(frost, ground, days)
    assert depth[-1] == pytest.approx(exact, rel=0.01)
    # Depth goes with the root of time.
    assert depth[days // 4 - 1] == pytest.approx(
        exact * np.sqrt((days // 4) / days), rel=0.03
    )


def test_berggren_and_the_column_agree_on_a_winter_that_is_no_step():
    # Half a sine of frost over 100 days; Berggren sees its mean. It is meant for that.
    days = 100
    frost = 6.0 * np.sin(np.pi * (np.arange(days) + 0.5) / days)
    column = freeze_ground(
        (273.15 - frost)[:, None], np.full(NODE_DEPTHS_M.size, 278.15), [0.1], soil=EVEN
    )
    berggren = neumann_depth(float(frost.mean()), 5.0, days)
    assert column.frost_depth_m.max() == pytest.approx(berggren, rel=0.15)


def test_kersten_for_silt_has_the_published_reading():
    # pavementinteractive.org, calculation of frost depth: silt 100 lb/ft3, 15 %: 0.8
    # frozen; base 135 lb/ft3, 5 %: 1.65 thawed. Its frozen base (1.8) is of another
    # author's chart and lies 11 % above Kersten.
    silt, base = 100 * LB_PER_FT3, 135 * LB_PER_FT3
    frozen = float(conductivity_kersten(silt, 15.0, frozen=True)) / BTU
    assert frozen == pytest.approx(0.8, rel=0.01)
    thawed = float(conductivity_kersten(silt, 15.0, frozen=False)) / BTU
    assert thawed == pytest.approx(0.715, rel=0.01)
    sand = float(conductivity_kersten(base, 5.0, frozen=False, sand=True)) / BTU
    assert sand == pytest.approx(1.65, rel=0.01)
    icy = float(conductivity_kersten(base, 5.0, frozen=True, sand=True)) / BTU
    assert icy == pytest.approx(1.607, rel=0.01)


def test_five_per_cent_of_the_yearly_swing_is_left_at_4_245_m():
    assert -np.log(0.05) * float(damping_depth(2e-7)) == pytest.approx(4.245, rel=0.002)


@pytest.mark.parametrize(("soil", "air"), [(45.0, 10.0), (36.0, 25.0)])
def test_a_valve_box_freezes_by_the_mean_air_of_the_day(soil, air):
    found = box_threshold((soil + 459.67) / 1.8) * 1.8 - 459.67
    assert found == pytest.approx(air, abs=1.5)
