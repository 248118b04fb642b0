"""The plan of a site as a map of its water: every pipe drawn by what stays in it."""

from itertools import pairwise
from typing import Final

from maintenance.documents.drawing.canvas import Canvas, fit_canvas
from maintenance.documents.drawing.graph import Graph, graph_of
from maintenance.documents.drawing.labels import Wish, place_labels
from maintenance.documents.drawing.layout import HEADINGS, Layout, lay_out
from maintenance.documents.drawing.plan import plan_svg
from maintenance.documents.drawing.plan_key import draw_furniture, symbol_key
from maintenance.documents.drawing.plan_marks import (
    mark_boxes,
    middle_of,
    segments,
)
from maintenance.documents.drawing.plan_words import plan_wishes
from maintenance.documents.drawing.sheet import (
    EDGE,
    LAYERS,
    WIDTH,
    Box,
    Drawing,
    KeyLine,
    Label,
    Layer,
    Line,
    Spot,
)
from maintenance.documents.drawing.svg import (
    Node,
    add,
    add_labels,
    add_title,
    start_drawing,
    write_svg,
)
from maintenance.documents.drawing.symbols import (
    draw_symbol,
    link_symbol,
    point_symbol,
)
from maintenance.documents.drawing.water_lines import (
    DROP_HEIGHT,
    draw_drop,
    draw_rails,
    draw_ring,
    draw_state,
    run_of,
    water_key,
)
from maintenance.documents.drawing.water_rows import water_columns, water_rows
from maintenance.documents.drawing.words import title
from maintenance.documents.water_words import (
    STANDS,
    STATES,
    answer_words,
    place_words,
    standing_places,
)
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft
from maintenance.engine.site import Link
from maintenance.engine.units import UnitSystem

_TOLD: Final = frozenset(
    {
        *("blowout_port", "supply", "zone_valve", "backflow", "pump", "drain"),
        *("quick_coupler", "other_use", "hydrant", "tank", "end", "open_end"),
    }
)
"""Kinds that carry a word here; the others leave room for the water's."""
_ORDER: Final = {"air_locked": 0, "drained": 1, "blown": 2, "partly": 3, "trapped": 4}
"""Hollow pipes cover what lies under them: they are drawn before the solid ones."""
_RING: Final = 3.0
_MOST_DROPS_TOLD_ON_A_PHONE: Final = 8
_WEIGHT_OF_WATER: Final = 8
"""A word over a solid run is as bad as one over so many thin lines."""


def water_map_svg(
    left: WaterLeft, *, system: UnitSystem, key: str = "water-map"
) -> Drawing:
    """Draw where water is left; ``key`` begins every id in the SVG."""
    site = left.graph.site
    graph = graph_of(site)
    if not graph.points:
        return plan_svg(site, system=system, key=key)
    layout = lay_out(site)
    canvas = fit_canvas(graph, layout)
    root = start_drawing(
        key,
        f"Where water is left at {site.name}",
        f"{answer_words(left, system)} Every pipe has a row in the table beside it.",
        width=WIDTH,
        height=canvas.height,
    )
    wet = _wet_runs(left, canvas)
    shown = _draw_pipes(root, left, graph, layout, canvas, wet, system)
    shown |= _draw_symbols(root, left, graph, canvas, system)
    drops = _draw_drops(root, left, graph, canvas)
    solid = [line for run in wet.values() for line in _pieces(run)]
    labels: list[Label] = []
    for layer in LAYERS:
        fixed = draw_furniture(root, layout, canvas, system, layer)
        labels += _words(left, graph, canvas, drops, solid, system, layer, fixed)
    for layer in LAYERS:
        add_labels(root, labels, layer.name, layer.size)
    return Drawing(
        svg=write_svg(root),
        columns=water_columns(system),
        rows=water_rows(left, system),
        heading=HEADINGS[layout.kind],
        key=water_key(shown | ({"drop"} if drops else set())),
        labels=tuple(labels),
        width=WIDTH,
        height=canvas.height,
    )


def map_symbols(left: WaterLeft) -> tuple[KeyLine, ...]:
    """Return what the symbols of the map mean: those of the plan."""
    return tuple(symbol_key(graph_of(left.graph.site)).values())


def _wet_runs(left: WaterLeft, canvas: Canvas) -> dict[str, list[Spot]]:
    """Return the run of each pipe that stands full, from its low end up."""
    points, runs = left.graph.points, {}
    for each in left.links:
        if each.state not in STANDS or each.wet_length_m == 0.0:
            continue
        link = left.graph.links[each.link]
        share = min(1.0, each.wet_length_m / left.graph.bores[each.link].length_m)
        falls = points[link.to].elevation.value < points[link.from_].elevation.value
        runs[each.link] = run_of(canvas.paths[each.link], share, from_end=falls)
    return runs


def _pieces(run: list[Spot]) -> list[Line]:
    return [(*start, *end) for start, end in pairwise(run)]


def _draw_pipes(
    root: Node,
    left: WaterLeft,
    graph: Graph,
    layout: Layout,
    canvas: Canvas,
    wet: dict[str, list[Spot]],
    system: UnitSystem,
) -> set[str]:
    """Draw the pipes, what lies below first; return what the key must explain."""
    shown: set[str] = set()
    rails = add(root, "g", class_="drawing-rails")
    drawn = [each for each in left.links if each.link in canvas.paths]
    for each in drawn:
        above = each.placement in ("above_ground", "indoors")
        is_pipe = each.link in left.graph.bores
        if is_pipe and (above or each.below_frost_depth):
            draw_rails(rails, canvas.paths[each.link], dotted=not above)
            shown.add("above" if above else "below")
    for each in sorted(drawn, key=lambda each: _ORDER[each.state]):
        link = graph.links[each.link]
        ends = (layout.points[link.from_], layout.points[link.to])
        assumed = not all(end.recorded for end in ends) and layout.kind == "partly"
        is_pipe = each.link in left.graph.bores
        group = add(root, "g", class_="drawing-mark")
        add_title(group, _title(link, each, graph, system))
        draw_state(
            group,
            canvas.paths[each.link],
            each.state if is_pipe else "drained",
            wet.get(each.link, []),
            assumed=assumed,
        )
        shown |= ({each.state} if is_pipe else set()) | (
            {"dashed"} if assumed else set()
        )
    return shown


def _title(link: Link, each: LinkLeft, graph: Graph, system: UnitSystem) -> str:
    return f"{title(link, graph.points, system)}. {STATES[each.state]}: {each.why}"


def _draw_symbols(
    root: Node, left: WaterLeft, graph: Graph, canvas: Canvas, system: UnitSystem
) -> set[str]:
    """Draw valves, devices and points; a ring where water stands at a device."""
    shown = set()
    states = {each.link: each.state for each in left.links}
    scale = canvas.symbol_scale
    for id_, link in graph.links.items():
        symbol = link_symbol(link)
        if symbol is None:
            continue
        middle, angle, _ = middle_of(canvas.paths[id_])
        draw_symbol(root, symbol, *middle, scale=scale, turned_deg=angle)
        if states[id_] in STANDS:
            radius = symbol.radius * scale + _RING
            draw_ring(root, *middle, radius, one_side=states[id_] == "partly")
            shown.add("valve")
    for id_, point in graph.points.items():
        group = add(root, "g", class_="drawing-mark")
        add_title(group, title(point, graph.points, system))
        draw_symbol(group, point_symbol(point), *canvas.spots[id_], scale=scale)
    return shown


def _draw_drops(
    root: Node, left: WaterLeft, graph: Graph, canvas: Canvas
) -> dict[str, Box]:
    """Hang a drop under every low point where water stands; return their boxes."""
    boxes = {}
    for place in standing_places(left):
        if place.at not in canvas.spots:
            continue
        x, y = canvas.spots[place.at]
        y += point_symbol(graph.points[place.at]).radius * canvas.symbol_scale
        draw_drop(root, x, y)
        boxes[place.at] = (x - 6, y, x + 6, y + DROP_HEIGHT)
    return boxes


def _words(
    left: WaterLeft,
    graph: Graph,
    canvas: Canvas,
    drops: dict[str, Box],
    solid: list[Line],
    system: UnitSystem,
    layer: Layer,
    fixed: list[Label],
) -> list[Label]:
    boxes = mark_boxes(graph, canvas)
    short = layer.name == "narrow"
    others, _ = plan_wishes(left.graph.site, graph, boxes, system=system, short=short)
    parts = {**graph.points, **graph.links}
    wishes = [
        *_litres(left, drops, system, short=short),
        *(wish for wish in others if parts[wish.mark].kind in _TOLD),
    ]
    return [
        *fixed,
        *place_labels(
            wishes,
            size=layer.size,
            view=(EDGE, EDGE, WIDTH - EDGE, canvas.height - EDGE),
            marks=[*boxes.values(), *drops.values()],
            lines=[*segments(canvas), *solid * (_WEIGHT_OF_WATER - 1)],
            taken=fixed,
            layer=layer.name,
        ),
    ]


def _litres(
    left: WaterLeft, drops: dict[str, Box], system: UnitSystem, *, short: bool
) -> list[Wish]:
    """Return the words at the drops, the most water first."""
    wishes = []
    places = [place for place in standing_places(left) if place.at in drops]
    for place in places[: _MOST_DROPS_TOLD_ON_A_PHONE if short else len(places)]:
        x0, y0, x1, y1 = drops[place.at]
        words = place_words(left, place, system)
        amount = words.split(",")[0]
        texts = (words, amount) if words != amount else (words,)
        if not short:
            texts = (f"{place.at}: {words}", *texts)
        wish = Wish(
            f"water {place.at}",
            texts[-1:] if short else texts,
            (x0 + x1) / 2,
            (y0 + y1) / 2,
            radius=(y1 - y0) / 2 + 1.6,
        )
        wishes.append(wish)
    return wishes
