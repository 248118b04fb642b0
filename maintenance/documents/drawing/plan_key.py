"""The key beside a plan, and the north arrow and scale bar in it."""

import math
from collections.abc import Iterable
from typing import Final

from maintenance.documents.drawing.canvas import Canvas
from maintenance.documents.drawing.graph import Graph
from maintenance.documents.drawing.hatching import BAND, STATES, paint
from maintenance.documents.drawing.layout import HEADINGS, Layout
from maintenance.documents.drawing.lettering import ASCENT, text_box
from maintenance.documents.drawing.plan_marks import dashes, line_width
from maintenance.documents.drawing.sheet import EDGE, WIDTH, KeyLine, Label, Layer
from maintenance.documents.drawing.svg import (
    Node,
    add,
    path_of,
    start_sample,
    write_svg,
)
from maintenance.documents.drawing.symbols import (
    Symbol,
    draw_symbol,
    link_symbol,
    point_symbol,
)
from maintenance.documents.drawing.words import detail, kind_words
from maintenance.engine.site import Head, Link, Pipe, Point, Supply
from maintenance.engine.units import UnitSystem, parse_quantity

_LONGEST_BAR: Final = 170.0
_STRIP: Final = 44.0


def plan_key(
    graph: Graph, layout: Layout, states: Iterable[str], prefix: str
) -> tuple[KeyLine, ...]:
    """Return one line for each symbol, line and hatching that the plan shows."""
    lines = symbol_key(graph)
    for link in graph.links.values():
        ends = (layout.points[link.from_], layout.points[link.to])
        assumed = not all(end.recorded for end in ends)
        words = _line_words(link, assumed=assumed)
        if isinstance(link, Pipe) and words not in lines:
            dashed = dashes(link, assumed=assumed)
            lines[words] = KeyLine(_sample_line(line_width(link), dashed), words)
    for state in STATES:
        if state in set(states):
            sample = _sample_line(BAND, None, paint(prefix, state))
            lines[state] = KeyLine(sample, STATES[state])
    if any(isinstance(p, Head) and p.arc is not None for p in graph.points.values()):
        words = "arc of a head: its width is recorded, where it faces is not"
        lines[words] = KeyLine(_sample_arc(), words)
    return tuple(lines.values())


def symbol_key(graph: Graph) -> dict[str, KeyLine]:
    """Return the lines for the symbols, by their words."""
    lines: dict[str, KeyLine] = {}
    for point in graph.points.values():
        words = _words(point)
        if point.kind != "junction" and words not in lines:
            lines[words] = KeyLine(_sample_symbol(point_symbol(point)), words)
    for link in graph.links.values():
        symbol, words = link_symbol(link), _words(link)
        if symbol is not None and words not in lines:
            lines[words] = KeyLine(_sample_symbol(symbol), words)
    return lines


def _words(part: Point | Link) -> str:
    told = isinstance(part, Supply | Head) or part.kind in (
        "isolation_valve",
        "backflow",
        "drain",
    )
    if not told:
        return kind_words(part)
    return f"{kind_words(part)}: {detail(part)}"


def _line_words(link: Link, *, assumed: bool) -> str:
    unknown = "0.1" in (dashes(link, assumed=assumed) or "")
    words = {
        (False, False): "pipe, the wider the larger",
        (True, False): "dashed: place not recorded",
        (False, True): "dotted: kind or size of pipe unknown",
        (True, True): "dash and dot: neither place nor pipe recorded",
    }
    return words[(assumed, unknown)]


def _sample_symbol(symbol: Symbol) -> str:
    root = start_sample()
    draw_symbol(root, symbol, 17, 16)
    return write_svg(root)


def _sample_line(width: float, dash: str | None, stroke: str | None = None) -> str:
    root = start_sample()
    spots = [(2.0, 15.0), (32.0, 15.0)]
    add(
        root,
        "path",
        d=path_of(spots),
        stroke_width=width,
        stroke=stroke,
        stroke_dasharray=dash,
        stroke_linecap="round" if dash else None,
    )
    return write_svg(root)


def _sample_arc() -> str:
    root = start_sample()
    add(root, "path", d="M17 22L5 15A14 14 0 0 1 29 15Z", stroke_width=0.8)
    return write_svg(root)


def round_length(longest_m: float, system: UnitSystem) -> tuple[float, str]:
    """Return the longest round length (1, 2 or 5 times ten) that fits, and its text."""
    unit = "ft" if system == "us" else "m"
    one = parse_quantity(f"1 {unit}", "length")
    power = 10.0 ** math.floor(math.log10(longest_m / one))
    factor = max(step for step in (1, 2, 5) if step * power * one <= longest_m * 1.0001)
    return factor * power * one, f"{factor * power:g} {unit}"


def draw_furniture(
    root: Node, layout: Layout, canvas: Canvas, system: UnitSystem, layer: Layer
) -> list[Label]:
    """Draw heading, north and scale for one layer of words; return the words."""
    fixed = []
    heading = HEADINGS[layout.kind]
    if heading:
        baseline = EDGE + ASCENT * layer.size
        box = text_box(heading, EDGE, baseline, "start", layer.size)
        fixed.append(
            Label("heading", heading, EDGE, baseline, "start", box, layer=layer.name)
        )
    if canvas.per_metre is not None and len(layout.points) > 1:
        fixed.append(draw_scale(root, canvas.per_metre, system, layer.name, layer.size))
        fixed.append(draw_north(root, layer.name, layer.size))
    return fixed


def draw_scale(
    root: Node, per_metre: float, system: UnitSystem, layer: str, size: float
) -> Label:
    """Draw the scale bar at the top right; return its label. North is drawn apart."""
    length_m, text = round_length(_LONGEST_BAR / per_metre, system)
    end = WIDTH - 56.0
    start = end - length_m * per_metre
    baseline = _STRIP / 2 + ASCENT * size / 2 - 1
    group = add(root, "g", class_=f"drawing-{layer}")
    y = _STRIP / 2
    spots = [(start, y), (end, y)]
    add(group, "path", d=path_of(spots), stroke_width=2)
    for x in (start, (start + end) / 2, end):
        add(group, "path", d=path_of([(x, y - 5), (x, y + 5)]), stroke_width=1)
    box = text_box(text, start - 8, baseline, "end", size)
    return Label("scale", text, start - 8, baseline, "end", box, layer=layer)


def draw_north(root: Node, layer: str, size: float) -> Label:
    """Draw an arrow to the north, which is always up, and return its letter."""
    x = WIDTH - 24.0
    group = add(root, "g", class_=f"drawing-{layer}")
    top, foot = size * 1.25, max(_STRIP, size * 1.25 + 16)
    add(group, "path", d=path_of([(x, foot), (x, top)]), stroke_width=1.2)
    head = [(x - 4, top + 8), (x, top), (x + 4, top + 8)]
    add(group, "path", d=path_of(head), stroke_width=1.2)
    baseline = ASCENT * size
    box = text_box("N", x, baseline, "middle", size)
    return Label("north", "N", x, baseline, "middle", box, layer=layer)
