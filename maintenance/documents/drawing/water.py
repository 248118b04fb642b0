"""Where standing water is drawn along a profile: at the foot, not to scale."""

from typing import Final

from maintenance.documents.drawing.line import Profile, StandingWater
from maintenance.documents.drawing.sheet import Spot

_SHARE: Final = 0.35


def water_run(profile: Profile, water: StandingWater) -> tuple[Spot, ...]:
    """Return distance and elevation along the water; empty if it is not on the line.

    In a link it stands from the low end up, over the whole of a level one; at a point
    it reaches into what rises from it on both sides.
    """
    for reach in profile.reaches:
        if reach.link == water.at:
            one, two = (profile.stations[end] for end in (reach.start, reach.end))
            first = (one.distance_m, one.elevation_m)
            last = (two.distance_m, two.elevation_m)
            if abs(first[1] - last[1]) < 1e-3:
                return (first, last)
            low, high = (first, last) if first[1] < last[1] else (last, first)
            return (low, _part_way(low, high, _SHARE))
    for place, station in enumerate(profile.stations):
        if station.point == water.at:
            here = (station.distance_m, station.elevation_m)
            before, after = _neighbours(profile, place, here)
            return (*before, here, *after)
    return ()


def _neighbours(
    profile: Profile, place: int, here: Spot
) -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """Return how far the water reaches to both sides of a point."""
    before: tuple[Spot, ...] = ()
    after: tuple[Spot, ...] = ()
    for reach in profile.reaches:
        if place not in (reach.start, reach.end):
            continue
        other = profile.stations[reach.end if place == reach.start else reach.start]
        there = (other.distance_m, other.elevation_m)
        if there[1] < here[1] - 1e-3:
            continue
        tip = _part_way(here, there, _SHARE)
        if there[0] < here[0]:
            before = (tip,)
        else:
            after = (tip,)
    return before, after


def _part_way(start: Spot, end: Spot, share: float) -> Spot:
    return (
        start[0] + share * (end[0] - start[0]),
        start[1] + share * (end[1] - start[1]),
    )
