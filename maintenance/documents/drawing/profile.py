"""The profile of one line as SVG: its heights, its water, its pressures."""

from typing import Final

from maintenance.documents.drawing.axes import (
    LEVEL_GAP,
    Axis,
    draw_level_axis,
    draw_upright_axis,
    heading_at,
)
from maintenance.documents.drawing.hatching import add_patterns
from maintenance.documents.drawing.labels import Wish, place_labels
from maintenance.documents.drawing.lettering import LINE, text_box
from maintenance.documents.drawing.line import Profile, check_profile
from maintenance.documents.drawing.panel import Panel
from maintenance.documents.drawing.profile_heights import draw_heights, height_wishes
from maintenance.documents.drawing.profile_pressures import (
    draw_pressures,
    pressure_wishes,
)
from maintenance.documents.drawing.profile_table import (
    profile_columns,
    profile_key,
    profile_rows,
)
from maintenance.documents.drawing.sheet import LAYERS, WIDTH, Drawing, Label, Layer
from maintenance.documents.drawing.svg import (
    Node,
    add,
    add_labels,
    id_prefix,
    start_drawing,
    write_svg,
)
from maintenance.engine.units import UnitSystem, display

_LEFT: Final = 116.0
_RIGHT: Final = WIDTH - 40.0
_HEIGHTS: Final = (56.0, 350.0)
_PRESSURES: Final = (424.0, 610.0)
_HEIGHT: Final = 710.0
_NOTHING: Final = "No line to draw: no way from a port to a head"


def profile_svg(
    profile: Profile, *, system: UnitSystem, key: str = "profile"
) -> Drawing:
    """Draw a profile; ``key`` begins every id, so that several stand on one page."""
    check_profile(profile)
    if len({station.distance_m for station in profile.stations}) < 2:
        return _empty(profile, key)
    prefix = id_prefix(key)
    root = start_drawing(
        key,
        f"Profile of {profile.name}",
        _description(profile, system),
        width=WIDTH,
        height=_HEIGHT,
    )
    add_patterns(root, prefix, ["standing"] if profile.standing else [])
    heights, pressures = _panels(profile, system)
    axes = {layer.name: _axes(root, heights, pressures, layer) for layer in LAYERS}
    draw_heights(root, profile, heights, prefix, system)
    draw_pressures(root, profile, pressures, system)
    labels: list[Label] = []
    for layer in LAYERS:
        placed = axes[layer.name]
        for panel, wishes in (
            (heights, height_wishes(profile, heights, system)),
            (pressures, pressure_wishes(profile, pressures, system)),
        ):
            placed += _place(wishes, panel, layer, placed)
        add_labels(root, placed, layer.name, layer.size)
        labels += placed
    return Drawing(
        svg=write_svg(root),
        columns=profile_columns(system),
        rows=profile_rows(profile, system),
        heading="",
        key=profile_key(profile, prefix),
        labels=tuple(labels),
        width=WIDTH,
        height=_HEIGHT,
    )


def _place(
    wishes: list[Wish], panel: Panel, layer: Layer, taken: list[Label]
) -> tuple[Label, ...]:
    return place_labels(
        wishes,
        size=layer.size,
        view=(_LEFT + 2, panel.top - 2, WIDTH - 2, panel.bottom + 2),
        marks=[],
        lines=panel.lines,
        taken=taken,
        layer=layer.name,
    )


def _panels(profile: Profile, system: UnitSystem) -> tuple[Panel, Panel]:
    along = [station.distance_m for station in profile.stations]
    level = Axis("length", system, min(along), max(along), _LEFT, _RIGHT)
    ups = [station.elevation_m for station in profile.stations]
    spread = max(max(ups) - min(ups), 0.5)
    up = Axis(
        "height",
        system,
        min(ups) - 0.3 * spread,
        max(ups) + 0.3 * spread,
        _HEIGHTS[1],
        _HEIGHTS[0],
    )
    shown = [reach.limit_pa for reach in profile.reaches]
    shown += [profile.setting_pa, profile.plateau_pa]
    highest = max((value for value in shown if value is not None), default=0.0)
    top = 1.25 * max(highest, 10_000.0)
    force = Axis("pressure", system, 0.0, top, _PRESSURES[1], _PRESSURES[0])
    return Panel(level, up), Panel(level, force)


def _axes(root: Node, heights: Panel, pressures: Panel, layer: Layer) -> list[Label]:
    group = add(root, "g", class_=f"drawing-{layer.name}")
    times = heights.exaggeration()
    title = f"elevation, {heights.up.unit()}"
    if times >= 1.5:
        title += f" (heights drawn {times:.0f} times larger)"
    above = (0.7 + LINE) * layer.size
    labels = [
        heading_at(title, 6, heights.top - above, layer),
        heading_at(f"pressure, {pressures.up.unit()}", 6, pressures.top - above, layer),
    ]
    for panel in (heights, pressures):
        labels += draw_upright_axis(group, panel.up, _LEFT, _RIGHT, layer)
    labels += draw_level_axis(group, pressures.along, _PRESSURES[1], layer)
    unit = pressures.along.unit()
    title = f"distance along the line, {unit}"
    labels.append(
        heading_at(
            title,
            _LEFT,
            pressures.bottom + (LEVEL_GAP + 1.1 * LINE) * layer.size,
            layer,
        )
    )
    return labels


def _description(profile: Profile, system: UnitSystem) -> str:
    first, last = profile.stations[0], profile.stations[-1]
    length = display(last.distance_m - first.distance_m, "length", system)
    rise = display(abs(last.elevation_m - first.elevation_m), "height", system)
    way = "above" if last.elevation_m >= first.elevation_m else "below"
    texts = [f"From {first.point} to {last.point}: {length}, ending {rise} {way}."]
    if profile.standing:
        total = sum(water.volume_m3 for water in profile.standing)
        texts.append(
            f"Water standing in the low places: {display(total, 'volume', system)}, "
            "hatched, its length not to scale."
        )
    unswept = [reach.link for reach in profile.reaches if reach.swept is False]
    if unswept:
        texts.append(f"Not swept: {', '.join(unswept)}.")
    texts.append("Below: the set pressure and the limit of each reach.")
    return " ".join(texts)


def _empty(profile: Profile, key: str) -> Drawing:
    root = start_drawing(
        key, f"Profile of {profile.name}", _NOTHING, width=WIDTH, height=120
    )
    labels = []
    for layer in LAYERS:
        box = text_box(_NOTHING, WIDTH / 2, 64, "middle", layer.size)
        labels.append(
            Label("empty", _NOTHING, WIDTH / 2, 64, "middle", box, layer=layer.name)
        )
        add_labels(root, labels, layer.name, layer.size)
    return Drawing(write_svg(root), (), (), "", (), tuple(labels), WIDTH, 120.0)
