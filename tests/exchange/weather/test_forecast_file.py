"""Forecast files: every hour of each format, units, nulls; refused by line or path."""

import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.forecast_file import read_forecast
from tests.exchange.weather.forecast_files import (
    BEGIN,
    WRITERS,
    csv_forecast,
    grid_json,
    hourly_json,
    some_hours,
)

HOURS = some_hours()


def known(values):
    return np.array([np.nan if value is None else value for value in values])


def refusal(content):
    with pytest.raises(Faults) as error:
        read_forecast(content)
    return error.value.faults


def grid_of(values, uom="wmoUnit:degC", **layers):
    inside = {"temperature": {"uom": uom, "values": values}, **layers}
    return json.dumps({"properties": inside})


def entry(valid_time, value):
    return {"validTime": valid_time, "value": value}


@pytest.mark.parametrize("name", WRITERS)
def test_every_hour_is_read_and_what_is_null_stays_unknown(name):
    hours = [*HOURS[:1], (BEGIN + timedelta(hours=1), None, None, None), *HOURS[2:]]
    found = read_forecast(WRITERS[name](hours))
    assert found.begin == BEGIN
    degf = known(hour[1] for hour in hours)
    np.testing.assert_allclose(found.temperature_k * 1.8 - 459.67, degf, atol=1e-9)
    wind = known(hour[2] for hour in hours)
    np.testing.assert_allclose(found.wind_m_per_s * 3.6, wind, atol=1e-9)
    sky = known(hour[3] for hour in hours) / 100.0
    if name.startswith("hourly"):
        sky = np.full(len(hours), np.nan)
    np.testing.assert_allclose(found.sky_cover, sky, atol=1e-12)
    assert found.rejected == ()


def test_the_time_of_issue_is_that_of_the_data_and_csv_tells_none():
    issued = datetime(2026, 10, 5, 17, 20, tzinfo=UTC)
    assert read_forecast(hourly_json(HOURS)).issued_at == issued
    assert read_forecast(grid_json(HOURS)).issued_at == issued
    assert read_forecast(csv_forecast(HOURS)).issued_at is None


def test_a_merged_interval_holds_for_each_of_its_hours():
    """The service's own example: 18, 19 and 20 UTC."""
    found = read_forecast(grid_of([entry("2019-07-04T18:00:00+00:00/PT3H", 21.5)]))
    assert found.begin == datetime(2019, 7, 4, 18, tzinfo=UTC)
    assert found.temperature_k.tolist() == pytest.approx([294.65] * 3)


@pytest.mark.parametrize(
    "interval",
    [
        "2026-01-01T00:00:00+00:00/2026-01-02T06:00:00+00:00",
        "2026-01-01T00:00:00+00:00/P1DT6H",
        "P1DT6H/2026-01-02T06:00:00+00:00",
        "2025-12-31T17:00:00-07:00/PT30H",
    ],
)
def test_an_interval_may_be_written_in_three_ways(interval):
    found = read_forecast(grid_of([entry(interval, -3)]))
    assert found.begin == datetime(2026, 1, 1, tzinfo=UTC)
    assert found.temperature_k.tolist() == pytest.approx([270.15] * 30)


def test_the_units_of_the_grid_are_those_of_its_layers():
    at = "2026-01-01T00:00:00+00:00/PT1H"
    wind = {"uom": "wmoUnit:m_s-1", "values": [entry(at, 4)]}
    found = read_forecast(grid_of([entry(at, 14)], "wmoUnit:degF", windSpeed=wind))
    assert found.temperature_k[0] == pytest.approx(263.15)
    assert found.wind_m_per_s[0] == pytest.approx(4.0)
    wind["uom"] = "wmoUnit:kt"
    found = read_forecast(grid_of([entry(at, 260)], "wmoUnit:K", windSpeed=wind))
    assert (found.temperature_k[0], found.wind_m_per_s[0]) == pytest.approx(
        (260.0, 4 * 1852 / 3600)
    )


def test_of_a_range_of_winds_the_upper_end_counts():
    text = hourly_json(HOURS[:1]).replace(" km/h", " mph")
    period = json.loads(text)
    period["properties"]["periods"][0]["windSpeed"] = "5 to 10 mph"
    found = read_forecast(json.dumps(period))
    assert found.wind_m_per_s[0] == pytest.approx(4.4704)


def test_a_gap_between_hours_is_unknown():
    text = csv_forecast([HOURS[0], *HOURS[3:5]])
    found = read_forecast(text.replace(",,", ",40,").encode("utf-8-sig"))
    assert np.isnan(found.temperature_k[1:3]).all()
    assert len(found.temperature_k) == 5


def test_a_value_that_cannot_be_is_unknown_and_told():
    values = [
        entry(f"2026-01-0{day}T00:00:00+00:00/PT12H", degc)
        for day, degc in enumerate((1, 2, 4321, 3, 4, 5), start=1)
    ]
    sky = {
        "uom": "wmoUnit:percent",
        "values": [entry(values[0]["validTime"], 101)],
    }
    found = read_forecast(grid_of(values, skyCover=sky))
    assert np.isnan(found.temperature_k[48:60]).all()
    first, second = found.rejected
    assert first == (
        "properties.temperature.values[2]: temperature 4321 degC cannot be."
    )
    assert second.startswith("properties.skyCover.values[0]: sky cover 101 percent")


@pytest.mark.parametrize(
    ("content", "path", "sentence"),
    [
        (b" \n", "file", "is empty; give a forecast"),
        (b"PK\x03\x04aaaa", "file", "is packed"),
        (b"time,temperature_f\n\xff", "line 2", "is not UTF-8"),
        ("{", "file", "is no JSON at line 1"),
        ("[1]", "file", "no forecast that the tool knows"),
        ('{"properties": {}}', "file", "no forecast that the tool knows"),
        ('{"properties": {"periods": []}}', "file", "knows no temperature"),
        ("date,tmin_f\n2026-01-01,4", "file", "is no forecast that the tool knows"),
        ("time,temp\n", "file", "has no temperature_f and no temperature_c"),
        ("time,temperature_f,temperature_c\n", "file", "keep one of them"),
        ("time,temperature_f,wind\n", "file", "name it one of wind_mph"),
        ("time,time,temperature_f\n", "file", 'two columns "time"'),
        ("time,temperature_f\n", "file", "has a header and no hours"),
        ("time,temperature_f\n2026-01-01T00:00,4", "line 2", "offset from UTC"),
        ("time,temperature_f\n2026-01-01T00:30Z,4", "line 2", "no full hour"),
        ("time,temperature_f\n2026-01-01T00:00Z,nan", "line 2", "is no temperature"),
        ("time,temperature_f\n2026-01-01T00:00Z", "line 2", "has 1 cells"),
        (
            "time,temperature_f\n2026-01-01T00:00Z,4\n2025-12-31T17:00-07:00,4",
            "line 3",
            "gives the hour of line 2 again",
        ),
        (
            "time,temperature_f\n2026-01-01T00:00Z,4\n2026-03-01T00:00Z,4",
            "file",
            "runs over 59 days",
        ),
        ("time,temperature_f\n2026-01-01T00:00Z,400", "file", "Look at its unit"),
        (
            "time,temperature_f,sky_cover\n2026-01-01T00:00Z,4,0.5",
            "file",
            "write it in percent",
        ),
    ],
)
def test_what_is_no_forecast_is_refused_with_its_place(content, path, sentence):
    (fault,) = refusal(content)
    assert fault.path == path
    assert sentence in fault.text


@pytest.mark.parametrize(
    ("values", "uom", "path", "sentence"),
    [
        ([entry("today", 1)], "wmoUnit:degC", "[0].validTime", "write an interval"),
        ([entry("2026-01-01T00:00Z/PT90M", 1)], "degC", "[0].validTime", "whole hours"),
        ([entry("2026-01-01T00:00Z/PT1H", "1")], "degC", "[0].value", "write a number"),
        ([{"validTime": "2026-01-01T00:00Z/PT1H"}], "degC", "[0]", "is no entry"),
        (
            [entry("2026-01-01T00:00Z/PT2H", 1), entry("2026-01-01T01:00Z/PT1H", 2)],
            "degC",
            "[1]",
            "gives another temperature for an hour given before",
        ),
    ],
)
def test_a_fault_of_the_grid_names_its_path(values, uom, path, sentence):
    (fault,) = refusal(grid_of(values, uom))
    assert fault.path == f"properties.temperature.values{path}"
    assert sentence in fault.text


def test_an_unknown_unit_is_not_guessed():
    (fault,) = refusal(grid_of([entry("2026-01-01T00:00Z/PT1H", 1)], "wmoUnit:degR"))
    assert fault.path == "properties.temperature.uom"
    assert 'write one of "wmoUnit:degF"' in fault.text
