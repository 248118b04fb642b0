"""The profile of a line as SVG: where water stands in its pipes, and how deep it lies."""

from typing import Final

from maintenance.documents.drawing.axes import (
    LEVEL_GAP,
    Axis,
    draw_level_axis,
    draw_upright_axis,
    heading_at,
)
from maintenance.documents.drawing.labels import Wish, place_labels
from maintenance.documents.drawing.lettering import LINE
from maintenance.documents.drawing.panel import Panel
from maintenance.documents.drawing.sheet import (
    LAYERS,
    WIDTH,
    Drawing,
    Label,
    Layer,
)
from maintenance.documents.drawing.svg import (
    Node,
    add,
    add_labels,
    add_title,
    path_of,
    start_drawing,
    write_svg,
)
from maintenance.documents.drawing.water_line import WaterLine
from maintenance.documents.drawing.water_lines import (
    DROP_HEIGHT,
    draw_drop,
    draw_rails,
    draw_state,
    water_key,
)
from maintenance.documents.drawing.water_rows import line_columns, line_rows
from maintenance.documents.drawing.water_surroundings import (
    draw_surroundings,
    ends_of,
    grounds,
    surfaces_of,
    surroundings_key,
    wet_run,
)
from maintenance.documents.drawing.words import height_number, height_unit
from maintenance.documents.water_words import STATES
from maintenance.engine.units import UnitSystem

_LEFT: Final = 116.0
_RIGHT: Final = WIDTH - 40.0
_TOP, _FOOT, _HEIGHT = 56.0, 370.0, 470.0
_TICK: Final = 7.0


def water_profile_svg(
    line: WaterLine, *, system: UnitSystem, key: str = "water-profile"
) -> Drawing | None:
    """Draw the line; None where it has no length. ``key`` begins every id."""
    along = [station.distance_m for station in line.stations]
    if len(set(along)) < 2:
        return None
    root = start_drawing(
        key,
        f"Water left along the line: {line.name}",
        _description(line),
        width=WIDTH,
        height=_HEIGHT,
    )
    panel = _panel(line, system)
    axes = {layer.name: _axes(root, panel, layer) for layer in LAYERS}
    overlay = draw_surroundings(root, line, panel)
    shown = _draw_reaches(root, line, panel)
    _draw_stations(root, line, panel, system)
    drops = _drops(line, panel)
    for x, y, _ in drops:
        draw_drop(root, x, y)
    labels: list[Label] = []
    for layer in LAYERS:
        placed = axes[layer.name]
        placed += place_labels(
            _wishes(line, panel, drops, system, narrow=layer.name == "narrow"),
            size=layer.size,
            view=(_LEFT + 2, 2 + LINE * layer.size, WIDTH - 2, panel.bottom + 2),
            marks=[(x - 6, y, x + 6, y + DROP_HEIGHT) for x, y, _ in drops],
            lines=panel.lines,
            taken=placed,
            layer=layer.name,
        )
        add_labels(root, placed, layer.name, layer.size)
        labels += placed
    return Drawing(
        svg=write_svg(root),
        columns=line_columns(system),
        rows=line_rows(line, system),
        heading="",
        key=(
            *water_key(shown | ({"drop"} if drops else set())),
            *surroundings_key(overlay),
        ),
        labels=tuple(labels),
        width=WIDTH,
        height=_HEIGHT,
    )


def _panel(line: WaterLine, system: UnitSystem) -> Panel:
    along = [station.distance_m for station in line.stations]
    ups = [station.elevation_m for station in line.stations]
    spread = max(max(ups) - min(ups), 0.5)
    low, high = min(ups) - 0.3 * spread, max(ups) + 0.3 * spread
    ground = [height for run in grounds(line) for _, height in run]
    surfaces = [height for _, _, height in surfaces_of(line)]
    # A level far above the line, such as that of heads with checks, would flatten it.
    near = [height + 0.1 * spread for height in surfaces if height < high + spread]
    high = max(high, *ground, *near, high)
    level = Axis("length", system, min(along), max(along), _LEFT, _RIGHT)
    return Panel(level, Axis("height", system, low, high, _FOOT, _TOP))


def _axes(root: Node, panel: Panel, layer: Layer) -> list[Label]:
    group = add(root, "g", class_=f"drawing-{layer.name}")
    times = panel.exaggeration()
    title = f"elevation, {panel.up.unit()}"
    if times >= 1.5:
        title += f" (heights drawn {times:.0f} times larger)"
    above = (0.7 + LINE) * layer.size
    foot = panel.bottom + (LEVEL_GAP + 1.1 * LINE) * layer.size
    unit = panel.along.unit()
    return [
        heading_at(title, 6, panel.top - above, layer),
        *draw_upright_axis(group, panel.up, _LEFT, _RIGHT, layer),
        *draw_level_axis(group, panel.along, _FOOT, layer),
        heading_at(f"distance along the line, {unit}", _LEFT, foot, layer),
    ]


def _draw_reaches(root: Node, line: WaterLine, panel: Panel) -> set[str]:
    shown = set()
    for reach in line.reaches:
        if reach.exposed:
            draw_rails(
                root,
                [panel.spot(*spot) for spot in ends_of(line, reach)],
                dotted=False,
            )
            shown.add("above")
    for reach in line.reaches:
        first, last = (panel.spot(*spot) for spot in ends_of(line, reach))
        wet = [panel.spot(*spot) for spot in wet_run(line, reach)]
        group = add(root, "g", class_="drawing-mark")
        add_title(group, f"{reach.link}: {reach.pipe_text}, {STATES[reach.state]}")
        draw_state(group, (first, last), reach.state, wet)
        panel.keep_clear([first, last])
        shown.add(reach.state)
    return shown


def _draw_stations(
    root: Node, line: WaterLine, panel: Panel, system: UnitSystem
) -> None:
    for station in line.stations:
        x, y = panel.spot(station.distance_m, station.elevation_m)
        group = add(root, "g", class_="drawing-mark")
        height = f"{height_number(station.elevation_m, system)} {height_unit(system)}"
        name = station.label or station.point
        add_title(group, f"{station.point}: {name}, elevation {height}")
        add(group, "path", d=path_of([(x, y - _TICK), (x, y + _TICK)]), stroke_width=1)


def _drops(line: WaterLine, panel: Panel) -> list[tuple[float, float, str]]:
    """Return where a drop hangs for each pool, and its words."""
    at = {station.point: station for station in line.stations}
    drops = []
    for point, words in line.pools:
        station = at[point]
        x, y = panel.spot(station.distance_m, station.elevation_m)
        drops.append((x, y + _TICK + 1, words))
    return drops


def _wishes(
    line: WaterLine,
    panel: Panel,
    drops: list[tuple[float, float, str]],
    system: UnitSystem,
    *,
    narrow: bool,
) -> list[Wish]:
    half = DROP_HEIGHT / 2
    wishes = [
        Wish(f"water {n}", (words, words.split(",")[0]), x, y + half, radius=half + 2)
        for n, (x, y, words) in enumerate(drops)
    ]
    last = len(line.stations) - 1
    for place in [0, last, *range(1, last)]:
        station = line.stations[place]
        height = f"{height_number(station.elevation_m, system)} {height_unit(system)}"
        name = station.label or station.point
        x, y = panel.spot(station.distance_m, station.elevation_m)
        texts = (name,) if narrow else (f"{name}, {height}", name)
        ends = place in (0, last)
        wishes.append(
            Wish(f"station {place}", texts, x, y, radius=_TICK, over_lines=ends)
        )
    return wishes


def _description(line: WaterLine) -> str:
    first, last = line.stations[0], line.stations[-1]
    told = [f"From {first.point} to {last.point}."]
    for state, words in STATES.items():
        links = [reach.link for reach in line.reaches if reach.state == state]
        if links:
            told.append(f"{words.capitalize()}: {', '.join(links)}.")
    return " ".join(told)
