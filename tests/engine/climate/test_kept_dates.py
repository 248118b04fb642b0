"""Dates kept as JSON are the dates: an outlook by them is the same to the letter."""

import copy
import json
import random
from datetime import date
from functools import cache

import pytest

from maintenance.documents.freeze_text import freeze_text
from maintenance.engine.climate.kept_dates import dates_as_json, dates_from_json
from maintenance.engine.climate.outlook_report import outlook_as_json
from maintenance.engine.climate.part_dates import SiteDates, site_dates
from maintenance.engine.climate.site_outlook import site_outlook
from maintenance.engine.climate.spring_start import spring_start
from maintenance.engine.climate.waiting import site_waiting
from maintenance.engine.errors import InputError
from tests.engine.climate.made_series import series_of
from tests.engine.climate.test_part_dates import record_of
from tests.engine.climate.test_site_outlook import NOW, SITE, TODAY, forecast_of
from tests.reference.climate_records import record


@cache
def fresh():
    return site_dates(SITE, record("champion"), offset_k=-0.7)


@cache
def text():
    return json.dumps(dates_as_json(fresh()), allow_nan=False)


def kept():
    return dates_from_json(json.loads(text()))


def test_what_was_kept_reads_back_exactly():
    assert kept() == fresh()
    assert dates_as_json(kept()) == dates_as_json(fresh())
    assert len(text()) < 120_000


@pytest.mark.parametrize("today", [TODAY, date(2027, 4, 20)])
def test_an_outlook_by_kept_dates_is_the_one_by_the_record(today):
    forecast = forecast_of([45.0] * 30 + [26.0] * 12 + [40.0] * 126)

    def told(dates):
        found = site_outlook(SITE, NOW, today, dates=dates, forecast=forecast)
        return outlook_as_json(found), freeze_text(found), spring_start(found)

    assert told(kept()) == told(fresh())
    worth = (5.0, 900.0, 0.8)
    assert site_waiting(SITE, kept(), today, worth=worth) == site_waiting(
        SITE, fresh(), today, worth=worth
    )


def test_a_record_without_maxima_is_kept_too():
    bare = site_dates(SITE, record_of(series_of([40.0] * 100 + [20.0] * 265)))
    assert dates_from_json(json.loads(json.dumps(dates_as_json(bare)))) == bare


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), "site_dates/2"),
        (("dates",), {}),
        (("dates", 0, "threshold_of"), "moon"),
        (("dates", 0, "threshold_k"), float("nan")),
        (("dates", 0, "dates", "days"), {"10": 1.0}),
        (("dates", 0, "dates", "numbers", 3), 61.5),
        (("dates", 0, "dates", "numbers", 3), True),
        (("last_freezes", 0), "119"),
        (("last_freezes", 0), 10**400),
        (("soil_k", 100), 9.0),
        (("soil_k",), [280.0] * 12),
        (("deepest_m", "turf", 0), -0.1),
        (("usual", "tmin_k"), [280.0] * 364),
        (("record", "first"), "yesterday"),
        (("record", "seasons"), -1),
        (("record", "has_maxima"), 1),
        (("record", "warnings"), [{"code": "x"}]),
        (("offset_k",), None),
    ],
)
def test_what_is_broken_is_refused_in_one_sentence(path, value):
    broken = json.loads(text())
    place = broken
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with pytest.raises(InputError, match="work them out from the record again") as no:
        dates_from_json(broken)
    assert "\n" not in str(no.value)


@pytest.mark.parametrize("kept_value", [None, [], "x", 3, {}])
def test_what_is_no_object_of_dates_is_refused(kept_value):
    with pytest.raises(InputError, match="cannot be read"):
        dates_from_json(kept_value)


def test_mutated_at_random_it_reads_or_is_refused_and_never_crashes():
    whole, rng = json.loads(text()), random.Random(4)  # noqa: S311
    values: list[object] = [
        None,
        True,
        -1,
        0.5,
        1e300,
        "",
        "x",
        [],
        {},
        [[]],
        float("inf"),
    ]
    refused = 0
    for _ in range(400):
        broken = copy.deepcopy(whole)
        place = broken
        while True:
            keys = list(place) if isinstance(place, dict) else range(len(place))
            key = rng.choice(list(keys))
            deeper = place[key]
            if isinstance(deeper, dict | list) and deeper and rng.random() < 0.8:
                place = deeper
                continue
            place[key] = rng.choice(values)
            break
        try:
            assert isinstance(dates_from_json(broken), SiteDates)
        except InputError:
            refused += 1
    assert refused > 200
