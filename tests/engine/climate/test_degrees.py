"""Units there and back, and whole degrees rounded half up."""

import math
from decimal import ROUND_FLOOR, Decimal

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.degrees import (
    RECORD_UNITS,
    at_or_below,
    degf_of,
    kelvin_of,
    whole_degf,
)

TENTHS = st.integers(-900, 600)


@given(st.sampled_from(sorted(RECORD_UNITS)), TENTHS)
def test_a_number_comes_back_from_kelvin_in_its_own_unit(unit, tenths):
    number = float(tenths) if unit == "tenths_degC" else tenths / 10
    factor, offset = RECORD_UNITS[unit]
    assert (float(kelvin_of(number, unit)) - offset) / factor == pytest.approx(
        number, abs=1e-8
    )


@given(TENTHS)
def test_the_three_units_agree(tenths):
    whole = float(kelvin_of(tenths, "tenths_degC"))
    assert float(kelvin_of(tenths / 10, "degC")) == pytest.approx(whole, abs=1e-9)
    degf = float(degf_of(whole))
    assert float(kelvin_of(degf, "degF")) == pytest.approx(whole, abs=1e-9)
    assert degf == pytest.approx(tenths * 0.18 + 32.0, abs=1e-9)


@given(TENTHS)
def test_half_a_degree_is_rounded_up_as_decimal_arithmetic_does(tenths):
    exact = Decimal(tenths) * Decimal("0.18") + 32
    expected = (exact + Decimal("0.5")).to_integral_value(ROUND_FLOOR)
    assert float(whole_degf(kelvin_of(tenths, "tenths_degC"))) == float(expected)


@pytest.mark.parametrize(
    ("degc", "whole"), [(2.5, 37), (-2.5, 28), (-7.5, 19), (-17.5, 1), (-22.5, -8)]
)
def test_values_that_lie_on_the_half_go_up(degc, whole):
    assert (degc * 1.8 + 32) % 1 == 0.5
    assert float(whole_degf(kelvin_of(degc, "degC"))) == whole


@given(st.integers(-60, 60), st.floats(-80.0, 80.0))
def test_at_or_below_is_a_comparison_of_what_is_shown(threshold, degf):
    value, limit = kelvin_of(degf, "degF"), float(kelvin_of(threshold, "degF"))
    rounded = math.floor(degf + 0.5 + 1e-6) <= threshold
    assert bool(at_or_below(value, limit)) == rounded
    if abs(degf - threshold) > 1e-5 or degf == threshold:
        assert bool(at_or_below(value, limit, exact=True)) == (degf <= threshold)


def test_an_unknown_temperature_is_at_or_below_nothing():
    assert not at_or_below(math.nan, 400.0)
    assert not at_or_below(math.nan, 400.0, exact=True)
