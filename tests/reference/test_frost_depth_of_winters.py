"""The frost of one winter in ten, against modified Berggren winter by winter.

Berggren's formula knows nothing of the column: it takes a winter's freezing index and
length, the mean of the year and the latent heat (TM 5-852-6, with the exact Neumann
root for its chart). It was made for one long cold step; the column follows each thaw.
So the two agree to the 30 % that is claimed, and no better is asked.
"""

from datetime import date

import numpy as np
import pytest

from maintenance.engine.climate.frost_depths import frost_depths
from maintenance.engine.climate.mixed_law import ranked_day
from maintenance.engine.freezing.frost_depth import lambda_neumann, stefan_depth
from maintenance.engine.freezing.soil_column import LOAM
from tests.engine.climate.test_part_dates import dates
from tests.reference.climate_records import record

pytestmark = pytest.mark.reference

LATENT = LOAM.water_share * 1000.0 * 333.6e3
CONDUCTIVITY = 0.5 * (LOAM.conductivity_thawed + LOAM.conductivity_frozen)
CAPACITY = 0.5 * (LOAM.capacity_thawed + LOAM.capacity_frozen)
N_FACTORS = {"turf": 0.5, "bare": 0.7}


def berggren_of(celsius, factor, mean_c):
    total = np.cumsum(celsius)
    end = int((np.maximum.accumulate(total) - total).argmax())
    begin = int(total[: end + 1].argmax())
    index, days = total[begin] - total[end], end - begin
    over = mean_c / (factor * index / days)
    share = lambda_neumann(CAPACITY * factor * index / days / LATENT, over)
    return share * stefan_depth(CONDUCTIVITY, factor * index * 86_400.0, LATENT)


@pytest.fixture(scope="module")
def depths():
    return frost_depths(dates())


@pytest.mark.parametrize("cover", ["turf", "bare"])
def test_one_winter_in_ten_of_champion(depths, cover):
    series = record("champion").series
    mean_k = 0.5 * (series.tmin_k + series.tmax_k)
    winters = []
    for year in range(1988, 2018):
        at = series.index(date(year, 8, 1))
        winters.append(
            berggren_of(
                mean_k[at : at + 334] - 273.15,
                N_FACTORS[cover],
                float(np.nanmean(mean_k)) - 273.15,
            )
        )
    assert depths[cover].winters == len(winters)
    ten = ranked_day(winters, 0.1, "spring")
    assert depths[cover].one_in_ten_m == pytest.approx(ten, rel=0.30)
    assert depths[cover].deepest_m == pytest.approx(max(winters), rel=0.30)
