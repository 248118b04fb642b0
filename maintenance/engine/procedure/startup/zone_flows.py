"""What a zone should draw, and how long its pipes take to fill."""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.engine.network.graph import Graph
from maintenance.engine.network.zone_flow import zone_flow
from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.site import Head
from maintenance.engine.startup.fill import fill_time


@dataclass(frozen=True, slots=True)
class ZoneExpected:
    """A zone's heads and pipes.

    ``flow_m3_per_s`` is what it draws from its source as the pipes are recorded, with
    ``at_most`` that or less; ``rated_m3_per_s`` the sum of its heads' flows at the
    pressures ``rated_pa`` that they are recorded for, None where ``unknown`` names heads
    without. ``fill_s`` is how long the rated flow takes to fill the lateral.
    """

    heads: int
    flow_m3_per_s: float | None
    at_most: bool
    rated_m3_per_s: float | None
    rated_pa: tuple[float, ...]
    unknown: tuple[str, ...]
    fill_s: float | None


def expected_flows(graph: Graph) -> Mapping[str, ZoneExpected]:
    """Work out what each zone should draw.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    mapping of str to ZoneExpected
        By zone. [m3/s]
    """
    links: dict[str, list[str]] = {}
    for link, zone in zone_of_links(graph).items():
        links.setdefault(zone, []).append(link)
    valves = {zone.id: zone.valve for zone in graph.site.zones if zone.valve}
    return {zone: _expected(graph, valves[zone], own) for zone, own in links.items()}


def _expected(graph: Graph, valve: str, links: list[str]) -> ZoneExpected:
    ends = {p for key in links for p in (graph.links[key].from_, graph.links[key].to)}
    heads = [h for p in sorted(ends) if isinstance(h := graph.points[p], Head)]
    flows = {head.id: _of_head(head) for head in heads}
    unknown = tuple(key for key, flow in flows.items() if flow is None)
    rated = None
    if heads and not unknown:
        rated = sum(flow for flow in flows.values() if flow is not None)
    pressures = {h.at_pressure.value for h in heads if h.at_pressure is not None}
    volumes = [graph.bores[key].volume_m3 for key in links if key in graph.bores]
    known = [volume for volume in volumes if volume is not None]
    fill = None
    if rated and volumes and len(known) == len(volumes):
        fill = float(fill_time(sum(known), rated))
    drawn = zone_flow(graph, valve)
    return ZoneExpected(
        len(heads),
        drawn.flow_m3_per_s,
        drawn.at_most,
        rated,
        tuple(sorted(pressures)),
        unknown,
        fill,
    )


def _of_head(head: Head) -> float | None:
    if head.flow is not None:
        return head.flow.value
    if head.k is not None and head.at_pressure is not None:
        return float(head.k.value * head.at_pressure.value**0.5)
    return None
