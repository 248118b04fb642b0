"""Which links belong to which zone."""

from maintenance.engine.network.graph import Graph
from maintenance.engine.site import Supply, ZoneValve


def zone_of_links(graph: Graph) -> dict[str, str]:
    """Find the zone of every link.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to str
        Id of the zone by id of the link; links of no zone are left out. [-]

    Notes
    -----
    A zone's links are those reached from its valve without crossing another zone valve
    and without passing through a supply; the valve itself is one of them. What two
    zones reach belongs to the first.
    """
    zone_of_valve = {zone.valve: zone.id for zone in graph.site.zones if zone.valve}
    found: dict[str, str] = {}
    for valve, zone in zone_of_valve.items():
        found[valve] = zone
        waiting, seen = [graph.links[valve].to], {graph.links[valve].to}
        while waiting:
            point = waiting.pop()
            if isinstance(graph.points[point], Supply):
                continue
            for link_id in graph.joined[point]:
                link = graph.links[link_id]
                if isinstance(link, ZoneValve):
                    continue
                found.setdefault(link_id, zone)
                other = graph.other_end(link, point)
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
    return found
