"""Freeze statistics of whole records, to the digit.

The figures were computed apart, by a prototype that shares no code with the engine,
from the same records; dates by normal fit, whole °F, at or below.
"""

from datetime import date

import numpy as np
import pytest

from maintenance.engine.climate.degrees import at_or_below, kelvin_of
from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.mixed_law import MixedLaw, standard_error
from maintenance.engine.climate.report import freeze_dates_as_json
from maintenance.engine.climate.seasons import season_events
from tests.reference.climate_records import degf, record

pytestmark = pytest.mark.reference

FALL = [
    ("champion", 36, 36, 50.56, 6.95, "09-06 09-12 09-15 09-21 09-26 09-29 10-07"),
    ("champion", 32, 36, 56.25, 9.04, "09-07 09-15 09-19 09-26 10-04 10-08 10-13"),
    ("champion", 28, 36, 67.06, 8.50, "09-20 09-26 09-30 10-07 10-14 10-18 10-23"),
    ("champion", 24, 36, 76.56, 9.94, "09-21 10-04 10-08 10-17 10-25 10-29 11-02"),
    ("champion", 20, 36, 83.83, 11.90, "09-30 10-09 10-14 10-24 11-03 11-08 11-19"),
    ("champion", 16, 36, 93.47, 13.15, "09-30 10-17 10-22 11-02 11-14 11-19 11-21"),
    ("cambridge", 28, 29, 125.66, 19.44, "10-29 11-10 11-19 12-05 12-23 01-02 01-23"),
]


def seen(name, threshold_degf, season="fall", years=None):
    found = freeze_dates(record(name).series, degf(threshold_degf), season, years=years)
    return found, freeze_dates_as_json(found, record(name))


@pytest.mark.parametrize(("name", "threshold", "n_with", "mean", "sd", "days"), FALL)
def test_first_freezes_of_fall(name, threshold, n_with, mean, sd, days):
    found, told = seen(name, threshold)
    assert told["n_with"] == n_with
    assert told["mean_day"] == pytest.approx(mean, abs=0.005)
    assert told["sd_day"] == pytest.approx(sd, abs=0.005)
    earliest, *fitted, latest = days.split()
    assert [told["dates"][key] for key in ("10", "20", "50", "80", "90")] == fitted
    with_freeze = sorted((e.number, e.day) for e in found.events if e.day is not None)
    assert f"{with_freeze[0][1]:%m-%d}" == earliest
    assert f"{with_freeze[-1][1]:%m-%d}" == latest


def test_a_shorter_span_of_champion_has_its_own_dates():
    _, told = seen("champion", 28, years=(1988, 2017))
    assert (told["n"], told["n_with"]) == (30, 30)
    assert (round(told["mean_day"], 2), round(told["sd_day"], 2)) == (68.00, 8.29)
    dates = [told["dates"][key] for key in ("10", "20", "50", "80", "90")]
    assert dates == ["09-27", "10-01", "10-08", "10-15", "10-19"]


def test_last_freeze_of_spring_at_champion():
    _, told = seen("champion", 28, "spring")
    assert told["years"] == [1983, 2018]
    assert (told["n"], told["n_with"]) == (36, 36)
    assert told["mean_day"] == pytest.approx(119.08, abs=0.005)
    assert told["sd_day"] == pytest.approx(11.39, abs=0.005)
    dates = [told["dates"][key] for key in ("10", "50", "90")]
    assert dates == ["05-14", "04-29", "04-14"]


def events(name, threshold, years):
    found = season_events(record(name).series, degf(threshold), "fall", years)
    return {event.season: event for event in found}


def test_first_days_of_single_seasons_at_champion():
    found = events("champion", 28, (1982, 2018))
    days = {
        1982: (10, 11), 1985: (9, 26), 1995: (9, 22), 2000: (10, 6), 2009: (10, 2),
        2012: (10, 6), 2018: (10, 10),
    }  # fmt: skip
    assert {year: found[year].day for year in days} == {
        year: date(year, *day) for year, day in days.items()
    }


def test_first_days_of_single_seasons_at_seattle():
    found = events("seattle", 32, (2012, 2015))
    assert [event.day for event in found.values()] == [
        date(2012, 11, 10), date(2013, 11, 21), date(2014, 11, 12), date(2015, 11, 23),
    ]  # fmt: skip


def test_a_first_freeze_may_come_after_new_year():
    assert events("seattle", 28, (2012, 2012))[2012].day == date(2013, 1, 1)


def test_seasons_without_a_freeze_are_valid_and_one_cut_short_is_not():
    found = events("seattle", 20, (2012, 2015))
    assert [event.valid for event in found.values()] == [True, True, True, False]
    assert [event.day for event in found.values()] == [
        None, date(2013, 12, 7), None, None,
    ]  # fmt: skip
    assert "213 of its days are missing" in found[2015].why


@pytest.mark.parametrize(
    ("recorded_degc", "threshold"), [(-2.2, 28.0), (-4.4, 24.0), (0.0, 32.0)]
)
def test_tenths_of_a_degree_celsius_count_as_the_whole_degree_observed(
    recorded_degc, threshold
):
    value = kelvin_of(recorded_degc, "degC")
    assert at_or_below(value, degf(threshold))
    exactly = bool(at_or_below(value, degf(threshold), exact=True))
    assert exactly == (recorded_degc * 1.8 + 32 <= threshold)


@pytest.mark.parametrize(("seasons", "error"), [(30, 2.96), (15, 4.18)])
def test_standard_error_of_the_ten_percent_date(seasons, error):
    law = MixedLaw(seasons, seasons, 70.0, 12.0)
    assert standard_error(law, 0.1) == pytest.approx(error, abs=0.005)
    # A check by trial: fit as many seasons again and again.
    rng = np.random.default_rng(seasons)
    drawn = rng.normal(70.0, 12.0, (20_000, seasons))
    fitted = drawn.mean(axis=1) - 1.2816 * drawn.std(axis=1, ddof=1)
    assert float(fitted.std()) == pytest.approx(error, rel=0.04)
