"""Draws the parts of a plan: pipes, hatching, flow, devices, points."""

import itertools
import math
from collections.abc import Mapping
from typing import Final

from maintenance.documents.drawing.canvas import Canvas
from maintenance.documents.drawing.graph import Graph, flow_directions, main_points
from maintenance.documents.drawing.hatching import BAND, paint
from maintenance.documents.drawing.layout import Layout
from maintenance.documents.drawing.sheet import Box, Line, Spot
from maintenance.documents.drawing.svg import Node, add, add_title, number, path_of
from maintenance.documents.drawing.symbols import (
    ALONG_THE_PIPE,
    arc_path,
    draw_symbol,
    link_symbol,
    point_symbol,
)
from maintenance.documents.drawing.words import bore_inches, known_pipe, title
from maintenance.engine.site import Head, Link, Pipe, ZoneValve
from maintenance.engine.units import UnitSystem

_LEAST_FOR_ARROW: Final = 34.0
_ARC_RADIUS: Final = 9.5


def line_width(link: Link) -> float:
    """Return the width of a pipe's line: the larger the pipe, the wider."""
    inches = bore_inches(link) if isinstance(link, Pipe) else None
    return 1.2 if inches is None else min(7.0, max(1.0, 0.5 + 1.5 * inches))


def dashes(link: Link, *, assumed: bool) -> str | None:
    """Return the dash pattern: dashed for an assumed place, dotted for unknown pipe."""
    width = line_width(link)
    unknown = isinstance(link, Pipe) and not known_pipe(link)
    if assumed and unknown:
        return f"{number(4 + 2 * width)} 4 0.1 4"
    if assumed:
        return f"{number(4 + 1.5 * width)} {number(2 + width)}"
    return f"0.1 {number(2.5 * width)}" if unknown else None


def segments(canvas: Canvas) -> list[Line]:
    """Return all straight pieces of all links."""
    return [
        (*start, *end)
        for path in canvas.paths.values()
        for start, end in itertools.pairwise(path)
    ]


def middle_of(path: tuple[Spot, ...]) -> tuple[Spot, float, float]:
    """Return the middle of the longest piece, its direction and its length."""
    pieces = list(itertools.pairwise(path))
    start, end = max(pieces, key=lambda piece: math.dist(*piece))
    angle = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return middle, angle, math.dist(start, end)


def mark_boxes(graph: Graph, canvas: Canvas) -> dict[str, Box]:
    """Return the box that each symbol takes."""
    boxes = {}
    for id_, point in graph.points.items():
        has_arc = isinstance(point, Head) and point.arc is not None
        radius = _ARC_RADIUS if has_arc else point_symbol(point).radius
        boxes[id_] = _box_round(canvas.spots[id_], radius * canvas.symbol_scale)
    for id_, link in graph.links.items():
        symbol = link_symbol(link)
        if symbol is not None:
            middle, _, _ = middle_of(canvas.paths[id_])
            boxes[id_] = _box_round(middle, symbol.radius * canvas.symbol_scale)
    return boxes


def _box_round(spot: Spot, radius: float) -> Box:
    return (spot[0] - radius, spot[1] - radius, spot[0] + radius, spot[1] + radius)


def draw_hatching(
    root: Node, canvas: Canvas, states: Mapping[str, str], prefix: str
) -> None:
    """Lay the hatching of each state under its pipe."""
    group = add(root, "g", class_="drawing-hatching")
    for id_, state in states.items():
        if id_ in canvas.paths:
            add(
                group,
                "path",
                d=path_of(canvas.paths[id_]),
                stroke=paint(prefix, state),
                stroke_width=BAND,
            )


def draw_links(
    root: Node, graph: Graph, layout: Layout, canvas: Canvas, system: UnitSystem
) -> None:
    """Draw every link, with its symbol where it has one."""
    directions, shown = flow_directions(graph), _with_arrow(graph)
    for id_, link in graph.links.items():
        ends = (layout.points[link.from_], layout.points[link.to])
        group = add(root, "g", class_="drawing-mark")
        add_title(group, title(link, graph.points, system))
        add(
            group,
            "path",
            d=path_of(canvas.paths[id_]),
            stroke_width=line_width(link),
            stroke_dasharray=dashes(
                link, assumed=not all(end.recorded for end in ends)
            ),
            stroke_linecap="round" if isinstance(link, Pipe) else None,
        )
        symbol = link_symbol(link)
        middle, angle, length = middle_of(canvas.paths[id_])
        if symbol is not None:
            draw_symbol(
                group,
                symbol,
                *middle,
                scale=canvas.symbol_scale,
                turned_deg=angle,
            )
        elif id_ in directions and id_ in shown and length >= _LEAST_FOR_ARROW:
            forward = directions[id_] == (link.from_, link.to)
            _draw_arrow(group, middle, angle if forward else angle + 180, link)


def _with_arrow(graph: Graph) -> frozenset[str]:
    """Return the pipes of the main and the first of each lateral: enough to follow."""
    main = main_points(graph)
    first = {end for link in graph.links.values() for end in _after_valve(link)}
    return frozenset(
        id_
        for id_, link in graph.links.items()
        if {link.from_, link.to} & first or {link.from_, link.to} <= main
    )


def _after_valve(link: Link) -> tuple[str, ...]:
    return (link.to,) if isinstance(link, ZoneValve) else ()


def _draw_arrow(group: Node, at: Spot, angle: float, link: Link) -> None:
    half = 2.5 + 0.7 * line_width(link)
    where = f"translate({number(at[0])} {number(at[1])}) rotate({number(angle)})"
    tip, side = number(half), number(half)
    add(
        group,
        "path",
        transform=where,
        d=f"M-{tip}-{side}L{tip} 0L-{tip} {side}",
        stroke_width=1.2,
    )


def draw_points(root: Node, graph: Graph, canvas: Canvas, system: UnitSystem) -> None:
    """Draw every point; a head with the arc that it waters."""
    scale = canvas.symbol_scale
    for id_, point in graph.points.items():
        x, y = canvas.spots[id_]
        group = add(root, "g", class_="drawing-mark")
        add_title(group, title(point, graph.points, system))
        away = _away_from_pipes(graph, canvas, id_)
        if isinstance(point, Head) and point.arc is not None and point.arc.value > 0:
            add(
                group,
                "path",
                class_="drawing-arc",
                transform=f"translate({number(x)} {number(y)})",
                d=arc_path(point.arc.value, away, _ARC_RADIUS * scale),
                stroke_width=0.7,
                stroke_opacity=0.7,
            )
        turned = away if point.kind in ALONG_THE_PIPE else 0.0
        draw_symbol(group, point_symbol(point), x, y, scale=scale, turned_deg=turned)


def _away_from_pipes(graph: Graph, canvas: Canvas, id_: str) -> float:
    """Return the direction away from the pipes at a point; to a side of a line."""
    x, y = canvas.spots[id_]
    total_x = total_y = 0.0
    side = -90.0
    for link in graph.at[id_]:
        path = canvas.paths[link.id]
        near = path[1] if link.from_ == id_ else path[-2]
        length = math.dist((x, y), near) or 1.0
        total_x -= (near[0] - x) / length
        total_y -= (near[1] - y) / length
        side = math.degrees(math.atan2(near[1] - y, near[0] - x)) - 90
    if math.hypot(total_x, total_y) < 0.2:
        return side
    return math.degrees(math.atan2(total_y, total_x))
