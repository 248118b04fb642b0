"""Rows of the sheet: what is blown in one go, as a tree of pipes and outlets."""

import math
from dataclasses import dataclass

from maintenance.engine.blowout.outlets import RowOutlet, make_outlet, opening_bore
from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.network.air_ways import Barred, Ways, bar_rings, find_ways
from maintenance.engine.network.graph import Graph, zone_valves
from maintenance.engine.site import Drain, Head, Outlet, Pipe, ZoneValve
from maintenance.engine.units import parse_quantity


@dataclass(frozen=True, slots=True)
class Segment:
    """One pipe on the row's way, in the direction of the air.

    ``before`` is the index of the segment upstream, -1 at the port;
    ``valve_area_m2`` the effective area of valves at its start (infinite if none).
    """

    link: str
    start: str
    end: str
    before: int
    length_m: float
    diameter_m: float
    z_start_m: float
    z_end_m: float
    valve_area_m2: float

    @property
    def volume_m3(self) -> float:
        """Volume of the bore. [m³]."""
        return math.pi / 4 * self.diameter_m**2 * self.length_m

    @property
    def low_end(self) -> str:
        """The lower of its points; the first if level. [-]."""
        return self.start if self.z_start_m <= self.z_end_m else self.end

    @property
    def sin_slope(self) -> float:
        """Sine of the slope, positive where the air climbs. [-]."""
        rise = (self.z_end_m - self.z_start_m) / self.length_m
        return max(-1.0, min(1.0, rise))


@dataclass(frozen=True, slots=True)
class Row:
    """A main, a zone or a coupler with its way from the port.

    ``problems`` says why the row cannot be computed; then the tree may be empty.
    ``links`` and ``points`` name every part on the way, devices included.
    """

    key: str
    kind: str
    zone: str | None
    to: str
    port: str
    port_z_m: float
    distance_m: float
    segments: tuple[Segment, ...]
    outlets: tuple[RowOutlet, ...]
    links: tuple[str, ...]
    points: tuple[str, ...]
    problems: tuple[tuple[str, str], ...] = ()

    @property
    def volume_m3(self) -> float:
        """Bore of all pipe on the way. [m³]."""
        return sum(segment.volume_m3 for segment in self.segments)

    @property
    def lift_m(self) -> float:
        """Most that an outlet, with what its check holds, lies over its way [m].

        The air stands at the front, and the front passes the lowest point.
        """
        lowest: list[float] = []
        for part in self.segments:
            above = lowest[part.before] if part.before >= 0 else self.port_z_m
            lowest.append(min(above, part.z_start_m, part.z_end_m))
        lifts = [
            self.segments[o.segment].z_end_m
            + o.height_m
            + o.holding_m
            - lowest[o.segment]
            for o in self.outlets
        ]
        return max(lifts, default=0.0)


def build_rows(
    graph: Graph, *, alone: str | None = None
) -> tuple[tuple[Row, ...], Barred]:
    """Build the rows of a site: mains, then zones, then couplers.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    alone : str, optional
        Build only this zone and the main of its port. [-]

    Returns
    -------
    tuple of (rows, Barred)
        Rows in the order of the file, and what was barred. [-]
    """
    barred = bar_rings(graph)
    ports = [p.id for p in graph.points.values() if p.kind == "blowout_port"]
    plain = {port: find_ways(graph, port, barred) for port in ports}
    mains = [_main_row(graph, plain[port]) for port in ports]
    rows = [row for row in mains if row is not None]
    zones = [
        _zone_row(graph, valve, ports, barred)
        for valve in zone_valves(graph)
        if alone is None or alone in (valve.zone, zone_of(graph, valve))
    ]
    if alone is not None:
        wanted = {zone.port for zone in zones}
        return tuple([r for r in rows if r.port in wanted] + zones), barred
    rows += zones
    taken = {row.to for row in rows}
    for point in graph.points.values():
        if point.kind == "quick_coupler" and point.id not in taken:
            ways = _nearest(graph, list(plain.values()), point.id)
            if ways is not None:
                key = f"coupler:{point.id}"
                rows.append(_row(graph, ways, key, "coupler", None, (point.id,)))
    return tuple(rows), barred


def _nearest(graph: Graph, ways: list[Ways], point: str) -> Ways | None:
    reaching = [w for w in ways if point in w.distance_m]
    return min(
        reaching,
        key=lambda w: (_exposed_plastic(graph, w, point), w.distance_m[point]),
        default=None,
    )


def _exposed_plastic(graph: Graph, ways: Ways, point: str) -> bool:
    from_port = (graph.bores.get(link) for link, _, _ in ways.path(point))
    return any(
        bore is not None
        and bore.placement != "buried"
        and bore.material not in ("copper", "steel")
        for bore in from_port
    )


def _main_row(graph: Graph, ways: Ways) -> Row | None:
    best, best_rank = None, (0.0, 0.0)
    for point in graph.points.values():
        if point.id not in ways.distance_m or not isinstance(point, (Outlet, Drain)):
            continue
        bore = opening_bore(graph, point)
        rank = (bore or 0.0, ways.distance_m[point.id])
        if bore is not None and rank[1] > 0 and rank > best_rank:
            best, best_rank = point.id, rank
    if best is None:
        return None
    return _row(graph, ways, f"main:{best}", "main", None, (best,))


def zone_of(graph: Graph, valve: ZoneValve) -> str:
    """Return the id of the zone of a valve, or the valve's own id.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    valve : ZoneValve
        The valve. [-]

    Returns
    -------
    str
        Id. [-]
    """
    named = (z.id for z in graph.site.zones if z.valve == valve.id)
    return next(named, valve.zone or valve.id)


def _zone_row(graph: Graph, valve: ZoneValve, ports: list[str], barred: Barred) -> Row:
    key = zone_of(graph, valve)
    options = [find_ways(graph, p, barred, open_valve=valve.id) for p in ports]
    ways = _nearest(graph, options, valve.to)
    if ways is None:
        why = "no blow-out port" if not ports else "no port that air reaches it from"
        text = (
            f"Zone {key} has {why}: fit a port downstream of the backflow assembly "
            "and enter it as a point of kind blowout_port."
        )
        why_not = (("no_port", text),)
        return Row(key, "zone", key, valve.to, "", 0.0, 0.0, (), (), (), (), why_not)
    heads = tuple(
        p.id
        for p in graph.points.values()
        if isinstance(p, Head)
        and p.id in ways.distance_m
        and any(step[0] == valve.id for step in ways.path(p.id))
    )
    return _row(graph, ways, key, "zone", key, heads, valve.to)


def _row(
    graph: Graph,
    ways: Ways,
    key: str,
    kind: str,
    zone: str | None,
    ends: tuple[str, ...],
    to: str = "",
) -> Row:
    segments: list[Segment] = []
    at: dict[str, tuple[int, float]] = {ways.port: (-1, math.inf)}
    links: dict[str, None] = {}
    problems: dict[tuple[str, str], None] = {}
    for end in ends:
        for link_id, start, stop in ways.path(end):
            links[link_id] = None
            if stop in at:
                continue
            before, area = at[start]
            link = graph.links[link_id]
            if not isinstance(link, Pipe):
                at[stop] = (before, _series(area, _valve_area(link)))
                continue
            bore = graph.bores[link_id]
            if bore.inside_diameter_m is None:
                text = f"links {link_id}.size is missing: measure it (string round the pipe)."
                problems[("missing_size", text)] = None
            segments.append(
                Segment(
                    link_id,
                    start,
                    stop,
                    before,
                    bore.length_m,
                    bore.inside_diameter_m or math.nan,
                    graph.points[start].elevation.value,
                    graph.points[stop].elevation.value,
                    area,
                )
            )
            at[stop] = (len(segments) - 1, math.inf)
    outlets = []
    for end in ends:
        outlet = make_outlet(graph, end, at[end][0])
        if outlet is None:
            text = f"points {end}: its flow and pressure are missing; enter flow and at_pressure."
            problems[("missing_flow", text)] = None
        elif outlet.segment >= 0:
            outlets.append(outlet)
    if not ends:
        problems[("no_outlet", f"{key} has no head that air could leave by.")] = None
    far = max((ways.distance_m[end] for end in ends), default=0.0)
    points = dict.fromkeys(
        p for end in ends for _, a, b in ways.path(end) for p in (a, b)
    )
    return Row(
        key,
        kind,
        zone,
        to or (ends[0] if ends else ""),
        ways.port,
        graph.points[ways.port].elevation.value,
        far,
        tuple(segments),
        tuple(outlets),
        tuple(links),
        tuple(points),
        tuple(problems),
    )


def _series(first: float, second: float) -> float:
    if math.isinf(first) or math.isinf(second):
        return min(first, second)
    return 1.0 / math.sqrt(1.0 / first**2 + 1.0 / second**2)


def _valve_area(link: object) -> float:
    if isinstance(link, ZoneValve) and link.cv is not None:
        k_si = link.cv * parse_quantity("1 gpm/psi^0.5", "outlet_coefficient")
        return k_si * math.sqrt(WATER_DENSITY / 2.0)
    return math.inf
