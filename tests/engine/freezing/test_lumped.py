"""The lumped model: exact steps, a closed book of heat, and order."""

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.freezing.lumped import Loss, advance, heat_content, ice_share
from tests.engine.freezing.lumps import (
    BORES,
    FROSTS,
    LAYERS,
    MATERIALS,
    SKIES,
    WINDS,
    as_array,
    steady,
    wrapped,
)

SHARES = st.floats(-1.5, 1.0)
AROUND = st.floats(-25.0, 25.0)


def loss(conductance, around):
    return Loss(np.array(conductance), np.array(around))


def temperature(part, heat):
    liquid = np.maximum(heat, 0.0) / part.liquid_j_per_m_k
    ice = np.minimum(heat + part.latent_j_per_m, 0.0) / part.ice_j_per_m_k
    return float(liquid + ice)


@given(bore=BORES, share=SHARES, around=AROUND, seconds=st.floats(1.0, 2e5))
@settings(max_examples=150)
def test_a_step_in_two_parts_is_the_step_at_once(bore, share, around, seconds):
    part = wrapped(bore, "copper")
    begin = share * part.latent_j_per_m
    steady_loss = loss(1.3, around)
    at_once = advance(part, begin, steady_loss, seconds)
    half = advance(part, begin, steady_loss, 0.4 * seconds)
    parted = advance(part, half, steady_loss, 0.6 * seconds)
    assert float(parted) == pytest.approx(
        float(at_once), abs=1e-6 * float(part.latent_j_per_m)
    )


@pytest.mark.parametrize("around", [-20.0, -3.0, 4.0, 25.0])
@pytest.mark.parametrize("share", [-1.3, -1.0, -0.4, 0.0, 0.05, 0.3])
def test_the_book_of_heat_closes(around, share):
    # The heat lost, summed apart in steps of a second, is what the part holds less.
    part = wrapped(0.02, "brass")
    begin = share * part.latent_j_per_m
    ends = advance(part, begin, loss(2.0, around), 3 * 3600.0)
    heat = begin
    for _ in range(3 * 3600):
        heat = heat - 2.0 * (temperature(part, heat) - around)
    assert float(ends) == pytest.approx(
        float(heat), abs=0.002 * float(part.latent_j_per_m)
    )


def test_no_difference_means_no_change():
    part = wrapped(0.02, "copper")
    mixed = -0.3 * part.latent_j_per_m
    ends = advance(part, mixed, loss(2.0, 0.0), 1e6)
    assert float(ends) == pytest.approx(float(mixed))


def test_warm_water_in_air_at_the_freezing_point_cools_to_it_without_ice():
    part = wrapped(0.02, "copper")
    begin = heat_content(part, 283.15)
    lag = float(part.liquid_j_per_m_k) / 2.0
    later = advance(part, begin, loss(2.0, 0.0), lag)
    assert float(later / begin) == pytest.approx(np.exp(-1.0))
    assert float(advance(part, begin, loss(2.0, 0.0), 1e7)) == pytest.approx(
        0.0, abs=1e-3
    )


@given(bore=BORES, share=SHARES, around=AROUND)
@settings(max_examples=100)
def test_a_part_never_goes_past_what_is_around_it(bore, share, around):
    part = wrapped(bore, "PVC")
    begin = share * part.latent_j_per_m
    found = temperature(part, advance(part, begin, loss(1.0, around), 3600.0))
    was = temperature(part, begin)
    assert min(was, around) - 1e-9 <= found <= max(was, around) + 1e-9


@given(
    bore=BORES, material=MATERIALS, frost=FROSTS, wind=WINDS, sky=SKIES, layer=LAYERS
)
@settings(max_examples=100)
def test_ice_begins_before_half_and_half_before_all(
    bore, material, frost, wind, sky, layer
):
    first, half, whole = as_array(
        steady(wrapped(bore, material, layer), frost, wind, sky)
    )
    assert 0.0 < first < half < whole < np.inf
    assert whole - half == pytest.approx(half - first, rel=1e-9)


@pytest.mark.parametrize(("air", "sky"), [(0.0, 0.0), (3.0, 0.0), (3.0, 4.0)])
def test_air_above_freezing_never_freezes_under_such_a_sky(air, sky):
    found = as_array(steady(wrapped(0.02, "copper"), -air, 2.0, sky))
    assert np.all(np.isinf(found))


def test_a_clear_calm_night_freezes_a_part_in_air_just_above_freezing():
    calm = as_array(steady(wrapped(0.02, "PVC"), -0.5, 0.2, 7.5))
    assert np.all(np.isfinite(calm))
    windy = as_array(steady(wrapped(0.02, "PVC"), -0.5, 10.0, 7.5))
    assert np.all(np.isinf(windy))


def test_water_at_the_freezing_point_holds_no_ice_yet():
    part = wrapped(0.02, "copper")
    assert float(heat_content(part, 273.15)) == 0.0
    assert float(ice_share(part, heat_content(part, 270.0))) == 0.0
    assert float(ice_share(part, -2.0 * part.latent_j_per_m)) == 1.0
