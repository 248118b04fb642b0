"""The flow of one zone that runs on water, and the pressures at its heads."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from maintenance.engine.errors import InputError, NoConvergenceError
from maintenance.engine.figure import Warning
from maintenance.engine.line_loss import mean_velocity
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.steady_flow import Pipework, Steady, solve_for_flow
from maintenance.engine.network.water_ways import (
    PASCALS_PER_METRE,
    Feed,
    Waterway,
    find_feeds,
    find_waterway,
)
from maintenance.engine.network.zone_facts import (
    assumptions,
    missing_facts,
    named,
    why_at_most,
)
from maintenance.engine.network.zone_pipework import bore_m, lay_pipework
from maintenance.engine.site import CheckValve, IsolationValve, Pipe, Supply, ZoneValve
from maintenance.engine.site.wording import nearest, shown

LimitedBy = Literal["source_pressure", "source_flow", "unknown"]


@dataclass(frozen=True, slots=True)
class ZoneFlow:
    """What one zone draws while it runs alone.

    ``flow_m3_per_s`` is None where a fact is missing; ``missing`` then says what to
    measure. ``limited_by`` is what sets the flow: the pressure of the source with the
    friction on the way, or the most that the source gives. ``at_most`` is true where
    what some part takes is not recorded: the zone then draws this much or less.
    ``pump`` is the pump that presses, if one does. Pressures are gauge, at the nozzle;
    0 where the water does not reach it.
    """

    valve: str
    source: str | None
    pump: str | None
    flow_m3_per_s: float | None
    limited_by: LimitedBy
    at_most: bool
    head_pressure_pa: Mapping[str, float]
    velocity_m_per_s: Mapping[str, float]
    missing: tuple[Warning, ...]
    warnings: tuple[Warning, ...]
    assumptions: tuple[str, ...]


def zone_flow(graph: Graph, valve_id: str, *, source: str | None = None) -> ZoneFlow:
    """Work out what a zone draws and how its heads are pressed, in summer.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    valve_id : str
        Id of the zone valve that stands open; all others are shut. [-]
    source : str, optional
        Id of the source that feeds it; without it the one of those open to the zone
        that has the highest pressure. The others are taken as shut. [-]

    Returns
    -------
    ZoneFlow
        Flow, pressures and velocities, or what to measure first. [SI]

    Raises
    ------
    InputError
        If no zone valve or no source has that id.

    Notes
    -----
    Steady flow: at every point what comes in goes out; every pipe loses head by Hazen
    and Williams, a zone valve by its flow coefficient, a head gives k sqrt(p). A source
    keeps its static pressure (a pump its shut-off pressure) until the flow reaches the
    most that it gives, then its pressure falls to that at which the zone draws just
    this. Rings are solved as rings.

    References
    ----------
    See `solve_for_head`; the same results from EPANET 2.3 are held to within 1.5 %.
    """
    valve = graph.links.get(valve_id)
    if not isinstance(valve, ZoneValve):
        valves = [k.id for k in graph.links.values() if isinstance(k, ZoneValve)]
        raise InputError(
            f'no zone valve is called "{shown(valve_id)}"'
            f"{nearest(valve_id, valves) or '; look it up in the site file.'}",
            input="valve",
        )
    feeds = find_feeds(graph, valve)
    feed = _choose(graph, feeds, source)
    if feed is None:
        return _unknown(valve, (_no_water(graph, valve, feeds, source),))
    way = find_waterway(graph, feed, valve)
    others = _others(valve, feed, feeds)
    missing = missing_facts(graph, feed, way)
    if missing or feed.head_m is None:
        return _unknown(valve, missing, feed, others)
    pipework = lay_pipework(graph, feed, way)
    most = float("inf") if feed.most_m3_per_s is None else feed.most_m3_per_s
    try:
        steady, held_back = solve_for_flow(pipework, feed.head_m, most)
    except NoConvergenceError:
        return _unknown(valve, (_not_settled(valve, way),), feed, others)
    pressures = _head_pressures(way, pipework, steady)
    doubts = why_at_most(graph, feed, way)
    return ZoneFlow(
        valve=valve.id,
        source=feed.source,
        pump=feed.pump,
        flow_m3_per_s=float(steady.flow_m3_per_s[len(way.links) :].sum()),
        limited_by="source_flow" if held_back else "source_pressure",
        at_most=bool(doubts),
        head_pressure_pa=pressures,
        velocity_m_per_s=_velocities(graph, way, steady),
        missing=(),
        warnings=(*others, *_dry_heads(pressures)),
        assumptions=(*doubts, *assumptions(way)),
    )


def _choose(graph: Graph, feeds: tuple[Feed, ...], source: str | None) -> Feed | None:
    """Take the feed that is named, else the one with the highest pressure recorded."""
    if source is not None:
        if not isinstance(graph.points.get(source), Supply):
            supplies = [p.id for p in graph.points.values() if isinstance(p, Supply)]
            raise InputError(
                f'no source is called "{shown(source)}"'
                f"{nearest(source, supplies) or '; look it up in the site file.'}",
                input="source",
            )
        feeds = tuple(feed for feed in feeds if feed.source == source)
    return max(feeds, key=_head_or_least, default=None)


def _head_or_least(feed: Feed) -> float:
    return float("-inf") if feed.head_m is None else feed.head_m


def _others(
    valve: ZoneValve, feed: Feed, feeds: tuple[Feed, ...]
) -> tuple[Warning, ...]:
    """Say which other sources and pumps are open to the zone and taken as shut."""
    if len(feeds) == 1:
        return ()
    unknown = [_name(each) for each in feeds if each.head_m is None]
    doubt = f" No pressure is recorded for {named(unknown)}." if unknown else ""
    text = (
        f"More than one stands open to {valve.id} in summer: "
        f"{named([_name(each) for each in feeds])}. The flow is that of {_name(feed)} "
        f"alone.{doubt}"
    )
    about = dict.fromkeys(each.source for each in feeds)
    return (Warning("two_sources", text, tuple(about)),)


def _name(feed: Feed) -> str:
    return feed.pump or feed.source


def _no_water(
    graph: Graph, valve: ZoneValve, feeds: tuple[Feed, ...], source: str | None
) -> Warning:
    """Say that nothing presses on the zone, or not the source that was named."""
    if feeds:
        text = (
            f"{source} does not press on {valve.id} as the valves stand in summer; "
            f"{named([_name(feed) for feed in feeds])} does."
        )
        return Warning("no_water", text, (valve.id,))
    shut = [
        link.id
        for link in graph.links.values()
        if isinstance(link, IsolationValve) and link.summer == "closed"
    ]
    look = f" ({named(shut)})" if shut else ""
    text = (
        f"Nothing presses on {valve.id} as the site is recorded in summer: look at the "
        f"valves that are closed then{look} and at the direction of checks, assemblies "
        "and pumps."
    )
    return Warning("no_water", text, (valve.id, *shut))


def _not_settled(valve: ZoneValve, way: Waterway) -> Warning:
    one_way = [
        link.id
        for link in way.links
        if isinstance(link, CheckValve) or link.kind == "pressure_regulator"
    ]
    look = f": look at the record of {named(one_way)}" if one_way else ""
    text = f"No steady flow was found for {valve.id}{look}."
    return Warning("not_settled", text, (valve.id, *one_way))


def _unknown(
    valve: ZoneValve,
    missing: tuple[Warning, ...],
    feed: Feed | None = None,
    warnings: tuple[Warning, ...] = (),
) -> ZoneFlow:
    return ZoneFlow(
        valve=valve.id,
        source=feed.source if feed else None,
        pump=feed.pump if feed else None,
        flow_m3_per_s=None,
        limited_by="unknown",
        at_most=False,
        head_pressure_pa={},
        velocity_m_per_s={},
        missing=missing,
        warnings=warnings,
        assumptions=(),
    )


def _head_pressures(way: Waterway, net: Pipework, steady: Steady) -> dict[str, float]:
    """Return the pressure at each nozzle: what its outlet, a last branch, falls by."""
    falls = (steady.head_m[net.start] - steady.head_m[net.end])[len(way.links) :]
    return {
        head.id: max(0.0, float(fall)) * PASCALS_PER_METRE
        for head, fall in zip(way.heads, falls, strict=True)
    }


def _velocities(graph: Graph, way: Waterway, steady: Steady) -> dict[str, float]:
    flows = zip(way.links, steady.flow_m3_per_s, strict=False)
    return {
        link.id: float(mean_velocity(abs(flow), bore_m(graph, link)))
        for link, flow in flows
        if isinstance(link, Pipe)
    }


def _dry_heads(pressures: Mapping[str, float]) -> tuple[Warning, ...]:
    dry = tuple(head for head, pressure in pressures.items() if pressure <= 0.0)
    if not dry:
        return ()
    text = f"No water reaches {named(dry)}: too high for the pressure that is left."
    return (Warning("no_water_at_head", text, dry),)
