"""The sun above the air and the water that grass asks for, by FAO-56.

Allen, Pereira, Raes, Smith 1998, FAO Irrigation and Drainage Paper 56: Example 8 (seen
as reprinted in the tests of open libraries: 20 degrees south, 3 September, 32.2),
Example 10 (Rio de Janeiro, 15 May, 25.1; 25.111 on the page of `radext_fao56`,
ncl.ucar.edu), Example 20 (Lyon, July: minimum 14.8, maximum 26.6, seen as reprinted;
its radiation 40.6 and its 5.0 mm/day by Hargreaves from memory).
"""

import numpy as np
import pytest

from maintenance.engine.climate.usual_days import UsualDays, usual_days
from maintenance.engine.climate.water_demand import (
    demand_shares,
    extraterrestrial_radiation,
    reference_evapotranspiration,
)
from tests.reference.climate_records import record

pytestmark = pytest.mark.reference


@pytest.mark.parametrize(
    ("latitude", "day", "mj_per_m2", "within"),
    [
        (-20.0, 246, 32.2, 0.05),
        (-22.9, 135, 25.111, 0.0015),
        (45.72, 196, 40.6, 0.05),
    ],
)
def test_radiation_above_the_air(latitude, day, mj_per_m2, within):
    found = float(extraterrestrial_radiation(latitude, day)) / 1e6
    assert found == pytest.approx(mj_per_m2, abs=within)


def test_lyon_in_july_by_hargreaves():
    radiation = extraterrestrial_radiation(45.72, 196)
    water = reference_evapotranspiration(273.15 + 14.8, 273.15 + 26.6, radiation)
    assert float(water) * 1000.0 == pytest.approx(5.0, abs=0.05)


def test_no_sun_in_the_polar_night_and_much_in_the_polar_day():
    assert float(extraterrestrial_radiation(80.0, 355)) == pytest.approx(0.0, abs=1.0)
    assert extraterrestrial_radiation(80.0, 172) > extraterrestrial_radiation(0.0, 172)


def champion():
    return usual_days(record("champion").series)


def test_turf_at_champion_asks_most_in_summer_and_rests_in_winter():
    usual = champion()
    shares = demand_shares(40.5, usual)
    assert 152 <= int(shares.argmax()) <= 212  # June or July
    assert shares.max() == 1.0
    assert shares[[0, 30, 350]].tolist() == [0.0] * 3
    assert (np.diff(shares[220:300]) < 0.02).all()  # it falls through the autumn
    assert 0.2 < shares[278] < 0.6  # 6 October


def test_colder_air_never_asks_for_more():
    usual = champion()
    water = [
        reference_evapotranspiration(
            np.array(usual.tmin_k) - colder, np.array(usual.tmax_k) - colder, 30e6
        )
        for colder in (0.0, 3.0)
    ]
    assert (water[1] <= water[0]).all()


def test_where_nothing_ever_evaporates_no_day_is_worth_watering():
    frozen = UsualDays((240.0,) * 365, (240.0,) * 365)
    assert not demand_shares(45.0, frozen).any()
