"""The night in three tracks: the cautious end is told and raises no level."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.climate.forecast_errors import (
    NightPair,
    default_errors,
    learn_errors,
)
from maintenance.engine.climate.outlook_report import outlook_as_json, why_level
from maintenance.engine.climate.outlook_warnings import outlook_warnings
from maintenance.engine.climate.site_outlook import site_outlook
from tests.engine.climate.test_site_outlook import (
    NOW,
    SITE,
    TODAY,
    by_part,
    forecast_of,
    outlook,
)


def night_of(coldest):
    return forecast_of([45.0] * 6 + [coldest] * 8 + [45.0] * 34)


def told(found):
    return {each.code: each.text for each in outlook_warnings(found)}


@settings(max_examples=15, deadline=None)
@given(st.floats(15.0, 45.0), st.floats(-4.0, 4.0), st.floats(0.0, 4.0))
def test_shares_grow_from_track_to_track_and_with_the_bias(coldest, bias, more):
    found = [
        by_part(outlook(night_of(coldest), errors=default_errors(-each)))
        for each in (bias, bias + more)
    ]
    for part, warm in found[0].items():
        if warm.tonight is None:
            continue
        assert warm.tonight.ice_fraction <= warm.tonight.ice_colder
        assert warm.tonight.ice_colder <= warm.tonight.ice_coldest
        cold = found[1][part]
        assert cold.tonight.ice_coldest >= warm.tonight.ice_coldest - 1e-9
        assert cold.alert.level >= warm.alert.level


def test_the_tracks_lie_one_and_1645_deviations_below():
    """By the forecast as given, they are the forecasts colder by as much."""
    sigma = 3.0
    whole = by_part(outlook(night_of(30.0)))["B1"].tonight
    for deviations, share in ((1.0, whole.ice_colder), (1.645, whole.ice_coldest)):
        colder = forecast_of(
            [d - deviations * sigma for d in [45.0] * 6 + [30.0] * 8 + [45.0] * 34]
        )
        night = by_part(outlook(colder))["B1"].tonight
        # The water begins as warm as by the forecast itself.
        assert share == pytest.approx(night.ice_fraction, abs=0.03)


def figures_of(found):
    return json.loads(json.dumps(outlook_as_json(found), allow_nan=False))["figures"]


def where_only_the_cautious_end_freezes():
    for tenths in range(300, 400):
        found = outlook(night_of(tenths / 10.0))
        night = by_part(found)["B1"].tonight
        if night.ice_colder == 0.0 and night.ice_coldest >= 0.01:
            return found
    raise AssertionError("no such night")


def test_the_cautious_end_alone_raises_no_level_and_is_told():
    found = where_only_the_cautious_end_freezes()
    b1 = by_part(found)["B1"]
    assert b1.tonight.ice_coldest >= 0.01
    assert b1.alert.level < 3
    assert "as cold as one in twenty" in why_level(b1, found)
    end = figures_of(found)["ice_at_the_cautious_end"]
    assert "raises no level" in end["method"]
    assert "B1" in {each["name"] for each in end["inputs"]}


def test_a_warm_night_says_nothing_of_a_cautious_end():
    found = outlook(forecast_of([70.0] * 48))
    assert "twenty" not in why_level(by_part(found)["B1"], found)
    assert figures_of(found)["ice_at_the_cautious_end"]["inputs"] == []


def test_without_a_night_to_follow_there_is_no_such_figure():
    figures = figures_of(site_outlook(SITE, NOW, TODAY))
    assert set(figures) == {"chance_to_act_at"}


def test_what_a_site_has_learnt_or_somebody_stated_is_never_silent():
    forecast = night_of(40.0)
    assert not {"forecast_offset", "forecast_bias"} & set(told(outlook(forecast)))
    stated = outlook(forecast, errors=default_errors(-2.0 / 1.8))
    assert "counts as 2.0 °F too warm" in told(stated)["forecast_offset"]
    pairs = [NightPair(1, 281.0 + 0.1 * (n % 30), 280.0) for n in range(60)]
    own = learn_errors([*pairs, NightPair(9, 280.0, 280.0)])
    found = outlook(forecast, errors=own)
    assert "In 60 nights here" in told(found)["forecast_bias"]
    assert "too warm in the mean" in told(found)["forecast_bias"]
    assert "nights_left_out" in told(found)
    assumptions = figures_of(found)["chance_to_act_at"]["assumptions"]
    assert "learnt at this site for day 1, assumed beyond" in assumptions[-1]
    every = replace(own, learnt=(True,) * 7)
    figures = figures_of(outlook(forecast, errors=every))
    assert figures["chance_to_act_at"]["assumptions"][-1].endswith("at this site")


def test_a_forecast_known_to_run_warm_calls_the_crew_sooner():
    forecast = forecast_of([50.0] * 48 + [35.0] * 24 + [50.0] * 96)
    pairs = [NightPair(3, 282.0 + 0.1 * (n % 20), 280.0) for n in range(60)]
    assert outlook(forecast).advice.act == "wait"
    own = outlook(forecast, errors=learn_errors(pairs))
    assert own.advice.act == "shut_down"
