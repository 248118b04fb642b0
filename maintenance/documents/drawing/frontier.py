"""How much free air is enough with which tank, as SVG: dots, and the compressor."""

from collections.abc import Sequence
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
    Box,
    Drawing,
    KeyLine,
    Label,
    Layer,
    Spot,
)
from maintenance.documents.drawing.svg import (
    Node,
    add,
    add_labels,
    add_title,
    path_of,
    start_drawing,
    start_sample,
    write_svg,
)
from maintenance.documents.remedies_words import NONE_IS_ENOUGH, air_needed
from maintenance.engine.blowout.remedies import Frontier
from maintenance.engine.site import Compressor
from maintenance.engine.units import UnitSystem, display, to_unit

_LEFT: Final = 116.0
_RIGHT: Final = WIDTH - 40.0
_INSET: Final = 44.0
_TOP: Final = 64.0
_BOTTOM: Final = 330.0
_HEIGHT: Final = 430.0
_ABOVE: Final = 18.0
_DOT: Final = 6.0
_OWN: Final = 10.0


def frontier_svg(
    frontier: Sequence[Frontier],
    compressor: Compressor,
    *,
    system: UnitSystem,
    key: str = "frontier",
) -> Drawing:
    """Draw the least free air that is enough with each tank, and the compressor.

    Between the tanks nothing was worked out, so that nothing is drawn there.
    """
    panel = _panel(frontier, compressor, system)
    root = start_drawing(
        key,
        "Free air that is enough, by the size of the tank",
        _description(frontier, compressor, system),
        width=WIDTH,
        height=_HEIGHT,
    )
    axes = {layer.name: _axes(root, panel, layer) for layer in LAYERS}
    for step in frontier:
        _draw_step(root, panel, step, system)
    _draw_own(root, panel, compressor, system)
    wishes = _wishes(panel, frontier, compressor, system)
    marks = [_around((wish.x, wish.y), wish.radius - 1) for wish in wishes]
    labels: list[Label] = []
    for layer in LAYERS:
        placed = axes[layer.name]
        placed += place_labels(
            wishes,
            size=layer.size,
            view=(_LEFT + 2, _TOP - _ABOVE, WIDTH - 2, _BOTTOM + 2),
            marks=marks,
            lines=panel.lines,
            taken=placed,
            layer=layer.name,
        )
        add_labels(root, placed, layer.name, layer.size)
        labels += placed
    return Drawing(
        svg=write_svg(root),
        columns=_columns(system),
        rows=_rows(frontier, compressor, system),
        heading="",
        key=_key(frontier, compressor),
        labels=tuple(labels),
        width=WIDTH,
        height=_HEIGHT,
    )


def _panel(
    frontier: Sequence[Frontier], compressor: Compressor, system: UnitSystem
) -> Panel:
    tanks = [step.receiver_m3 for step in frontier]
    tanks.append(compressor.receiver.value)
    airs = [each for step in frontier if (each := step.free_air_m3_per_s) is not None]
    airs.append(compressor.free_air_delivery.value)
    most_air, most_tank = max(airs), max(tanks)
    along = Axis(
        "volume", system, 0.0, most_tank or 1.0, _LEFT + _INSET, _RIGHT - _INSET
    )
    up = Axis("air_flow", system, 0.0, 1.25 * (most_air or 1.0), _BOTTOM, _TOP)
    return Panel(along, up)


def _axes(root: Node, panel: Panel, layer: Layer) -> list[Label]:
    group = add(root, "g", class_=f"drawing-{layer.name}")
    above = _ABOVE + (0.3 + LINE) * layer.size
    labels = [heading_at(f"free air, {panel.up.unit()}", 6, _TOP - above, layer)]
    labels += draw_upright_axis(group, panel.up, _LEFT, _RIGHT, layer)
    labels += draw_level_axis(group, panel.along, _BOTTOM, layer)
    below = _BOTTOM + (LEVEL_GAP + 1.1 * LINE) * layer.size
    title = f"tank of the compressor, {panel.along.unit()}"
    return [*labels, heading_at(title, _LEFT, below, layer)]


def _spot(panel: Panel, step: Frontier) -> Spot:
    """Return where a step stands: above the panel where no air is enough."""
    if step.free_air_m3_per_s is None:
        return (panel.along.at(step.receiver_m3), _TOP - _ABOVE / 2)
    return panel.spot(step.receiver_m3, step.free_air_m3_per_s)


def _draw_step(root: Node, panel: Panel, step: Frontier, system: UnitSystem) -> None:
    x, y = _spot(panel, step)
    group = add(root, "g", class_="drawing-mark")
    tank = display(step.receiver_m3, "volume", system)
    add_title(group, f"{tank}: {air_needed(step, system)}")
    if step.free_air_m3_per_s is None:
        _draw_cross(group, x, y)
        return
    stem = [(x, y), (x, panel.top)]
    add(group, "path", d=path_of(stem), stroke_width=2.4)
    _draw_dot(group, x, y)
    panel.keep_clear(stem)


def _draw_own(
    root: Node, panel: Panel, compressor: Compressor, system: UnitSystem
) -> None:
    group = add(root, "g", class_="drawing-mark")
    tank = display(compressor.receiver.value, "volume", system)
    air = display(compressor.free_air_delivery.value, "air_flow", system)
    add_title(group, f"{compressor.id}: {tank}, {air}")
    _draw_diamond(group, *_own(panel, compressor))


def _own(panel: Panel, compressor: Compressor) -> Spot:
    return panel.spot(compressor.receiver.value, compressor.free_air_delivery.value)


def _draw_dot(group: Node, x: float, y: float) -> None:
    add(group, "circle", cx=x, cy=y, r=_DOT, fill="currentColor", stroke="none")


def _draw_cross(group: Node, x: float, y: float) -> None:
    for way in (1, -1):
        ends = [(x - _DOT, y - way * _DOT), (x + _DOT, y + way * _DOT)]
        add(group, "path", d=path_of(ends), stroke_width=2.4)


def _draw_diamond(group: Node, x: float, y: float) -> None:
    spots = [(x, y - _OWN), (x + _OWN, y), (x, y + _OWN), (x - _OWN, y)]
    add(group, "path", class_="drawing-open", d=path_of(spots) + "Z", stroke_width=1.8)


def _around(spot: Spot, radius: float) -> Box:
    x, y = spot
    return (x - radius, y - radius, x + radius, y + radius)


def _wishes(
    panel: Panel,
    frontier: Sequence[Frontier],
    compressor: Compressor,
    system: UnitSystem,
) -> list[Wish]:
    x, y = _own(panel, compressor)
    wishes = [Wish("own", (compressor.id,), x, y, radius=_OWN + 2)]
    for number, step in enumerate(frontier):
        x, y = _spot(panel, step)
        known = step.free_air_m3_per_s is not None
        texts = (air_needed(step, system),) if known else ("none is enough", "none")
        wishes.append(Wish(f"step {number}", texts, x, y, radius=_DOT + 3))
    return wishes


def _columns(system: UnitSystem) -> tuple[str, ...]:
    return (
        "What",
        f"Tank, {to_unit(0.0, 'volume', system)[1]}",
        f"Free air, {to_unit(0.0, 'air_flow', system)[1]}",
    )


def _rows(
    frontier: Sequence[Frontier], compressor: Compressor, system: UnitSystem
) -> tuple[tuple[str, ...], ...]:
    rows = [
        (
            "least that is enough",
            _number(display(step.receiver_m3, "volume", system)),
            air_needed(step, system)
            if step.free_air_m3_per_s is None
            else _number(air_needed(step, system)),
        )
        for step in frontier
    ]
    tank = _number(display(compressor.receiver.value, "volume", system))
    air = _number(display(compressor.free_air_delivery.value, "air_flow", system))
    return (*rows, (f"{compressor.id}, as recorded", tank, air))


def _number(text: str) -> str:
    return text.split(" ", maxsplit=1)[0]


def _description(
    frontier: Sequence[Frontier], compressor: Compressor, system: UnitSystem
) -> str:
    told = [
        f"With a tank of {display(step.receiver_m3, 'volume', system)}: "
        f"{air_needed(step, system)}."
        for step in frontier
    ]
    own = display(compressor.free_air_delivery.value, "air_flow", system)
    tank = display(compressor.receiver.value, "volume", system)
    return " ".join([*told, f"{compressor.id}: {own}, tank {tank}."])


def _key(frontier: Sequence[Frontier], compressor: Compressor) -> tuple[KeyLine, ...]:
    lines = []
    if any(step.free_air_m3_per_s is not None for step in frontier):
        root = start_sample()
        add(root, "path", d="M17 22L17 2", stroke_width=2.4)
        _draw_dot(root, 17, 22)
        lines.append(KeyLine(write_svg(root), "this much free air, or more, is enough"))
    if any(step.free_air_m3_per_s is None for step in frontier):
        root = start_sample()
        _draw_cross(root, 17, 15)
        lines.append(KeyLine(write_svg(root), NONE_IS_ENOUGH))
    root = start_sample()
    _draw_diamond(root, 17, 15)
    return (*lines, KeyLine(write_svg(root), f"{compressor.id}, as recorded"))
