"""The line from the port to the last head, as its profile is drawn.

Plain values that the caller fills from what was computed; nothing here knows how.
"""

import math
from dataclasses import dataclass

from maintenance.engine.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A point on the line and how far along it lies."""

    distance_m: float
    elevation_m: float
    point: str
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A link between two stations, given by their places in ``stations``.

    ``limit_pa`` is the highest pressure that it may see, None where unknown; ``swept``
    is None where it was not worked out; ``mark`` replaces the words "not swept".
    """

    link: str
    start: int
    end: int
    pipe_text: str = ""
    limit_pa: float | None = None
    swept: bool | None = None
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingWater:
    """Water that stays, at a point or in a link given by its id."""

    at: str
    volume_m3: float
    fills_bore: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """All that a profile drawing shows; pressures are gauge."""

    name: str
    stations: tuple[Station, ...]
    reaches: tuple[Reach, ...]
    standing: tuple[StandingWater, ...] = ()
    setting_pa: float | None = None
    plateau_pa: float | None = None


def check_profile(profile: Profile) -> None:
    """Refuse a profile that cannot be drawn, and say what is wrong with it."""
    for station in profile.stations:
        _refuse_unless_finite(station.distance_m, f"distance of {station.point}")
        _refuse_unless_finite(station.elevation_m, f"elevation of {station.point}")
    for reach in profile.reaches:
        ends = (reach.start, reach.end)
        if not all(0 <= end < len(profile.stations) for end in ends):
            raise InputError(
                f"reach {reach.link} ends at a station that is not on the line; "
                "give the places of its ends in stations",
                input="reaches",
            )
        _refuse_unless_finite(reach.limit_pa, f"limit of {reach.link}")
    for water in profile.standing:
        _refuse_unless_finite(water.volume_m3, f"water standing at {water.at}")
    _refuse_unless_finite(profile.setting_pa, "set pressure")
    _refuse_unless_finite(profile.plateau_pa, "gauge reading when dry")


def _refuse_unless_finite(value: float | None, name: str) -> None:
    if value is not None and not math.isfinite(value):
        raise InputError(
            f"{name} is {value}; give a number, or leave it out", input=name
        )
