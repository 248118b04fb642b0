"""Where water is left at the end of a list: drained, blown, air-locked or trapped."""

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.blowout.aftermath import LEAST_POOL_M3
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Figure, Warning
from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import (
    MAIN,
    Drainage,
    find_drainage,
    known_sum,
)
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.next_drains import NextDrain, rank_next_drains
from maintenance.engine.network.pools import AirLock, find_air_locks
from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.procedure.after_air import LeftState, ToldBy, after_air
from maintenance.engine.procedure.blown_pipes import what_air_left
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.positions import Positions, winter_positions
from maintenance.engine.procedure.water_left_words import (
    Reasons,
    figure_of_trapped,
    left_warnings,
)
from maintenance.engine.procedure.water_places import WaterPlace, find_places
from maintenance.engine.site import Backflow, Link, Pipe, Placement
from maintenance.engine.units import UnitSystem

DEEPEST_FROST_M: Final = 10.0


@dataclass(frozen=True, slots=True)
class LinkLeft:
    """What stays in one link, from the levels or from the sheet, and why.

    ``wet_length_m`` of a blown pipe is the length that its water would fill. The volume
    is None where water stands in a pipe of unknown bore. ``below_frost_depth`` is None
    where the depth of either is not known.
    """

    link: str
    zone: str
    state: LeftState
    wet_length_m: float
    wet_volume_m3: float | None
    air_locked_length_m: float
    told_by: ToldBy
    placement: Placement | None
    below_frost_depth: bool | None
    why: str


@dataclass(frozen=True, slots=True)
class WaterLeft:
    """Where water is left on a site: link by link, pool by pool, by zone, in all.

    ``drainage`` is what gravity alone would leave; everything else counts what was
    blown. Drains in ``next_drains`` are tried one at a time.
    """

    graph: Graph
    drainage: Drainage
    links: tuple[LinkLeft, ...]
    places: tuple[WaterPlace, ...]
    trapped_m3: float | None
    trapped_by_zone: Mapping[str, float | None]
    next_drains: tuple[NextDrain, ...]
    air_locks: tuple[AirLock, ...]
    frost_depth_m: float | None
    figures: Mapping[str, Figure]
    warnings: tuple[Warning, ...]

    @property
    def kept_m3(self) -> float | None:
        """Water that is meant to stay, for a source or another use. [m³]."""
        return known_sum(place.volume_m3 for place in self.places if place.kept)

    @property
    def below_frost_m3(self) -> float | None:
        """Water in pipes that lie deeper than the frost goes. [m³]."""
        return known_sum(e.wet_volume_m3 for e in self.links if e.below_frost_depth)


def water_left(
    graph: Graph,
    positions: Positions,
    *,
    sheet: Sheet | None = None,
    done_rows: Collection[str] | None = None,
    frost_depth_m: float | None = None,
    units: UnitSystem = "us",
) -> WaterLeft:
    """Work out where water is left when a list has been carried out.

    Parameters
    ----------
    graph : Graph
        The site, laid out (a one-card site by `site_from_card`). [-]
    positions : mapping of str to str
        Position of every element at the end of the list, in the words of a list; an
        element that is not named is left as `winter_positions` has it. [-]
    sheet : Sheet, optional
        The whole blow-out sheet of the same site; without it nothing was blown. [-]
    done_rows : collection of str, optional
        Keys of the rows that were blown to their end; default all of the sheet. [-]
    frost_depth_m : float, optional
        Depth to which the ground freezes there. [m]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    WaterLeft
        The map. [SI]

    Raises
    ------
    InputError
        If the sheet is another site's, or the frost depth is no depth.

    Notes
    -----
    In a pipe that air went through stays the lesser of two: what the sheet leaves there
    after settling, and what the levels allow. The sheet replaces the pool of gravity,
    since the first front has driven that water out and what the passes leave is all
    there is; and no pipe at rest keeps more than it would keep if all had been full,
    so what is over runs on to an opening. Nothing is air-locked there: the air is in
    the pipe, and from there it follows what runs off through other pipes. A pipe
    without air through it keeps what the levels say, though some of that may run into
    a blown one: the total stays an upper bound, and a warning names the pipe. What
    would run out at a port is counted as left, as the plug is in at the end.

    A part whose winter position is not recorded stands as the list leaves it (the
    shut-offs and cocks of an assembly half open), while `drain_site` counts it as
    closed: that answers before anyone was there and must not count on an opening that
    nobody made; a list tells the person to make it. A warning names such parts.
    """
    _refuse(graph, sheet, frost_depth_m)
    stands = {**winter_positions(graph), **positions}
    drain_words = drainage_positions(graph, stands)
    drainage = find_drainage(graph, drain_states(graph, drain_words))
    blown = what_air_left(sheet, done_rows)
    after = after_air(graph, drainage, blown)
    locks = find_air_locks(graph, after.left)
    reasons = Reasons(graph, after, blown, locks, units)
    zones = zone_of_links(graph)
    links = tuple(
        LinkLeft(
            link=water.link,
            zone=zones.get(water.link, MAIN),
            state=after.state[water.link],
            wet_length_m=water.wet_length_m,
            wet_volume_m3=water.wet_volume_m3,
            air_locked_length_m=water.air_locked_length_m,
            told_by=after.told_by[water.link],
            placement=_placement(graph.links[water.link]),
            below_frost_depth=_below(graph.links[water.link], frost_depth_m),
            why=reasons.why(water),
        )
        for water in after.left.links
    )
    by_zone: dict[str, list[float | None]] = {z.id: [] for z in graph.site.zones}
    by_zone[MAIN] = []
    for each in links:
        by_zone[each.zone].append(each.wet_volume_m3)
    total = known_sum(each.wet_volume_m3 for each in links)
    return WaterLeft(
        graph=graph,
        drainage=drainage,
        links=links,
        places=find_places(graph, after.left),
        trapped_m3=total,
        trapped_by_zone={zone: known_sum(each) for zone, each in by_zone.items()},
        next_drains=tuple(
            each
            for each in rank_next_drains(graph, after.left)
            if each.empties_m3 is None or each.empties_m3 >= LEAST_POOL_M3
        ),
        air_locks=locks,
        frost_depth_m=frost_depth_m,
        figures={"trapped_m3": figure_of_trapped(total, sheet)},
        warnings=left_warnings(graph, after.left, blown, locks, stands, units),
    )


def _refuse(graph: Graph, sheet: Sheet | None, frost_depth_m: float | None) -> None:
    if sheet is not None and sheet.site != graph.site.id:
        raise InputError(
            f"the blow-out sheet is of the site {sheet.site}, not of {graph.site.id}; "
            "work one out for this site"
        )
    if frost_depth_m is not None and not 0.0 <= frost_depth_m <= DEEPEST_FROST_M:
        raise InputError(
            f"frost depth {frost_depth_m:g} m is no depth of frost; give 0 to "
            f"{DEEPEST_FROST_M:g} m, or leave it out",
            input="frost_depth",
            low=0.0,
            high=DEEPEST_FROST_M,
        )


def _placement(link: Link) -> Placement | None:
    return link.placement if isinstance(link, Pipe | Backflow) else None


def _below(link: Link, frost_depth_m: float | None) -> bool | None:
    """Whether a link lies deeper than the frost goes; None where that is not known."""
    if _placement(link) in ("above_ground", "indoors"):
        return False
    if frost_depth_m is None or not isinstance(link, Pipe) or link.depth is None:
        return None
    depth_m = link.depth.value
    return math.isfinite(depth_m) and depth_m > frost_depth_m
