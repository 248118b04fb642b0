"""The plan of a site as SVG, with the table and the key that stand beside it."""

from collections.abc import Mapping
from typing import Final

from maintenance.documents.drawing.canvas import MARGIN, Canvas, fit_canvas
from maintenance.documents.drawing.graph import Graph, graph_of
from maintenance.documents.drawing.hatching import (
    STATES,
    add_patterns,
    check_state,
)
from maintenance.documents.drawing.labels import Wish, place_labels
from maintenance.documents.drawing.layout import HEADINGS, Layout, lay_out
from maintenance.documents.drawing.lettering import text_box
from maintenance.documents.drawing.plan_key import draw_furniture, plan_key
from maintenance.documents.drawing.plan_marks import (
    draw_hatching,
    draw_links,
    draw_points,
    mark_boxes,
    segments,
)
from maintenance.documents.drawing.plan_words import name_wishes, plan_wishes
from maintenance.documents.drawing.sheet import (
    EDGE,
    LAYERS,
    WIDTH,
    Drawing,
    Label,
    Layer,
)
from maintenance.documents.drawing.svg import (
    add_labels,
    id_prefix,
    start_drawing,
    write_svg,
)
from maintenance.documents.drawing.words import (
    detail,
    elevation_words,
    height_unit,
    kind_words,
    size_words,
)
from maintenance.engine.site import Link, Pipe, Point, Site
from maintenance.engine.units import UnitSystem, display

_NOTHING: Final = "Nothing to draw yet: record a source and a pipe"


def plan_svg(
    site: Site,
    *,
    system: UnitSystem,
    states: Mapping[str, str] | None = None,
    key: str = "plan",
) -> Drawing:
    """Draw the plan of a site; ``states`` gives the state of a link by its id.

    ``key`` begins every id in the SVG, so that several stand on one page. Quick
    zones are drawn once they are expanded.
    """
    states = states or {}
    for state in states.values():
        check_state(state)
    graph = graph_of(site)
    if not graph.points:
        return _empty(site, key)
    layout = lay_out(site)
    canvas = fit_canvas(graph, layout)
    prefix = id_prefix(key)
    root = start_drawing(
        key,
        f"Plan of {site.name}",
        _description(graph, layout, canvas, states, system),
        width=WIDTH,
        height=canvas.height,
    )
    add_patterns(root, prefix, states.values())
    draw_hatching(root, canvas, states, prefix)
    draw_links(root, graph, layout, canvas, system)
    draw_points(root, graph, canvas, system)
    labels: list[Label] = []
    for layer in LAYERS:
        fixed = draw_furniture(root, layout, canvas, system, layer)
        labels += _words(site, graph, canvas, system, layer, fixed)
    for layer in LAYERS:
        add_labels(root, labels, layer.name, layer.size)
    return Drawing(
        svg=write_svg(root),
        columns=_columns(system, states),
        rows=_rows(site, graph, layout, system, states),
        heading=HEADINGS[layout.kind],
        key=plan_key(graph, layout, states.values(), prefix),
        labels=tuple(labels),
        width=WIDTH,
        height=canvas.height,
    )


def _words(
    site: Site,
    graph: Graph,
    canvas: Canvas,
    system: UnitSystem,
    layer: Layer,
    fixed: list[Label],
) -> list[Label]:
    boxes = mark_boxes(graph, canvas)
    short = layer.name == "narrow"
    marks, lines = list(boxes.values()), segments(canvas)
    placed = list(fixed)

    def place(wishes: list[Wish]) -> None:
        placed.extend(
            place_labels(
                wishes,
                size=layer.size,
                view=(EDGE, EDGE, WIDTH - EDGE, canvas.height - EDGE),
                marks=marks,
                lines=lines,
                taken=placed,
                layer=layer.name,
            )
        )

    wanted, heads = plan_wishes(site, graph, boxes, system=system, short=short)
    place(wanted)
    if not short:
        place(name_wishes(site, graph, boxes, placed))
    place(heads)
    return placed


def _description(
    graph: Graph,
    layout: Layout,
    canvas: Canvas,
    states: Mapping[str, str],
    system: UnitSystem,
) -> str:
    links, points = graph.links.values(), graph.points.values()
    pipes = sum(isinstance(link, Pipe) for link in links)
    zones = sum(link.kind == "zone_valve" for link in links)
    heads = sum(point.kind == "head" for point in points)
    drains = sum(point.kind == "drain" for point in points)
    text = (
        f"Pipes: {pipes}, zone valves: {zones}, heads: {heads}, drains: {drains}. "
        "Numbers with a unit beside the main are elevations. "
        "Every mark has a row in the table beside the drawing."
    )
    if HEADINGS[layout.kind]:
        text = f"{HEADINGS[layout.kind].capitalize()}. {text}"
    if canvas.per_metre is not None and canvas.moved > 1.0:
        moved = display(canvas.moved / canvas.per_metre, "length", system, "up")
        text += f" Parts that stand close together are drawn apart by up to {moved}."
    shown = [STATES[state] for state in STATES if state in states.values()]
    if shown:
        text += f" Hatching shows: {'; '.join(shown)}."
    return text


def _columns(system: UnitSystem, states: Mapping[str, str]) -> tuple[str, ...]:
    height = f"Elevation, {height_unit(system)}"
    columns = ("Part", "Kind", "What", "Size", height, "Place")
    return (*columns, "State") if states else columns


def _rows(
    site: Site,
    graph: Graph,
    layout: Layout,
    system: UnitSystem,
    states: Mapping[str, str],
) -> tuple[tuple[str, ...], ...]:
    names = {zone.valve: f"zone {zone.id} {zone.name or ''}" for zone in site.zones}
    rows = []
    parts: list[Point | Link] = [*graph.points.values(), *graph.links.values()]
    for part in parts:
        ends = (part.from_, part.to) if isinstance(part, Link) else (part.id,)
        recorded = all(layout.points[end].recorded for end in ends)
        row = (
            part.id,
            kind_words(part),
            names.get(part.id, detail(part)).strip(),
            size_words(part, system),
            elevation_words(part, graph.points, system),
            "recorded" if recorded else "assumed",
        )
        told = STATES.get(states.get(part.id, ""), "")
        rows.append((*row, told) if states else row)
    return tuple(rows)


def _empty(site: Site, key: str) -> Drawing:
    """Return a drawing that says what to do first."""
    height = 2 * MARGIN
    root = start_drawing(
        key, f"Plan of {site.name}", _NOTHING, width=WIDTH, height=height
    )
    labels = []
    for layer in LAYERS:
        x, y = WIDTH / 2, height / 2
        box = text_box(_NOTHING, x, y, "middle", layer.size)
        labels.append(Label("empty", _NOTHING, x, y, "middle", box, layer=layer.name))
        add_labels(root, labels, layer.name, layer.size)
    return Drawing(
        svg=write_svg(root),
        columns=(),
        rows=(),
        heading="",
        key=(),
        labels=tuple(labels),
        width=WIDTH,
        height=height,
    )
