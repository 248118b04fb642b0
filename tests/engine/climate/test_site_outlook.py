"""The outlook of a site: each part by what reaches it, the forecast by days from now."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.climate.alert import Alert
from maintenance.engine.climate.forecast import Forecast, days_ahead, forecast_age
from maintenance.engine.climate.outlook_report import outlook_as_json, why_level
from maintenance.engine.climate.outlook_warnings import outlook_warnings
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.climate.site_outlook import site_outlook
from maintenance.exchange.site_file import read_site
from tests.engine.climate.made_series import degf
from tests.reference.climate_records import FOLDER

SITE = read_site((FOLDER.parent / "demo" / "larkmoor.json").read_bytes())
NOW = datetime(2026, 10, 5, 18, 30, tzinfo=UTC)
BEGIN = NOW.replace(minute=0)
TODAY = date(2026, 10, 5)


def forecast_of(degrees, *, wind=1.0, sky=0.0, begin=BEGIN):
    air = np.array([degf(d) for d in degrees])
    return Forecast(
        begin=begin,
        temperature_k=air,
        wind_m_per_s=np.full(len(air), wind),
        sky_cover=np.full(len(air), sky),
        issued_at=begin,
        source="made",
    )


def outlook(forecast, **other):
    return site_outlook(SITE, NOW, TODAY, forecast=forecast, **other)


def by_part(found):
    return {each.part.part: each for each in found.parts}


def codes(found):
    return {each.code for each in outlook_warnings(found)}


def test_days_run_from_this_hour_and_hold_every_hour_once():
    forecast = forecast_of(range(-4, 164), begin=NOW - timedelta(hours=4, minutes=30))
    days = days_ahead(forecast, NOW)
    assert (days.minimum_k * 1.8 - 459.67).tolist()[:3] == pytest.approx([0, 24, 48])
    assert (days.mean_k * 1.8 - 459.67).tolist()[:2] == pytest.approx([11.5, 35.5])
    assert days.hours.tolist() == [24.0] * 6 + [20.0]
    assert forecast_age(forecast, NOW) == 4.5 * 3600.0
    assert forecast_age(forecast, NOW - timedelta(days=1)) == 0.0


def test_an_hour_that_is_unknown_is_never_the_coldest():
    degrees = [40.0] * 24 + [np.nan] * 24 + [30.0] * 24
    days = days_ahead(forecast_of(degrees), NOW)
    assert np.isnan(days.minimum_k).tolist() == [False, True, False] + [True] * 4
    assert days.hours.tolist()[:4] == [24.0, 0.0, 24.0, 0.0]


@settings(max_examples=15, deadline=None)
@given(
    st.lists(st.floats(15.0, 55.0), min_size=48, max_size=48),
    st.floats(0.0, 20.0),
    st.floats(0.0, 5.0),
)
def test_a_colder_forecast_never_lowers_the_level_of_a_part(degrees, colder, wind):
    warm = by_part(outlook(forecast_of(degrees, wind=wind)))
    cold = by_part(outlook(forecast_of([d - colder for d in degrees], wind=wind)))
    for part, each in warm.items():
        assert cold[part].alert.level >= each.alert.level


def test_a_hard_night_freezes_what_stands_out_and_nothing_in_the_ground():
    found = outlook(forecast_of([40.0] * 6 + [10.0] * 42))
    parts = by_part(found)
    assert parts["B1"].alert.level == 4
    assert parts["B1"].tonight.first_ice_s > 5 * 3600.0  # not before the cold comes
    assert parts["B1"].tonight.half_frozen_s > parts["B1"].tonight.first_ice_s
    assert parts["PM1"].tonight is None
    assert parts["PM1"].alert.level == 0
    assert found.advice.act == "drain_exposed"
    assert "Half of its water may be ice in" in why_level(parts["B1"], found)


def test_times_are_counted_from_now_and_not_from_the_full_hour():
    degrees = [40.0] * 6 + [10.0] * 42
    late = by_part(outlook(forecast_of(degrees)))["B1"].tonight
    early = site_outlook(SITE, BEGIN, TODAY, forecast=forecast_of(degrees))
    sooner = by_part(early)["B1"].tonight
    assert sooner.first_ice_s - late.first_ice_s == pytest.approx(1800.0)


def test_a_warm_week_is_calm_and_waits():
    found = outlook(forecast_of([60.0] * 168))
    assert {each.alert.level for each in found.parts} == {0}
    assert (found.advice.act, found.advice.shutdown_by) == ("wait", None)


def test_a_level_is_held_until_two_forecasts_agree():
    warm = forecast_of([60.0] * 168)
    held = by_part(outlook(warm, before={"B1": Alert(3, 3)}))["B1"]
    assert held.alert == Alert(3, 0)
    assert "held until another forecast agrees" in why_level(held, outlook(warm))
    down = by_part(outlook(warm, before={"B1": held.alert}))["B1"]
    assert down.alert == Alert(0, 0)


@pytest.mark.parametrize("hours", [36.5, 200.0])
def test_a_forecast_too_old_or_past_counts_as_none(hours):
    begin = NOW - timedelta(hours=hours)
    forecast = forecast_of([10.0] * 168, begin=begin)
    if hours == 200.0:
        forecast = replace(forecast, issued_at=NOW)
    found = outlook(forecast)
    assert not found.trusted
    assert found.age_s == forecast_age(forecast, NOW)
    assert found.advice.act == "none"
    assert {each.tonight for each in found.parts} == {None}
    assert "forecast_too_old" in codes(found)


def test_an_hour_that_is_unknown_is_told_and_takes_the_colder_neighbour():
    degrees = np.array([40.0] * 6 + [10.0] * 42)
    whole = by_part(outlook(forecast_of(degrees)))["B1"].tonight
    degrees[5:8] = np.nan
    found = outlook(forecast_of(degrees))
    assert by_part(found)["B1"].tonight.first_ice_s < whole.first_ice_s
    told = {each.code: each.text for each in outlook_warnings(found)}
    assert "no temperature for 3 of the next 24 hours" in told["forecast_gaps"]
    degrees[:20] = np.nan
    lost = outlook(forecast_of(degrees))
    assert by_part(lost)["B1"].tonight is None
    assert by_part(lost)["B1"].alert.level >= 2


def test_what_a_forecast_leaves_out_is_told_as_assumed():
    bare = forecast_of([35.0] * 48, wind=np.nan, sky=np.nan)
    told = codes(outlook(replace(bare, issued_at=None)))
    assert {"wind_unknown", "sky_unknown", "issue_time_unknown"} <= told
    assert {"soil_assumed", "depth_unknown", "parts_assumed", "no_record"} <= told
    stated = codes(outlook(forecast_of([35.0] * 48)))
    assert not {"wind_unknown", "sky_unknown", "issue_time_unknown"} & stated


@pytest.mark.parametrize(
    ("today", "begin", "number"),
    [
        (date(2026, 8, 1), 2026, 0),
        (date(2026, 7, 31), 2026, -1),
        (date(2027, 5, 30), 2026, 302),
        (date(2027, 5, 31), 2027, -62),
    ],
)
def test_a_day_looks_to_the_winter_that_is_near(today, begin, number):
    assert season_day(today) == (date(begin, 8, 1), number)


def test_the_json_is_strict_and_a_part_that_stays_free_of_ice_has_no_times():
    found = outlook(forecast_of([40.0] * 6 + [np.nan] * 3 + [45.0] * 39))
    told = json.loads(json.dumps(outlook_as_json(found), allow_nan=False))
    assert told["format"] == "freeze/1"
    nights = [each["tonight"] for each in told["parts"] if each["tonight"]]
    assert len(nights) == sum(each.part.thermal is not None for each in found.parts)
    assert all(
        night == {"first_ice_s": None, "half_frozen_s": None, "ice_fraction": 0.0}
        for night in nights
    )
