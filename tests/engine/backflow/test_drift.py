"""Drift: a robust line since the last repair, and a warning in good time."""

from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations
from statistics import median

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.backflow.drift import PastTest, trends
from maintenance.engine.backflow.readings import State
from tests.engine.backflow.field_readings import FORM, with_use

NEXT = date(2026, 4, 15)


def on_day(year, check_1, *, relief=None, serial="A-1", after_repair=False, month=4):
    readings = {"check_1": check_1 if isinstance(check_1, State) else Decimal(check_1)}
    if relief is not None:
        readings["relief"] = Decimal(relief)
    return PastTest(
        on=date(year, month, 15),
        serial=serial,
        readings=readings,
        after_repair=after_repair,
    )


def check_1(*tests, next_due=NEXT, criteria=FORM):
    found = [t for t in trends("RP", tests, criteria, next_due) if t.key == "check_1"]
    return found[0] if found else None


FALLING = [
    on_day(2022 + n, text) for n, text in enumerate(["8.0", "7.4", "6.8", "6.2"])
]


def test_a_steady_fall_is_told_with_its_pace_and_its_number_of_tests():
    trend = check_1(*FALLING)
    assert trend.n == 4
    assert trend.slope_per_year == pytest.approx(-0.6, abs=0.001)
    assert trend.at_next == pytest.approx(5.6, abs=0.01)
    assert not trend.warns
    assert trend.text == (
        "Check valve 1, 4 tests since 2022-04-15: falling 0.60 psid a year, last "
        "6.2 psid, limit 5.0 psid. Carried on beyond these tests to the next one, due "
        "2026-04-15, it would read about 5.6 psid: an extrapolation, not a reading."
    )
    assert trend.meets_limit_on == date(2027, 4, 15)


def test_a_line_that_meets_its_limit_before_the_next_test_warns():
    trend = check_1(*FALLING, next_due=date(2027, 10, 1))
    assert trend.warns
    assert "meet its limit before then, about 2027-04-15: an extrapol" in trend.text


def test_a_line_that_comes_within_what_a_gauge_may_err_warns():
    at = [check_1(*FALLING, next_due=date(2027, 4, 15) - timedelta(days=d))
          for d in (10, 120, 125)]  # fmt: skip
    assert [trend.warns for trend in at] == [True, True, False]
    assert "the 0.2 psid by which a gauge may err" in at[1].text
    assert "extrapolation" in at[1].text


def test_a_last_reading_within_what_a_gauge_may_err_warns_though_steady():
    near = [on_day(year, "5.2") for year in (2023, 2024, 2025)]
    trend = check_1(*near)
    assert trend.warns
    assert trend.meets_limit_on is None
    assert "steady" in trend.text
    assert not check_1(*[on_day(y, "5.3") for y in (2023, 2024, 2025)]).warns


def test_fewer_than_three_tests_make_no_line():
    assert check_1(*FALLING[:2]) is None
    assert check_1() is None
    same_day = on_day(2023, "7.0")
    assert check_1(on_day(2022, "8.0"), same_day, same_day) is None
    gap = [*FALLING[:2], on_day(2024, State.UNREADABLE)]
    assert check_1(*gap) is None


def test_only_the_assembly_that_was_tested_last_counts():
    old = [on_day(year, "9.0", serial="OLD") for year in (2018, 2019, 2020, 2021)]
    assert check_1(*old, *FALLING).n == 4
    assert check_1(*old, FALLING[0]) is None
    assert check_1(*[on_day(y, "7.0", serial=" ") for y in range(2020, 2025)]) is None


def test_a_repair_begins_the_series_anew():
    repaired = [
        *FALLING,
        on_day(2025, "8.1", after_repair=True),
        on_day(2025, "8.0", month=7),
        on_day(2025, "7.9", month=10),
    ]
    trend = check_1(*repaired)
    assert (trend.n, trend.first) == (3, date(2025, 4, 15))
    assert trend.latest == Decimal("7.9")


def test_of_two_on_one_day_the_one_after_the_repair_is_the_later():
    repaired = on_day(2024, "8.1", after_repair=True)
    later = [on_day(2025, "8.0"), on_day(2026, "7.9")]
    for failed_first in (
        [on_day(2024, "4.0"), repaired],
        [repaired, on_day(2024, "4.0")],
    ):
        trend = check_1(*FALLING[:2], *failed_first, *later, next_due=None)
        assert trend.n == 3
        assert trend.slope_per_year == pytest.approx(-0.1, abs=0.001)


def test_a_last_reading_near_its_limit_warns_whatever_the_line_says():
    high = [on_day(year, "8.0") for year in (2021, 2022, 2023, 2024)]
    trend = check_1(*high, on_day(2025, "5.1"))
    assert trend.at_next == pytest.approx(8.0)
    assert trend.warns
    assert "The last reading itself" in trend.text


def test_one_odd_reading_does_not_turn_the_line():
    odd = [*FALLING[:2], on_day(2024, "12.0"), FALLING[3], on_day(2026, "5.6")]
    assert check_1(*odd, next_due=None).slope_per_year == pytest.approx(-0.6, abs=0.01)


def test_the_buffer_has_a_trend_of_its_own():
    tests = [
        on_day(2022 + n, "7.0", relief=text)
        for n, text in enumerate(["2.5", "2.9", "3.3"])
    ]
    (buffer,) = [t for t in trends("RP", tests, FORM, NEXT) if t.key == "buffer"]
    assert buffer.latest == Decimal("3.7")
    assert buffer.slope_per_year == pytest.approx(-0.4, abs=0.001)
    assert buffer.text.startswith("Buffer (check valve 1 less relief valve opening), 3")


def test_a_limit_that_is_not_used_and_a_day_unknown_make_no_outlook():
    assert check_1(*FALLING, criteria=with_use("RP", "check_1", "not used")) is None
    trend = check_1(*FALLING, next_due=None)
    assert trend.at_next is None
    assert "Carried" not in trend.text


READ = st.decimals(min_value=5, max_value=12, places=1)


@given(st.lists(READ, min_size=3, max_size=8), st.randoms())
def test_the_slope_is_the_median_of_the_slopes_of_all_pairs(values, random):
    tests = [on_day(2010 + n, value) for n, value in enumerate(values)]
    by_hand = median(
        float(b.readings["check_1"] - a.readings["check_1"])
        / ((b.on - a.on).days / 365.25)
        for a, b in combinations(tests, 2)
    )
    shuffled = random.sample(tests, len(tests))
    assert check_1(*tests).slope_per_year == pytest.approx(by_hand, abs=1e-9)
    assert check_1(*shuffled) == check_1(*tests)


@given(st.lists(READ, min_size=3, max_size=6), st.integers(1, 30))
def test_a_lower_series_never_loses_its_warning(values, tenths):
    high = check_1(*[on_day(2015 + n, v) for n, v in enumerate(values)])
    less = Decimal(tenths) / 10
    low = check_1(*[on_day(2015 + n, v - less) for n, v in enumerate(values)])
    assert low.warns or not high.warns
