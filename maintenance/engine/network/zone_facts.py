"""What the flow of a running zone rests on: facts that are missing, facts assumed."""

from collections.abc import Iterator, Sequence
from typing import Final

from maintenance.engine.figure import Warning
from maintenance.engine.network.bores import UNKNOWN_CLASSES
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.water_ways import Feed, Waterway
from maintenance.engine.network.zone_pipework import (
    ROUGHNESS,
    SMOOTH_PIPE,
    head_coefficient,
)
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    InlineDevice,
    IsolationValve,
    Link,
    Pipe,
    ZoneValve,
)
from maintenance.engine.site.quantities import ASSUMED

ALWAYS: Final = (
    "The source keeps its pressure while the zone runs; nothing else draws water.",
    "Drains, couplers and test cocks are shut; every head runs as its record says.",
    "Tees, elbows and valves that stand open take no pressure.",
    (
        f"Friction by Hazen and Williams, C = {SMOOTH_PIPE:g} for plastic, "
        f"{ROUGHNESS['copper']:g} copper, {ROUGHNESS['steel']:g} steel."
    ),
)
_TAKING: Final = ("meter", "flow_sensor", "filter", "injector", "master_valve")


def missing_facts(graph: Graph, feed: Feed, way: Waterway) -> tuple[Warning, ...]:
    """Say what must be measured before the flow can be worked out.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    feed : Feed
        Where the water comes from. [-]
    way : Waterway
        The ways of the water. [-]

    Returns
    -------
    tuple of Warning
        One sentence for each kind of fact, with the mend; empty where all is there. [-]
    """
    return tuple(_missing(graph, feed, way))


def why_at_most(graph: Graph, feed: Feed, way: Waterway) -> tuple[str, ...]:
    """Say what was left out that can only make the flow less.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    feed : Feed
        Where the water comes from. [-]
    way : Waterway
        The ways of the water. [-]

    Returns
    -------
    tuple of str
        Sentences, empty where nothing recorded was left out. [-]
    """
    return tuple(_left_out(graph, feed, way))


def assumptions(way: Waterway) -> tuple[str, ...]:
    """Say what else is taken, since nobody recorded it.

    Parameters
    ----------
    way : Waterway
        The ways of the water. [-]

    Returns
    -------
    tuple of str
        Sentences; those of `ALWAYS` first. [-]
    """
    return (*ALWAYS, *_assumed(way))


def named(ids: Sequence[str], key: str = "", *, most: int = 6) -> str:
    """Write ids for a sentence.

    Parameters
    ----------
    ids : sequence of str
        Ids, at least one. [-]
    key : str
        What is written behind each. [-]
    most : int
        Ids written out; of more, the rest are counted. [-]

    Returns
    -------
    str
        Text. [-]

    Examples
    --------
    >>> named(["P1", "P2", "P3"], ".size", most=2)
    'P1.size, P2.size and 1 more'
    """
    shown = ", ".join(f"{id_}{key}" for id_ in ids[:most])
    return shown if len(ids) <= most else f"{shown} and {len(ids) - most} more"


def _missing(graph: Graph, feed: Feed, way: Waterway) -> Iterator[Warning]:
    if feed.head_m is None:
        yield _no_pressure(feed)
    if not way.heads:
        text = (
            "No head is recorded behind this zone valve: enter the heads of the zone."
        )
        yield Warning("no_head", text)
    unsized = [
        link.id
        for link in way.links
        if isinstance(link, Pipe) and graph.bores[link.id].inside_diameter_m is None
    ]
    if unsized:
        text = (
            f"links {named(unsized, '.size')}: missing; measure round the pipe with "
            "a string."
        )
        yield Warning("missing_size", text, tuple(unsized))
    unset = [
        link.id
        for link in way.links
        if isinstance(link, InlineDevice)
        and link.kind == "pressure_regulator"
        and link.outlet_pressure is None
    ]
    if unset:
        text = (
            f"links {named(unset, '.outlet_pressure')}: missing; read it from the "
            "label, or from a gauge behind the regulator while the zone runs."
        )
        yield Warning("missing_outlet_pressure", text, tuple(unset))
    heads = [head.id for head in way.heads if head_coefficient(head) is None]
    if heads:
        text = (
            f"points {named(heads)}: flow and pressure missing; read the nozzle, or "
            "catch its water for a minute, and enter flow and at_pressure."
        )
        yield Warning("missing_flow", text, tuple(heads))


def _no_pressure(feed: Feed) -> Warning:
    if feed.pump is not None:
        text = (
            f"links {feed.pump}.shutoff_pressure: missing; look it up on the pump's "
            "curve. Do not run the pump against a shut valve to find it."
        )
        return Warning("missing_pressure", text, (feed.pump,))
    text = (
        f"points {feed.source}.static_pressure: missing; read a gauge close to the "
        "source while nothing runs."
    )
    return Warning("missing_pressure", text, (feed.source,))


def _left_out(graph: Graph, feed: Feed, way: Waterway) -> Iterator[str]:
    parts = [link.id for link in way.links if _takes_unknown(link)]
    if parts:
        yield f"The loss in {named(parts)} is not recorded, and left out."
    wide = [
        link.id
        for link in way.links
        if isinstance(link, Pipe)
        and (
            link.pipe in UNKNOWN_CLASSES
            or graph.bores[link.id].material not in ROUGHNESS
        )
    ]
    if wide:
        yield f"{named(wide)}: pipe not known, taken as the widest and smoothest."
    if feed.pump is not None:
        yield (
            f"{feed.pump} runs and keeps its shut-off pressure up to its flow, since "
            "its curve is not recorded."
        )
    if feed.most_m3_per_s is None:
        yield f"How much {feed.pump or feed.source} can give is not recorded."


def _takes_unknown(link: Link) -> bool:
    match link:
        case ZoneValve():
            return link.cv is None
        case IsolationValve():
            return link.summer == "half_open"
        case InlineDevice():
            return link.kind in _TAKING
        case _:
            return isinstance(link, (Backflow, CheckValve))


def _assumed(way: Waterway) -> Iterator[str]:
    if way.other_uses:
        yield f"{named(way.other_uses)}: taken to draw nothing meanwhile."
    positions = [
        link.id
        for link in way.links
        if isinstance(link, IsolationValve) and link.summer is None
    ]
    if positions:
        yield f"{named(positions)}: no summer position recorded, taken as open."
    if any(isinstance(k, Pipe) and k.length.origin == ASSUMED for k in way.links):
        yield "The layout of the zone is assumed: a straight run of equal heads."
    if any(head.nozzle_height is None for head in way.heads):
        yield "A nozzle whose height is not recorded stands 0.15 m (6 in) over its pipe."
