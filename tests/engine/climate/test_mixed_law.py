"""The mixed law: its dates run in order, mix as they should, and rank as numpy ranks."""

import numpy as np
import pytest
from hypothesis import given, strategies as st
from scipy import stats

from maintenance.engine.climate.freeze_dates import CHANCES
from maintenance.engine.climate.mixed_law import (
    MixedLaw,
    day_at_chance,
    fit_mixed_law,
    ranked_day,
    standard_error,
)

NUMBERS = st.lists(st.one_of(st.none(), st.integers(20, 200)), min_size=1, max_size=60)
SEASONS = st.sampled_from(["fall", "spring"])


@given(NUMBERS)
def test_the_fit_is_that_of_numpy(numbers):
    law = fit_mixed_law(numbers)
    days = [number for number in numbers if number is not None]
    assert (law.n, law.n_with) == (len(numbers), len(days))
    if days:
        assert law.mean_day == pytest.approx(np.mean(days))
    if len(days) > 1:
        assert law.sd_day == pytest.approx(np.std(days, ddof=1), abs=1e-9)
    assert (law.mean_day is None) == (not days)
    assert (law.sd_day is None) == (len(days) < 2)


@given(NUMBERS, SEASONS)
def test_dates_run_in_the_order_of_their_chances(numbers, season):
    law = fit_mixed_law(numbers)
    for days in (
        [day_at_chance(law, chance / 100, season) for chance in CHANCES],
        [ranked_day(numbers, chance / 100, season) for chance in CHANCES],
    ):
        known = [day for day in days if day is not None]
        in_order = sorted(known, reverse=season == "spring")
        assert known == in_order


@given(NUMBERS, SEASONS, st.integers(1, 99))
def test_a_chance_above_the_share_of_seasons_has_no_date(numbers, season, percent):
    law = fit_mixed_law(numbers)
    day = day_at_chance(law, percent / 100, season)
    reached = percent * law.n < 100 * law.n_with
    assert (day is not None) == (reached and law.n_with > 1)
    assert (standard_error(law, percent / 100) is not None) == (day is not None)


@given(
    st.integers(2, 40),
    st.integers(0, 20),
    st.floats(1.0, 30.0),
    st.integers(1, 99),
    SEASONS,
)
def test_the_day_has_the_chance_that_was_asked_for(
    n_with, without, sd, percent, season
):
    law = MixedLaw(n_with + without, n_with, 80.0, sd)
    day = day_at_chance(law, percent / 100, season)
    if day is None:
        assert percent * (n_with + without) >= 100 * n_with
        return
    normal = stats.norm(80.0, sd)
    tail = normal.cdf(day) if season == "fall" else normal.sf(day)
    assert n_with / (n_with + without) * tail == pytest.approx(percent / 100, abs=1e-9)


@given(st.lists(st.integers(20, 200), min_size=9, max_size=60), SEASONS)
def test_ranks_are_weibulls_as_numpy_has_them(numbers, season):
    for chance in CHANCES:
        share = chance / 100 if season == "fall" else 1 - chance / 100
        expected = np.quantile(numbers, share, method="weibull")
        assert ranked_day(numbers, chance / 100, season) == pytest.approx(expected)


def test_seasons_without_a_freeze_rank_last_and_nothing_is_told_beyond_the_seasons():
    numbers = [10, 20, 30, 40, None, None, None, None, None]
    found = [ranked_day(numbers, chance / 100, "fall") for chance in CHANCES]
    assert found == [10, 20, 30, 40, None, None, None, None, None]
    found = [ranked_day(numbers, chance / 100, "spring") for chance in CHANCES]
    assert found == [40, 30, 20, 10, None, None, None, None, None]
    assert ranked_day([10, 20, 30], 0.1, "fall") is None
    assert ranked_day([10, 20, 30], 0.9, "fall") is None


def test_one_season_gives_a_mean_and_no_date():
    law = fit_mixed_law([60])
    assert law == MixedLaw(1, 1, 60.0, None)
    assert day_at_chance(law, 0.5, "fall") is None
