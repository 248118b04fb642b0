"""Stations near a site: how far they are, and how much higher or lower."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from maintenance.engine.climate.series import Station
from maintenance.engine.errors import InputError

EARTH_RADIUS_M: Final = 6_371_009.0
"""Mean radius of the Earth; IUGG."""


@dataclass(frozen=True, slots=True)
class NearStation:
    """A station seen from a site.

    ``elevation_difference_m`` is the site's elevation less the station's, None where
    either is unknown; it is shown, never used to correct a temperature.
    """

    station: Station
    distance_m: float
    elevation_difference_m: float | None


def great_circle_distance(
    latitude_deg: float,
    longitude_deg: float,
    other_latitude_deg: float,
    other_longitude_deg: float,
) -> float:
    """Return the distance between two places on a sphere.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        One place, north and east positive. [deg]
    other_latitude_deg, other_longitude_deg : float
        The other. [deg]

    Returns
    -------
    float
        Distance; within 0.6 % of that on the ellipsoid. [m]

    Notes
    -----
    Haversine formula, which is good at short distances too.

    Examples
    --------
    >>> round(great_circle_distance(0.0, 0.0, 0.0, 90.0) / 1000)
    10008
    """
    one, other = math.radians(latitude_deg), math.radians(other_latitude_deg)
    turn = math.radians(other_longitude_deg - longitude_deg)
    half = (
        math.sin((other - one) / 2.0) ** 2
        + math.cos(one) * math.cos(other) * math.sin(turn / 2.0) ** 2
    )
    return 2.0 * EARTH_RADIUS_M * math.asin(math.sqrt(min(half, 1.0)))


def nearest_stations(
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float | None,
    stations: Iterable[Station],
) -> tuple[NearStation, ...]:
    """Order stations by their distance from a site.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        The site, north and east positive. [deg]
    elevation_m : float or None
        Elevation of the site above sea level. [m]
    stations : iterable of Station
        Stations; those without a position are left out. [-]

    Returns
    -------
    tuple of NearStation
        Nearest first. [m]

    Raises
    ------
    InputError
        If the site lies nowhere on Earth.
    """
    if not (abs(latitude_deg) <= 90.0 and abs(longitude_deg) <= 180.0):
        raise InputError(
            f"A latitude of {latitude_deg:g}° and a longitude of {longitude_deg:g}° are "
            "nowhere on Earth; write at most 90 and 180 degrees",
            input="place",
        )
    found = []
    for station in stations:
        if station.latitude_deg is None or station.longitude_deg is None:
            continue
        distance = great_circle_distance(
            latitude_deg, longitude_deg, station.latitude_deg, station.longitude_deg
        )
        difference = None
        if elevation_m is not None and station.elevation_m is not None:
            difference = elevation_m - station.elevation_m
        found.append(NearStation(station, distance, difference))
    return tuple(sorted(found, key=lambda near: (near.distance_m, near.station.id)))
