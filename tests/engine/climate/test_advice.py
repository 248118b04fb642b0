"""The forecast rule: chances, the chance worth acting on, and whom it makes work."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.advice import (
    HALF_DEGF_K,
    chance_at_or_below,
    chance_worth_acting_on,
    is_last_chance,
)
from maintenance.engine.climate.backtest import back_test, back_test_as_json
from maintenance.engine.climate.fixed_dates import try_fixed_dates
from maintenance.engine.climate.forecast_errors import DEFAULT_SIGMA_K
from maintenance.engine.errors import InputError
from tests.engine.climate.made_series import degf, series_of

DEGREES = st.floats(-20.0, 60.0)


@given(DEGREES, DEGREES, st.integers(1, 7))
def test_a_colder_forecast_is_never_less_likely_to_freeze(one, other, lead):
    colder, warmer = sorted((degf(one), degf(other)))
    chance = [
        float(chance_at_or_below(each, degf(28.0), DEFAULT_SIGMA_K[lead - 1]))
        for each in (colder, warmer)
    ]
    assert 0.0 <= chance[1] <= chance[0] <= 1.0


def test_a_forecast_that_runs_warm_raises_the_chance():
    plain = chance_at_or_below(degf(33.0), degf(28.0), DEFAULT_SIGMA_K[1])
    warm = chance_at_or_below(degf(33.0), degf(28.0), DEFAULT_SIGMA_K[1], bias_k=1.0)
    assert float(warm) > float(plain)


def test_whole_degrees_count_up_to_the_next_half():
    on_the_edge = chance_at_or_below(degf(28.5), degf(28.0), 1.0)
    assert float(on_the_edge) == pytest.approx(0.5)
    assert pytest.approx(0.5 / 1.8) == HALF_DEGF_K


@pytest.mark.parametrize(
    ("value", "cost", "saved", "chance"),
    [(5, 400, 0.0, 0.0125), (5, 400, 0.8, 0.0625), (2, 1500, 0.5, 1 / 375)],
)
def test_the_chance_worth_acting_on_is_value_over_what_is_lost(
    value, cost, saved, chance
):
    assert chance_worth_acting_on(value, cost, saved) == pytest.approx(chance)


@pytest.mark.parametrize(
    ("value", "cost", "saved"),
    [(0, 400, 0.5), (5, 0, 0.5), (5, 400, 1.0), (5, 400, -0.1), (float("nan"), 4, 0)],
)
def test_amounts_that_cannot_be_are_refused(value, cost, saved):
    with pytest.raises(InputError, match="; write"):
        chance_worth_acting_on(value, cost, saved)


def test_an_unknown_night_is_no_reason_to_act():
    assert not is_last_chance([0.05, float("nan")], 0.1)
    assert is_last_chance([[0.05, float("nan")], [0.1, 0.0]], 0.1).tolist() == [
        False,
        True,
    ]


def test_fixed_dates_are_judged_by_the_other_seasons():
    # Ten seasons on day 70 but one: the others' date is 70, whatever the chance.
    numbers = [70] * 9 + [60]
    (half,) = try_fixed_dates(numbers, "fall", [0.5])
    # 60 fails (70 planned). Each 70 is judged by eight 70 and one 60: planned 69.
    assert (half.failures, half.seasons, half.days) == (1, 10, 0.0)
    (spring,) = try_fixed_dates(numbers, "spring", [0.5])
    # Start on 69 is before a last freeze on 70: nine fail; 60 is waited for till 70.
    assert (spring.failures, spring.days) == (9, 9.0)
    assert spring.failure_share == 0.9


def test_a_chance_never_reached_gives_no_date_and_so_each_freeze_fails():
    (half,) = try_fixed_dates([60, 62, 61, *[None] * 7], "fall", [0.5])
    assert (half.failures, half.seasons, half.days) == (3, 10, None)


def years_with_a_freeze_on(day_of_fall: int, years: int = 8):
    first = date(2001, 8, 1)
    minima = [55.0] * (366 * years)
    for year in range(2001, 2001 + years):
        night = (date(year, 8, 1) + timedelta(days=day_of_fall) - first).days
        minima[night] = 20.0
    return series_of(minima[: 365 * years + years // 4], first=first)


def tried(series, crew_days=2, told=None):
    rng = np.random.default_rng(3)
    return back_test(
        series, degf(28.0), crew_days=crew_days, repeats=10, rng=rng, told=told
    )


def test_a_freeze_out_of_a_warm_sky_is_seen_on_the_last_chance_and_no_sooner():
    result = tried(years_with_a_freeze_on(80))
    for trial in result.last_chance:
        # Worked on the day before it: 8 °F below the threshold is seen at lead 3.
        assert (trial.failures, trial.days) == (0, pytest.approx(0.0, abs=0.2))


def test_the_same_draw_gives_the_same_answer_and_progress_counts_seasons():
    series = years_with_a_freeze_on(80)
    steps: list[tuple[int, int]] = []
    one = tried(series, told=lambda done, total: steps.append((done, total)))
    other = tried(series)
    assert one == other
    assert steps == [(n, 8) for n in range(1, 9)]
    told = back_test_as_json(one)
    assert told["format"] == "freeze_backtest/1"
    assert [row["at"] for row in told["fixed_spring"]] == [0.5, 0.2, 0.1, 0.05]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("series", "asked", "sentence"),
    [
        (years_with_a_freeze_on(80), {"crew_days": 7}, "write 0 to 6"),
        (years_with_a_freeze_on(80, years=3), {}, "needs 5, so give a longer record"),
    ],
)
def test_what_cannot_be_tried_is_refused(series, asked, sentence):
    with pytest.raises(InputError, match=sentence):
        tried(series, **asked)
