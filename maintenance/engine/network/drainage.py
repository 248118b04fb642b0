"""Where water stays when a network is left to drain, and where air cannot follow it."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from maintenance.engine.network.drain_states import DrainStates
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.spill_level import (
    SAME_M,
    Channels,
    Levels,
    find_aired,
    find_channels,
    spill_levels,
)
from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.site import Link, Pipe

MAIN: Final = "main"
LinkState = Literal["trapped", "partly", "air_locked", "drained"]


@dataclass(frozen=True, slots=True)
class LinkWater:
    """What stays in one link; the volume is None where it holds water of unknown bore.

    ``air_locked_length_m`` lies above the level left, but no air can follow the water
    there. A valve or device has no length; its state is that of its two ends.
    """

    link: str
    state: LinkState
    wet_length_m: float
    wet_volume_m3: float | None
    air_locked_length_m: float


@dataclass(frozen=True, slots=True)
class Drainage:
    """Where water stays in a network whose parts stand as ``states`` says.

    ``level_m`` is infinite where nothing lets the water out. ``opened`` names the
    automatic drains that opened, ``aired`` the points that air reaches.
    """

    states: DrainStates
    channels: Channels
    levels: Levels
    aired: frozenset[str]
    links: tuple[LinkWater, ...]
    trapped_m3: float | None
    trapped_by_zone: Mapping[str, float | None]

    @property
    def level_m(self) -> Mapping[str, float]:
        """Level left at every point, in the site's own elevations. [m]."""
        return self.levels.level_m

    @property
    def opened(self) -> tuple[str, ...]:
        """Automatic drains that opened. [-]."""
        return tuple(each.point for each in self.levels.opened)

    @property
    def wet_length_m(self) -> float:
        """Length of pipe with water, of unknown size or not. [m]."""
        return sum(each.wet_length_m for each in self.links)

    @property
    def air_locked_length_m(self) -> float:
        """Length of pipe that may not drain, since no air gets in. [m]."""
        return sum(each.air_locked_length_m for each in self.links)

    def is_wet(self, point: str) -> bool:
        """Whether a point lies below the level left.

        Parameters
        ----------
        point : str
            Id of the point. [-]

        Returns
        -------
        bool
            True where water stays even with air let in. [-]
        """
        return self.levels.level_m[point] - self.channels.elevation_m[point] > SAME_M


def find_drainage(graph: Graph, states: DrainStates) -> Drainage:
    """Work out where water stays when a network is left to drain.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    states : DrainStates
        How every part stands. [-]

    Returns
    -------
    Drainage
        Levels, and the water in every link. [SI]

    Notes
    -----
    All pipe is full at first. A pipe lies straight between its ends, so that below the
    level left it is wet over (level - low end) / (high end - low end) of its length; a
    level pipe is wet wholly or not at all. Water that a film, a joint or a sag between
    the ends keeps is not counted; a level is good to about one pipe diameter.
    """
    channels = find_channels(graph, states)
    levels = spill_levels(channels, states.openings)
    # An automatic drain that stays shut has water over it, and so lets no air in.
    aired = find_aired(channels, levels.level_m, states.openings)
    links = tuple(_link_waters(graph, channels, levels.level_m, aired))
    zones = zone_of_links(graph)
    by_zone: dict[str, list[float | None]] = {z.id: [] for z in graph.site.zones}
    by_zone[MAIN] = []
    for each in links:
        by_zone[zones.get(each.link, MAIN)].append(each.wet_volume_m3)
    return Drainage(
        states=states,
        channels=channels,
        levels=levels,
        aired=aired,
        links=links,
        trapped_m3=known_sum(each.wet_volume_m3 for each in links),
        trapped_by_zone={key: known_sum(found) for key, found in by_zone.items()},
    )


def known_sum(values: Iterable[float | None]) -> float | None:
    """Add what is known.

    Parameters
    ----------
    values : iterable of float or None
        Volumes, None where there is water of unknown volume. [m³]

    Returns
    -------
    float or None
        Their sum; None where there is water and no volume of it is known. [m³]

    Examples
    --------
    >>> known_sum([1.0, None]), known_sum([0.0, None]), known_sum([])
    (1.0, None, 0.0)
    """
    found = list(values)
    total = math.fsum(each for each in found if each is not None)
    return None if total == 0.0 and None in found else total


def wet_share(level_m: float, low_m: float, high_m: float) -> float:
    """Return the share of a straight pipe that lies below a level.

    Parameters
    ----------
    level_m : float
        Level left at the low end. [m]
    low_m, high_m : float
        Elevation of its ends. [m]

    Returns
    -------
    float
        From 0 to 1. [-]

    Examples
    --------
    >>> wet_share(98.0, 95.0, 99.0), wet_share(95.0, 95.0, 95.0)
    (0.75, 0.0)
    """
    if level_m - low_m <= SAME_M:
        return 0.0
    if level_m - high_m >= -SAME_M:
        return 1.0
    return (level_m - low_m) / (high_m - low_m)


def _link_waters(
    graph: Graph,
    channels: Channels,
    levels_m: Mapping[str, float],
    aired: frozenset[str],
) -> Iterator[LinkWater]:
    elevations = channels.elevation_m
    for link in graph.links.values():
        if not isinstance(link, Pipe):
            yield LinkWater(
                link.id, _device_state(link, elevations, levels_m, aired), 0.0, 0.0, 0.0
            )
            continue
        low, high = link.from_, link.to
        if elevations[low] > elevations[high]:
            low, high = high, low
        share = wet_share(levels_m[low], elevations[low], elevations[high])
        bore = graph.bores[link.id]
        wet_m = share * bore.length_m
        # The part above the water hangs on the upper end: air comes from there.
        locked_m = 0.0 if high in aired else bore.length_m - wet_m
        volume = bore.volume_m3
        if share == 0.0:
            yield LinkWater(
                link.id, "air_locked" if locked_m else "drained", 0.0, 0.0, locked_m
            )
        else:
            yield LinkWater(
                link.id,
                "trapped" if share == 1.0 else "partly",
                wet_m,
                None if volume is None else share * volume,
                locked_m if share < 1.0 else 0.0,
            )


def _device_state(
    link: Link,
    elevations: Mapping[str, float],
    levels_m: Mapping[str, float],
    aired: frozenset[str],
) -> LinkState:
    ends = (link.from_, link.to)
    wet = [levels_m[end] - elevations[end] > SAME_M for end in ends]
    if all(wet):
        return "trapped"
    if any(wet):
        return "partly"
    return "drained" if aired.issuperset(ends) else "air_locked"
