"""Levels and advice: colder is never calmer, a slower crew is never called later."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.alert import (
    Alert,
    Seen,
    Terms,
    alert_level,
    call_now,
    lead_chances,
    next_alert,
    stated_terms,
)
from maintenance.engine.climate.forecast_errors import at_age, default_errors
from maintenance.engine.climate.outlook import advise
from maintenance.engine.errors import InputError
from tests.engine.climate.made_series import degf

TODAY = date(2026, 10, 5)
FORECASTS = st.lists(st.floats(-10.0, 60.0), min_size=7, max_size=7)
CHANCES = st.lists(st.floats(0.0, 1.0) | st.just(float("nan")), min_size=7, max_size=7)
SHARES = st.none() | st.floats(0.0, 1.0)


def chances_of(degrees, age_s=0.0):
    errors = at_age(default_errors(), age_s)
    return lead_chances(np.array([degf(d) for d in degrees]), degf(28.0), errors)


@given(
    FORECASTS, st.floats(0.0, 30.0), st.integers(0, 6), st.booleans(),
    st.floats(0.0, 129600.0),
)  # fmt: skip
def test_a_colder_forecast_never_lowers_the_level(degrees, colder, crew, watched, age):
    terms = Terms(crew_days=crew)
    before = Seen(chances=chances_of(degrees, age))
    after = Seen(chances=chances_of([d - colder for d in degrees], age))
    assert alert_level(after, terms, watched=watched) >= alert_level(
        before, terms, watched=watched
    )


@given(SHARES, SHARES, st.floats(0.0, 1.0), CHANCES, st.booleans())
def test_more_ice_never_lowers_the_level(ice, colder, more, chances, near):
    def level(extra):
        shares = [None if s is None else min(1.0, s + extra) for s in (ice, colder)]
        seen = Seen(
            chances=np.array(chances),
            ice=shares[0],
            ice_colder=shares[1],
            date_near=near,
        )
        return alert_level(seen, Terms())

    assert level(more) >= level(0.0)


@given(CHANCES, st.integers(0, 5), st.floats(0.01, 1.0))
def test_a_crew_that_takes_longer_is_never_called_later(chances, crew, act_at):
    def act(days):
        terms = Terms(crew_days=days, act_at=act_at)
        return advise(TODAY, terms, np.array(chances), None, ()).act

    if act(crew) == "shut_down":
        assert act(crew + 1) == "shut_down"


@given(st.integers(-40, 40), st.integers(0, 5))
def test_without_a_forecast_a_longer_crew_is_never_called_later(ahead, crew):
    planning = TODAY + timedelta(days=ahead)

    def act(days):
        return advise(TODAY, Terms(crew_days=days), None, planning, ()).act

    assert (act(crew), act(crew + 1)) != ("shut_down", "wait")
    assert (act(crew) == "shut_down") == (ahead <= crew)


@pytest.mark.parametrize(
    ("seen", "level"),
    [
        (Seen(), 0),
        (Seen(chances=np.array([0.0] * 6 + [0.04])), 0),
        (Seen(chances=np.array([0.0] * 6 + [0.05])), 1),
        (Seen(chances=np.array([np.nan] * 7), date_near=True), 1),
        (Seen(chances=np.array([0.0] * 3 + [0.9] * 4)), 1),
        (Seen(chances=np.array([0.0] * 2 + [0.1] + [0.0] * 4)), 2),
        (Seen(ice=0.0, ice_colder=0.01), 3),
        (Seen(ice=0.01, ice_colder=0.9), 3),
        (Seen(ice=0.5, ice_colder=0.9), 4),
    ],
)
def test_each_level_begins_where_it_is_said_to(seen, level):
    assert alert_level(seen, Terms(crew_days=2)) == level


def test_a_watch_ends_only_below_the_lower_chance():
    for chance, level in ((0.03, 1), (0.019, 0)):
        seen = Seen(chances=np.full(7, chance))
        assert alert_level(seen, Terms(), watched=True) == level
        assert alert_level(seen, Terms(), watched=False) == 0


def test_the_level_rises_at_once_and_falls_after_two_forecasts_in_a_row():
    shown, alert = [], None
    for found in (0, 3, 1, 3, 1, 0, 0, 2):
        alert = next_alert(alert, found)
        shown.append(alert.level)
    assert shown == [0, 3, 3, 3, 3, 1, 0, 2]


@given(st.lists(st.integers(0, 4), min_size=1, max_size=20))
def test_the_level_shown_is_never_below_what_was_found_last(found):
    before = next_alert(None, found[0])
    assert before.level == found[0]
    for each in found[1:]:
        after = next_alert(before, each)
        assert after.level >= each
        if after.level < before.level:
            assert max(before.found, each) < before.level
            assert after.level == max(before.found, each)
        before = after


def test_only_nights_that_cannot_wait_call_the_crew():
    chances = np.array([0.0, 0.0, 0.0, 0.9, 0.9, 0.9, 0.9])
    assert not call_now(chances, Terms(crew_days=2))
    assert call_now(chances, Terms(crew_days=3))
    waiting = advise(TODAY, Terms(crew_days=2), chances, None, ())
    assert (waiting.act, waiting.shutdown_by) == ("wait", date(2026, 10, 8))
    assert "Call it by 6 Oct" in waiting.reason
    called = advise(TODAY, Terms(crew_days=3), chances, None, ())
    assert (called.act, called.shutdown_by) == ("shut_down", date(2026, 10, 8))


def test_ice_tonight_comes_before_all_else():
    advice = advise(TODAY, Terms(), np.zeros(7), None, ("B1", "Q1"))
    assert (advice.act, advice.shutdown_by) == ("drain_exposed", TODAY)
    assert "in B1, Q1:" in advice.reason


def test_a_quiet_forecast_moves_the_day_beyond_its_own_end():
    quiet = np.array([0.0] * 5 + [np.nan] * 2)
    for planning, by in (
        (date(2026, 10, 1), date(2026, 10, 10)),
        (date(2026, 10, 20), date(2026, 10, 20)),
        (None, None),
    ):
        advice = advise(TODAY, Terms(), quiet, planning, ())
        assert (advice.act, advice.shutdown_by) == ("wait", by)


def test_nothing_known_gives_no_advice():
    advice = advise(TODAY, Terms(), np.full(7, np.nan), None, ())
    assert (advice.act, advice.shutdown_by) == ("none", None)
    assert "Nothing is known of the weather" in advice.reason


def test_what_a_person_states_replaces_the_defaults():
    stated = stated_terms(4, (5.0, 400.0, 0.8))
    assert stated.crew_days == 4
    assert stated.act_at == pytest.approx(0.0625)
    assert stated.assumed == ()
    assert stated_terms(None, None) == Terms()
    assert len(Terms().assumed) == 2
    with pytest.raises(InputError, match="write 0 to 6"):
        stated_terms(7, None)


def test_an_alert_keeps_what_the_last_forecast_gave():
    assert next_alert(Alert(4, 4), 0) == Alert(4, 0)
