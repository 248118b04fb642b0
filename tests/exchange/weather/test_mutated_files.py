"""Two thousand damaged files of all formats: in range or unknown, or refused."""

import math
from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest

from maintenance.engine.climate.cleaning import COLDEST_DEGF, HOTTEST_DEGF
from maintenance.engine.climate.degrees import degf_of
from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record
from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.days import FIRST_YEAR, LAST_YEAR
from maintenance.exchange.weather.forecast_file import read_forecast
from maintenance.exchange.weather.forecast_hours import (
    FASTEST_WIND_M_PER_S,
    MOST_HOURS,
)
from maintenance.exchange.weather.record_file import read_record
from tests.exchange.weather.mutations import (
    Mutated,
    mutated_files,
    whole_forecasts,
    whole_records,
)

COUNT = 2_000
READERS: dict[str, Callable[[bytes], Record | Forecast]] = {
    "record": read_record,
    "forecast": read_forecast,
}


def assert_between(values, low, high):
    """Assert that each number lies in its range or is unknown, and one is known."""
    known = values[~np.isnan(values)]
    assert ((low <= known) & (known <= high)).all(), known


def assert_in_range(found: Record | Forecast) -> None:
    if isinstance(found, Record):
        series = found.series
        for row in (series.tmin_k, series.tmax_k):
            assert_between(degf_of(row), COLDEST_DEGF, HOTTEST_DEGF)
        days = (series.day(0), series.day(len(series.tmin_k) - 1))
        assert FIRST_YEAR <= days[0].year <= days[1].year <= LAST_YEAR
        assert np.isfinite(series.tmin_k).any()
        return
    assert_between(degf_of(found.temperature_k), COLDEST_DEGF, HOTTEST_DEGF)
    assert_between(found.wind_m_per_s, 0.0, FASTEST_WIND_M_PER_S)
    assert_between(found.sky_cover, 0.0, 1.0)
    assert np.isfinite(found.temperature_k).any()
    rows = (found.temperature_k, found.wind_m_per_s, found.sky_cover)
    assert {len(row) for row in rows} == {len(found.temperature_k)}
    assert 0 < len(found.temperature_k) <= MOST_HOURS
    for time in (found.begin, found.issued_at):
        assert time is None or time.utcoffset() is not None
    assert all(told.isprintable() for told in found.rejected)


def outcome(file: Mutated) -> str:
    """Read a file; anything else than a refusal in sentences is raised."""
    found: Record | Forecast | Faults
    try:
        found = READERS[file.kind](file.content)
    except Faults as refusal:
        found = refusal
    if isinstance(found, Faults):
        assert found.faults
        for fault in found.faults:
            assert fault.path
            assert len(fault.text) > 10
            assert str(fault).isprintable()
            assert len(str(fault)) < 500
        return "refused"
    assert_in_range(found)
    return "read"


def test_damaged_files_of_all_formats_are_in_range_or_refused():
    found: dict[str, Counter[str]] = {}
    for file in mutated_files(COUNT):
        found.setdefault(file.format, Counter())[outcome(file)] += 1
    assert set(found) == {*whole_records(), *whole_forecasts()}
    assert sum(count.total() for count in found.values()) == COUNT
    # damage that every file or none survives would show nothing
    assert all(count["read"] >= 5 for count in found.values()), found
    assert all(count["refused"] >= 50 for count in found.values()), found


def test_files_that_are_not_damaged_are_read():
    for text in whole_records().values():
        assert_in_range(read_record(text))
    for text in whole_forecasts().values():
        assert_in_range(read_forecast(text))


def test_the_damaged_files_are_the_same_each_time():
    assert list(mutated_files(60)) == list(mutated_files(60))
    assert len({file.content for file in mutated_files(200)}) > 190


@pytest.mark.parametrize("value", [math.inf, 4321.0, -1.0])
def test_a_number_out_of_range_would_be_noticed(value):
    found = read_forecast(whole_forecasts()["grid"])
    wind = found.wind_m_per_s.copy()
    wind[3] = value
    with pytest.raises(AssertionError):
        assert_between(wind, 0.0, FASTEST_WIND_M_PER_S)
