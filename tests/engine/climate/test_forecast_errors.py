"""A site's own errors replace the assumed ones once enough nights are known."""

import math
from dataclasses import replace
from statistics import mean, stdev

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.alert import lead_chances
from maintenance.engine.climate.forecast import LESS_TRUST_AFTER_S
from maintenance.engine.climate.forecast_errors import (
    DEFAULT_SIGMA_K,
    LEAST_SIGMA_K,
    NightPair,
    at_age,
    default_errors,
    learn_errors,
)
from maintenance.engine.climate.series import with_offset
from maintenance.engine.errors import InputError
from tests.engine.climate.made_series import degf, series_of

OFFSET_K = -2.0 / 1.8


def pairs_of(errors_k, lead=1):
    return [NightPair(lead, 280.0 + error, 280.0) for error in errors_k]


def drawn(count, *, bias, sigma, seed=5):
    return np.random.default_rng(seed).normal(bias, sigma, count)


def test_the_assumed_errors_are_those_of_the_table_and_know_no_bias():
    assumed = default_errors()
    assert [1.8 * sigma for sigma in assumed.sigma_k] == pytest.approx(
        [3.0, 3.3, 3.8, 4.4, 5.0, 5.6, 6.2]
    )
    assert assumed.bias_k == (0.0,) * 7
    assert not any(assumed.learnt)


def test_in_a_hollow_the_forecast_runs_too_warm_and_a_freeze_is_likelier():
    hollow = default_errors(OFFSET_K)
    assert list(hollow.bias_k) == pytest.approx([2.0 / 1.8] * 7)
    coldest = np.full(7, degf(33.0))
    plain = lead_chances(coldest, degf(28.0), default_errors())
    assert (lead_chances(coldest, degf(28.0), hollow) > plain).all()


@pytest.mark.parametrize("offset", [math.nan, 15.1, -math.inf])
def test_an_offset_that_no_site_has_is_refused(offset):
    with pytest.raises(InputError, match="No site differs by"):
        default_errors(offset)
    with pytest.raises(InputError, match="No site differs by"):
        with_offset(series_of([30.0]), offset)


def test_sixty_nights_are_learnt_and_fifty_nine_are_not():
    errors = drawn(60, bias=1.5, sigma=2.0)
    few = learn_errors(pairs_of(errors[:59]), OFFSET_K)
    assert few == replace(default_errors(OFFSET_K), nights=(59, 0, 0, 0, 0, 0, 0))
    own = learn_errors(pairs_of(errors), OFFSET_K)
    assert own.learnt == (True, *(False,) * 6)
    assert own.bias_k[0] == pytest.approx(mean(errors))  # the offset is not added
    assert own.sigma_k[0] == pytest.approx(stdev(errors))
    assert own.bias_k[1:] == default_errors(OFFSET_K).bias_k[1:]
    assert own.sigma_k[1:] == DEFAULT_SIGMA_K[1:]


def test_each_lead_learns_from_its_own_nights():
    near, far = drawn(80, bias=0.5, sigma=1.5), drawn(70, bias=3.0, sigma=4.0)
    own = learn_errors(pairs_of(near) + pairs_of(far, lead=7))
    assert own.nights == (80, 0, 0, 0, 0, 0, 70)
    assert own.bias_k[0] == pytest.approx(mean(near))
    assert own.bias_k[6] == pytest.approx(mean(far))


def test_nights_that_could_not_be_are_left_out_and_counted():
    sound = pairs_of(drawn(60, bias=0.0, sigma=2.0))
    broken = [
        NightPair(1, math.nan, 280.0),
        NightPair(1, 280.0, math.nan),
        NightPair(1, math.inf, 280.0),
        NightPair(1, 280.0, 20.0),  # as if in °C
        NightPair(1, 280.0, 240.0),  # 40 K off
        NightPair(0, 280.0, 280.0),
        NightPair(8, 280.0, 280.0),
    ]
    own = learn_errors(sound + broken)
    assert own.left_out == len(broken)
    assert replace(own, left_out=0) == learn_errors(sound)


def test_a_forecast_that_never_missed_is_not_believed_to_the_degree():
    own = learn_errors(pairs_of([1.0] * 60))
    assert own.bias_k[0] == pytest.approx(1.0)
    assert own.sigma_k[0] == LEAST_SIGMA_K


def test_an_old_forecast_counts_as_one_for_a_day_further_ahead():
    errors = learn_errors(pairs_of(drawn(60, bias=1.0, sigma=2.0), lead=2))
    assert at_age(errors, LESS_TRUST_AFTER_S) is errors
    old = at_age(errors, LESS_TRUST_AFTER_S + 1.0)
    for row in ("bias_k", "sigma_k", "nights", "learnt"):
        young = getattr(errors, row)
        assert getattr(old, row) == (*young[1:], young[-1])


@given(st.floats(-4.0, 4.0), st.floats(1.0, 4.0), st.integers(0, 1000))
def test_learnt_chances_come_true_as_often_as_they_say(bias, sigma, seed):
    """Nights drawn apart from those that were learnt from, in whole degrees."""
    rng = np.random.default_rng(seed)
    own = learn_errors(pairs_of(rng.normal(bias, sigma, 3000)))
    forecast = rng.normal(271.0 + bias, 4.0, 4000)
    observed = forecast - rng.normal(bias, sigma, forecast.size)
    froze = np.floor(observed * 1.8 - 459.67 + 0.5) <= 28.0
    chances = [
        float(lead_chances(np.full(7, each), degf(28.0), own)[0]) for each in forecast
    ]
    assert np.mean(chances) == pytest.approx(np.mean(froze), abs=0.04)
