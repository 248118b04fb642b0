"""What waiting costs: chances rise, water is kept, and the best day weighs them."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.mixed_law import chance_by, fit_mixed_law
from maintenance.engine.climate.part_dates import PartDates
from maintenance.engine.climate.waiting import part_waiting, site_waiting
from maintenance.engine.errors import EngineError, InputError
from tests.engine.climate.test_kept_dates import fresh
from tests.engine.climate.test_site_outlook import SITE

AUGUST = date(2026, 8, 1)
NUMBERS = tuple(range(50, 91, 2))
DATES = PartDates({}, {}, NUMBERS)
WORTH = (5.0, 900.0, 0.8)
TWO_WINTERS = st.lists(st.integers(30, 120), min_size=2, max_size=30)


def by_part_dates(dates, today, **other):
    return part_waiting("B1", dates, today, **other)


def by_site(site, dates, today, **other):
    return site_waiting(site, dates, today, **other)


def test_each_row_is_a_day_with_what_past_seasons_say_of_the_days_before_it():
    found = by_part_dates(DATES, AUGUST)
    law = fit_mixed_law(NUMBERS)
    row = found.rows[60]
    assert (row.day, row.watering_days) == (date(2026, 9, 30), 60)
    assert row.chance == pytest.approx(float(chance_by(law, 59)), abs=1e-6)
    assert found.rows[0].chance == 0.0
    assert [b.day - a.day for a, b in pairwise(found.rows)] == [timedelta(days=1)] * (
        len(found.rows) - 1
    )


def test_without_a_worth_there_are_chances_and_days_and_no_money():
    found = by_part_dates(DATES, AUGUST)
    assert {row.expected_cost for row in found.rows} == {None}
    assert found.best is None
    assert any("no costs are given" in text for text in found.told)


@given(TWO_WINTERS, st.integers(0, 100))
def test_chances_never_fall_and_begin_at_none(numbers, days):
    found = by_part_dates(
        PartDates({}, {}, tuple(numbers)), AUGUST + timedelta(days=days)
    )
    chances = [row.chance for row in found.rows]
    assert chances == sorted(chances)
    assert not chances or (chances[0] == 0.0 and chances[-1] <= 1.0)


@given(st.floats(0.5, 50.0), st.floats(10.0, 5000.0), st.floats(1.1, 5.0))
def test_dearer_damage_never_shuts_down_later_nor_dearer_water_sooner(v, cost, more):
    def best(value, damage):
        found = by_part_dates(DATES, AUGUST, worth=(value, damage, 0.5))
        return found.best

    assert best(v, cost * more) <= best(v, cost) <= best(v * more, cost)


def test_a_season_so_far_without_frost_gives_the_days_ahead_their_own_odds():
    """On the mean day half of the seasons are past: the rest speak alone."""
    today = AUGUST + timedelta(days=70)
    found = by_part_dates(DATES, today)
    law = fit_mixed_law(NUMBERS)
    before, by = (float(chance_by(law, day)) for day in (69, 79))
    assert found.rows[10].chance == pytest.approx((by - before) / (1.0 - before))


def test_when_the_frost_has_nearly_always_come_there_is_nothing_to_wait_for():
    for today in (date(2026, 12, 1), date(2027, 3, 1)):
        found = by_part_dates(DATES, today, worth=WORTH)
        assert (found.rows, found.best) == ((), None)
        assert "nothing to wait for" in found.told[0]


def test_from_june_on_the_table_is_that_of_next_autumn():
    found = by_part_dates(DATES, date(2026, 7, 1))
    assert (found.rows[0].day, found.rows[0].watering_days) == (AUGUST, 31)


def test_water_that_turf_no_longer_asks_for_is_no_reason_to_wait():
    shares = np.ones(365)
    shares[273:] = 0.0  # from 1 October on the turf rests
    resting = by_part_dates(DATES, AUGUST, worth=(50.0, 900.0, 0.8), shares=shares)
    plain = by_part_dates(DATES, AUGUST, worth=(50.0, 900.0, 0.8))
    assert resting.best == date(2026, 10, 1) < plain.best


def test_where_waiting_always_pays_that_is_told():
    found = by_part_dates(DATES, AUGUST, worth=(900.0, 10.0, 0.0))
    assert found.best == found.rows[-1].day
    assert "check them" in found.told[-1]


def test_the_site_goes_by_the_part_that_freezes_first_and_its_sun():
    found = by_site(SITE, fresh(), AUGUST, worth=WORTH)
    assert found.part in {"PK5", "PA1", "B1"}
    assert any("FAO-56" in text and "Rain" in text for text in found.told)
    nowhere = replace(SITE, place=replace(SITE.place, latitude=None))
    told = by_site(nowhere, fresh(), AUGUST, worth=WORTH).told
    assert any("latitude of the site is not recorded" in text for text in told)
    bare = replace(fresh(), usual=None)
    told = by_site(SITE, bare, AUGUST, worth=WORTH).told
    assert any("no maxima" in text for text in told)
    assert by_site(SITE, replace(fresh(), dates={}), AUGUST) is None


def test_amounts_that_cannot_be_and_too_few_freezes_are_refused():
    with pytest.raises(InputError, match="write an amount above 0"):
        by_part_dates(DATES, AUGUST, worth=(5.0, 0.0, 0.8))
    with pytest.raises(EngineError, match="longer record"):
        by_part_dates(PartDates({}, {}, (60, None)), AUGUST)
