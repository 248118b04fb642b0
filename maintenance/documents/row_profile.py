"""The profile of one row: from the port to its farthest outlet, as computed."""

from dataclasses import replace

from maintenance.documents.drawing.line import (
    Profile,
    Reach,
    StandingWater,
    Station,
)
from maintenance.engine.blowout.limits import row_limit
from maintenance.engine.blowout.rows import Row, Segment
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.site import Head, Pipe, Site
from maintenance.engine.site.card import lay_out


def row_profile(site: Site, sheet: RowSheet, *, temperature_k: float) -> Profile:
    """Draw up the line of a row for `profile_svg`.

    A row without a way has no stations; the drawing then says so in words.
    """
    graph = build_graph(lay_out(site))
    way = _way(sheet.row)
    stations: list[Station] = []
    reaches: list[Reach] = []
    # Where the line falls, water runs with the air: only a rise is marked.
    swept = {part.link: part.swept for part in sheet.sweep if part.rises}
    along = 0.0
    for part in way:
        if not stations or stations[-1].point != part.start:
            stations.append(_station(graph, part.start, part.z_start_m, along))
        first = len(stations) - 1
        along += part.length_m
        stations.append(_station(graph, part.end, part.z_end_m, along))
        limit = _limit(graph, sheet.row, part, temperature_k)
        reaches.append(
            Reach(
                link=part.link,
                start=first,
                end=first + 1,
                pipe_text=_pipe_text(graph, part.link),
                limit_pa=limit,
                swept=swept.get(part.link),
            )
        )
    on_the_line = {station.point for station in stations}
    standing = tuple(
        StandingWater(at=w.at, volume_m3=w.volume_m3, fills_bore=w.fills_bore)
        for w in sheet.standing_water
        if w.at in on_the_line
    )
    return Profile(
        name=sheet.name,
        stations=tuple(stations),
        reaches=tuple(reaches),
        standing=standing,
        setting_pa=sheet.set_pressure_pa,
        plateau_pa=sheet.gauge.dry_pa if sheet.gauge else None,
    )


def _way(row: Row) -> list[Segment]:
    """Return the pipes from the port to the end that lies farthest from it."""
    if not row.segments:
        return []
    run = [0.0] * len(row.segments)
    for number, part in enumerate(row.segments):
        run[number] = part.length_m + (run[part.before] if part.before >= 0 else 0.0)
    at = max(range(len(run)), key=lambda number: run[number])
    way = []
    while at >= 0:
        way.append(row.segments[at])
        at = row.segments[at].before
    return way[::-1]


def _station(graph: Graph, point: str, elevation_m: float, along_m: float) -> Station:
    kind = graph.points[point]
    label = f"head {point}" if isinstance(kind, Head) else ""
    if kind.kind == "blowout_port":
        label = f"port {point}"
    return Station(
        distance_m=along_m, elevation_m=elevation_m, point=point, label=label
    )


def _limit(graph: Graph, row: Row, part: Segment, temperature_k: float) -> float | None:
    """Return the limit of a pipe and of what stands at its end, as the gauge shows it."""
    alone = replace(row, links=(part.link,), points=(part.end,))
    return row_limit(graph, alone, temperature_k=temperature_k).limit_pa


def _pipe_text(graph: Graph, link_id: str) -> str:
    link = graph.links[link_id]
    if not isinstance(link, Pipe):
        return ""
    return f"{link.size or ''} {link.pipe or link.material or 'pipe'}".strip()
