"""Stations near a site, by a distance worked out another way."""

import math

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.climate.series import Station
from maintenance.engine.climate.stations import (
    EARTH_RADIUS_M,
    great_circle_distance,
    nearest_stations,
)
from maintenance.engine.errors import InputError

LATITUDE, LONGITUDE = st.floats(-90.0, 90.0), st.floats(-180.0, 180.0)


def on_the_sphere(latitude_deg, longitude_deg):
    north, east = math.radians(latitude_deg), math.radians(longitude_deg)
    return np.array(
        [
            math.cos(north) * math.cos(east),
            math.cos(north) * math.sin(east),
            math.sin(north),
        ]
    )


@given(LATITUDE, LONGITUDE, LATITUDE, LONGITUDE)
def test_the_distance_is_the_angle_between_two_directions(n1, e1, n2, e2):
    one, other = on_the_sphere(n1, e1), on_the_sphere(n2, e2)
    angle = math.atan2(float(np.linalg.norm(np.cross(one, other))), float(one @ other))
    found = great_circle_distance(n1, e1, n2, e2)
    assert found == pytest.approx(EARTH_RADIUS_M * angle, abs=1.0)
    assert found == pytest.approx(great_circle_distance(n2, e2, n1, e1), abs=1e-6)


def test_a_minute_of_latitude_is_a_nautical_mile():
    mile = great_circle_distance(44.0, -110.0, 44.0 + 1 / 60, -110.0)
    assert mile == pytest.approx(1852.0, rel=2e-3)


def test_the_nearest_comes_first_with_how_much_higher_the_site_is():
    stations = [
        Station("FAR", "Far", 45.0, -110.0, 1500.0),
        Station("NEAR", "Near", 44.1, -110.0, None),
        Station("NOWHERE", "Nowhere"),
        Station("MIDDLE", "Middle", 44.5, -110.0, 2100.0),
    ]
    found = nearest_stations(44.0, -110.0, 1900.0, stations)
    assert [near.station.id for near in found] == ["NEAR", "MIDDLE", "FAR"]
    assert [near.elevation_difference_m for near in found] == [None, -200.0, 400.0]
    assert (
        nearest_stations(44.0, -110.0, None, stations)[2].elevation_difference_m is None
    )


@pytest.mark.parametrize("place", [(91.0, 0.0), (0.0, 181.0), (math.nan, 0.0)])
def test_a_place_that_is_nowhere_is_refused(place):
    with pytest.raises(InputError, match="nowhere on Earth"):
        nearest_stations(place[0], place[1], None, [])
