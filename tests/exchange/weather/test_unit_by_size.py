"""The unit of bare numbers: told where only one is possible, else asked for."""

import numpy as np
import pytest

from maintenance.engine.climate.degrees import RECORD_UNITS
from maintenance.exchange.weather.unit_by_size import unit_by_size
from tests.reference.climate_records import record


def numbers(name: str, unit: str) -> tuple[np.ndarray, np.ndarray]:
    """Return the extremes of a record as an archive would write them in a unit."""
    series = record(name).series
    factor, offset = RECORD_UNITS[unit]
    digits = 1 if unit == "degC" else 0
    least, most = (
        np.round((each - offset) / factor, digits)
        for each in (series.tmin_k, series.tmax_k)
    )
    return least, most


@pytest.mark.parametrize("unit", RECORD_UNITS)
@pytest.mark.parametrize("name", ["champion", "cambridge", "seattle"])
def test_whole_records_tell_their_unit(name, unit):
    least, most = numbers(name, unit)
    assert unit_by_size(least, most) == unit


@pytest.mark.parametrize("unit", RECORD_UNITS)
def test_a_value_that_is_absurd_misleads_nobody(unit):
    least, most = numbers("champion", unit)
    least[[50, 5000]] = 9999.0
    assert unit_by_size(least, most) == unit


def test_a_winter_alone_tells_nothing_unless_an_archive_writes_whole_degf():
    least, most = (each[:60] for each in numbers("champion", "degC"))
    assert unit_by_size(least, most) is None
    assert unit_by_size(least, most, whole_if_degf=True) == "degC"
    least, most = (each[:60] for each in numbers("champion", "degF"))
    assert unit_by_size(least, most) in (None, "degF")


def test_minima_alone_of_a_cool_summer_tell_nothing():
    least, most = numbers("cambridge", "degF")
    cool = least - 12.0
    assert np.nanmax(cool) < 57.0
    unknown = np.full(len(most), np.nan)
    assert unit_by_size(cool, unknown) is None
    assert unit_by_size(cool, most) == "degF"


@pytest.mark.parametrize("unit", RECORD_UNITS)
def test_no_window_of_a_record_is_told_wrongly(unit):
    least, most = numbers("champion", unit)
    for days in (40, 120, 400):
        for begin in range(0, len(least) - days, 487):
            window = slice(begin, begin + days)
            assert unit_by_size(least[window], most[window]) in (unit, None)


def test_numbers_that_are_no_temperatures_have_no_unit():
    dice = np.random.default_rng(1)
    heights = dice.uniform(800.0, 9000.0, 400)
    assert unit_by_size(heights, heights + 10.0) is None
    assert unit_by_size(np.array([30.0, 31.0]), np.array([90.0, 91.0])) is None
