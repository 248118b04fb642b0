"""Many sites on an hourly forecast: each by itself, in order, refused by name."""

from dataclasses import replace

import numpy as np
import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.freezing import outlook as module
from maintenance.engine.freezing.outlook import Exposure, Weather, freeze_outlook
from maintenance.engine.freezing.thermal import Thermal, stack_parts
from tests.engine.freezing.lumps import in_the_open, steady, steady_weather, wrapped

SITES, HOURS = 40, 60
PARTS = stack_parts([wrapped(0.02, "copper"), wrapped(0.05, "brass", 0.01)])
OPEN_AND_BOX = Exposure(
    np.array([1.0, 0.0]), np.array([0.5, 0.0]), np.array([1.0, 0.36])
)


def weather_of_many():
    rng = np.random.default_rng(4)
    hour = np.arange(HOURS)[:, None, None]
    day = 5.0 * np.cos(2 * np.pi * (hour - 15) / 24)
    colder = np.array([0.0, 2.0, 4.0])[:, None]
    air = 272.0 + day - colder + rng.normal(0.0, 3.0, SITES)
    return Weather(
        air,
        rng.uniform(0, 6, (HOURS, SITES)),
        rng.uniform(0, 18, (HOURS, SITES)),
        np.full(SITES, 278.0),
        rng.uniform(274, 284, SITES),
    )


START = np.full((SITES, 2), 281.0)


def test_a_site_fares_the_same_alone_as_among_many(monkeypatch):
    monkeypatch.setattr(module, "_BLOCK", 30)
    weather = weather_of_many()
    together = freeze_outlook(PARTS, OPEN_AND_BOX, weather, START)
    assert np.isfinite(together.first_ice_s).any()
    for site in (0, 17, SITES - 1):
        one = slice(site, site + 1)
        alone = freeze_outlook(
            PARTS,
            OPEN_AND_BOX,
            Weather(
                weather.air_k[:, :, one],
                weather.wind_m_per_s[:, one],
                weather.sky_k[:, one],
                weather.mean_air_k[one],
                weather.soil_k[one],
            ),
            START[one],
        )
        for name in module.Outlook.__dataclass_fields__:
            wanted = getattr(alone, name)[:, 0]
            assert getattr(together, name)[:, site] == pytest.approx(wanted), name


def test_first_ice_comes_before_half_and_half_before_all_and_the_share_agrees():
    found = freeze_outlook(PARTS, in_the_open(2), weather_of_many(), START)
    assert np.all(found.first_ice_s <= found.half_frozen_s)
    assert np.all(found.half_frozen_s <= found.frozen_s)
    assert np.array_equal(np.isfinite(found.frozen_s), found.ice_fraction >= 1.0)
    assert np.array_equal(np.isfinite(found.half_frozen_s), found.ice_fraction > 0.5)
    assert np.array_equal(np.isfinite(found.first_ice_s), found.ice_fraction > 0.0)


def test_steady_hours_give_the_times_of_steady_weather():
    part = wrapped(0.026, "copper")
    air = np.full((30, 1), 273.15 - 6.0)
    found = freeze_outlook(
        part, in_the_open(), steady_weather(air, wind=2.0), np.full((1, 1), 283.15)
    )
    wanted = steady(part, 6.0, 2.0, 0.0)
    assert found.first_ice_s.item() == pytest.approx(
        float(wanted.first_ice_s), rel=5e-3
    )
    assert found.half_frozen_s.item() == pytest.approx(
        float(wanted.half_frozen_s), rel=5e-3
    )
    assert found.frozen_s.item() == pytest.approx(float(wanted.frozen_s), rel=5e-3)


def test_dead_calm_hours_stay_within_a_tenth_of_steady_weather():
    # The still-air film follows the part's warmth: hour by hour here, one mean there.
    part = wrapped(0.05, "brass", 0.01)
    air = np.full((200, 1), 273.15 - 3.0)
    found = freeze_outlook(
        part, in_the_open(), steady_weather(air, wind=0.0), np.full((1, 1), 283.15)
    )
    wanted = steady(part, 3.0, 0.0, 0.0)
    assert found.first_ice_s.item() == pytest.approx(float(wanted.first_ice_s), rel=0.1)


def test_ice_of_a_night_is_that_of_its_own_hours():
    air = np.full((48, 1), 275.0)
    air[20:30] = 262.0
    weather = steady_weather(air, wind=3.0)
    part, start = wrapped(0.02, "copper"), np.full((1, 1), 276.0)

    def share(hours):
        found = freeze_outlook(part, in_the_open(), weather, start, night=hours)
        return found.ice_fraction.item()

    assert share((0, 20)) == 0.0
    assert share((20, 30)) == 1.0
    assert share((0, 48)) == 1.0


def test_a_box_follows_the_mean_of_the_day_and_not_the_night():
    air = 273.15 + 3.0 + 12.0 * np.cos(2 * np.pi * np.arange(72) / 24)
    found = freeze_outlook(
        PARTS,
        OPEN_AND_BOX,
        steady_weather(air[:, None]),
        np.full((1, 2), 278.0),
    )
    assert np.isfinite(found.first_ice_s[0, 0, 0])
    assert np.isinf(found.first_ice_s[0, 0, 1])


@pytest.mark.parametrize("name", [*Weather.__dataclass_fields__])
@pytest.mark.parametrize("bad", [np.nan, np.inf, -5.0])
def test_weather_that_is_no_number_or_not_possible_is_refused_by_name(name, bad):
    weather = weather_of_many()
    values = getattr(weather, name).copy()
    values.flat[values.size // 2] = bad
    with pytest.raises(InputError, match=f"^{name}: every value") as caught:
        freeze_outlook(PARTS, OPEN_AND_BOX, replace(weather, **{name: values}), START)
    assert caught.value.input == name


def test_a_start_that_is_no_number_is_refused_by_name():
    with pytest.raises(InputError, match=r"^start_k: every value"):
        freeze_outlook(PARTS, OPEN_AND_BOX, weather_of_many(), START * np.nan)


def test_stacked_parts_keep_their_own_values():
    assert all(
        np.shape(getattr(PARTS, name)) == (2,) for name in Thermal.__dataclass_fields__
    )
    assert PARTS.insulation_m_k_per_w[0] == 0.0 < PARTS.insulation_m_k_per_w[1]
