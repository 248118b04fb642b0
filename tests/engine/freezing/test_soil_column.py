"""The ground by depth: what insulates keeps frost away; nonsense is refused."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.errors import InputError
from maintenance.engine.freezing.frost_depth import lambda_neumann
from maintenance.engine.freezing.soil_column import (
    LOAM,
    NODE_DEPTHS_M,
    first_day_frozen,
    freeze_ground,
    surface_temperature,
)

DAYS = 50
AIR = 273.15 - 7.0 * np.sin(np.pi * np.arange(DAYS) / DAYS)
START = np.full(NODE_DEPTHS_M.size, 279.0)
COVERS = ("turf", "bare", "paved", "snow")


@pytest.fixture(scope="module")
def winter():
    surface = np.stack([surface_temperature(AIR, cover) for cover in COVERS], axis=1)
    return freeze_ground(surface, START, [0.0, 0.1, 0.2, 0.5, 1.0])


def test_barer_ground_freezes_deeper_and_never_later(winter):
    deepest = winter.frost_depth_m.max(axis=0)
    assert np.all(np.diff(deepest) > 0.0)
    days = first_day_frozen(winter, 0.2)
    assert np.all(np.isfinite(days))
    assert np.all(np.diff(days) <= 0.0)


def test_deeper_pipe_never_freezes_sooner(winter):
    days = [first_day_frozen(winter, depth) for depth in (0.0, 0.1, 0.2, 0.5, 2.0)]
    assert np.all(np.array(days[1:]) >= np.array(days[:-1]))
    assert np.all(np.isinf(days[-1]))


def test_frost_stands_where_the_temperature_says(winter):
    at_20_cm = winter.temperature_k[..., 2] < 273.15 - 0.05
    assert at_20_cm.any()
    assert np.all(winter.frost_depth_m[at_20_cm] >= 0.2)


def test_snow_on_the_ground_keeps_frost_shallower():
    surface = np.repeat(surface_temperature(AIR, "snow")[:, None], 3, axis=1)
    snow = np.broadcast_to([0.0, 0.1, 0.5], surface.shape)
    found = freeze_ground(surface, START, [0.1], snow_m=snow)
    assert np.all(np.diff(found.frost_depth_m.max(axis=0)) < 0.0)


def test_ground_at_one_temperature_stays_there():
    found = freeze_ground(np.full((20, 1), 279.0), START, [0.3])
    assert found.temperature_k == pytest.approx(279.0)
    assert found.frost_depth_m.max() == 0.0


def test_dry_soil_freezes_deeper():
    surface = surface_temperature(AIR, "bare")[:, None]
    depths = [
        freeze_ground(
            surface, START, [0.1], soil=replace(LOAM, water_share=share)
        ).frost_depth_m.max()
        for share in (0.0, 0.05, 0.2, 0.4)
    ]
    assert np.all(np.diff(depths) < 0.0)


@pytest.mark.parametrize("depth", [-0.1, np.nan, np.inf, 50.0])
def test_an_impossible_depth_is_refused_by_name(depth, winter):
    with pytest.raises(InputError, match=r"^depth: ") as caught:
        freeze_ground(AIR[:, None], START, [0.2, depth])
    assert caught.value.input == "depth"
    with pytest.raises(InputError, match=r"^depth: "):
        first_day_frozen(winter, depth)


@pytest.mark.parametrize("bad", [np.nan, np.inf, -40.0])
def test_temperatures_that_are_no_numbers_are_refused_by_name(bad):
    air = AIR.copy()
    air[3] = bad
    with pytest.raises(InputError, match=r"^surface_k: "):
        freeze_ground(air[:, None], START, [0.2])
    with pytest.raises(InputError, match=r"^start_k: "):
        freeze_ground(AIR[:, None], np.full(START.shape, bad), [0.2])
    with pytest.raises(InputError, match=r"^snow_m: "):
        freeze_ground(AIR[:, None], START, [0.2], snow_m=bad)


def test_an_unknown_cover_is_refused_with_what_may_be_written():
    with pytest.raises(InputError, match="turf, bare, paved, snow"):
        surface_temperature(AIR, "moss")


@given(mu=st.floats(1e-4, 3.0), alpha=st.floats(0.0, 20.0), more=st.floats(0.01, 5.0))
@settings(max_examples=150)
def test_lambda_lies_between_0_and_1_and_falls_with_warmer_ground(mu, alpha, more):
    here = lambda_neumann(mu, alpha)
    assert 0.0 < lambda_neumann(mu, alpha + more) < here <= 1.0
    assert lambda_neumann(mu * (1.0 + more), alpha) < here


@pytest.mark.parametrize(
    ("mu", "alpha", "name"),
    [
        (0.0, 1.0, "mu"),
        (np.nan, 1.0, "mu"),
        (0.1, -1.0, "alpha"),
        (0.1, np.inf, "alpha"),
    ],
)
def test_what_has_no_root_is_refused_by_name(mu, alpha, name):
    with pytest.raises(InputError) as caught:
        lambda_neumann(mu, alpha)
    assert caught.value.input == name
