"""What stands round a profile of water: the ground, the frost in it, the levels."""

from collections.abc import Iterable
from typing import Final

from maintenance.documents.drawing.panel import Panel
from maintenance.documents.drawing.sheet import KeyLine, Spot
from maintenance.documents.drawing.svg import (
    Node,
    add,
    path_of,
    start_sample,
    write_svg,
)
from maintenance.documents.drawing.water_line import WaterLine, WaterReach
from maintenance.documents.drawing.water_lines import run_of

Meaning = tuple[str | None, str]
_SURFACE, _GROUND, _FROST = "9 4", None, "10 3 1.6 3"
_MEANINGS: Final[tuple[Meaning, ...]] = (
    (_SURFACE, "dashed: the level to which the water stands"),
    (_GROUND, "upper thin line: the ground, where the depth is recorded"),
    (_FROST, "dash and dot: how deep the frost goes there"),
)


def ends_of(line: WaterLine, reach: WaterReach) -> tuple[Spot, Spot]:
    """Return distance and elevation of both ends of a reach."""
    one, two = (line.stations[place] for place in (reach.start, reach.end))
    return (
        (one.distance_m, one.elevation_m),
        (two.distance_m, two.elevation_m),
    )


def grounds(line: WaterLine) -> list[tuple[Spot, ...]]:
    """Return the ground over every buried pipe of recorded depth."""
    return [
        tuple((x, z + reach.depth_m) for x, z in ends_of(line, reach))
        for reach in line.reaches
        if reach.depth_m is not None and not reach.exposed
    ]


def draw_surroundings(root: Node, line: WaterLine, panel: Panel) -> list[Meaning]:
    """Draw the ground, the frost in it and the levels; return what the key explains."""
    shown: list[Meaning] = []
    group = add(root, "g", class_="drawing-ground")
    for (x1, z1), (x2, z2) in grounds(line):
        spots = [panel.spot(x1, z1), panel.spot(x2, z2)]
        add(group, "path", d=path_of(spots), stroke_width=0.8)
        panel.keep_clear(spots)
        if line.frost_depth_m is not None:
            deep = line.frost_depth_m
            frost = [panel.spot(x1, z1 - deep), panel.spot(x2, z2 - deep)]
            add(
                group,
                "path",
                d=path_of(frost),
                stroke_width=1.4,
                stroke_dasharray=_FROST,
            )
    if grounds(line):
        shown.append(_MEANINGS[1])
        shown += [_MEANINGS[2]] * (line.frost_depth_m is not None)
    for start, end, surface_m in surfaces_of(line):
        if not panel.up.low < surface_m < panel.up.high:
            continue
        spots = [panel.spot(start, surface_m), panel.spot(end, surface_m)]
        add(
            group,
            "path",
            d=path_of(spots),
            stroke_width=1.2,
            stroke_dasharray=_SURFACE,
        )
        panel.keep_clear(spots)
        if _MEANINGS[0] not in shown:
            shown.insert(0, _MEANINGS[0])
    return shown


def surfaces_of(line: WaterLine) -> list[tuple[float, float, float]]:
    """Return from where to where water stands to which level, joined along the line."""
    found: list[tuple[float, float, float]] = []
    for reach in line.reaches:
        if reach.surface_m is None or reach.wet_share == 0.0:
            continue
        run = wet_run(line, reach)
        start, end = min(x for x, _ in run), max(x for x, _ in run)
        same = found and abs(found[-1][2] - reach.surface_m) < 1e-6
        if same and abs(found[-1][1] - start) < 1e-6:
            start = found.pop()[0]
        found.append((start, end, reach.surface_m))
    return found


def wet_run(line: WaterLine, reach: WaterReach) -> list[Spot]:
    """Return the run of a reach that stands full, as distances and elevations."""
    first, last = ends_of(line, reach)
    return run_of((first, last), reach.wet_share, from_end=last[1] < first[1])


def surroundings_key(shown: Iterable[Meaning]) -> tuple[KeyLine, ...]:
    """Return what these lines mean."""
    lines = []
    for dashes, text in shown:
        root = start_sample()
        add(
            root,
            "path",
            d="M2 15L32 15",
            stroke_width=1.2,
            stroke_dasharray=dashes,
        )
        lines.append(KeyLine(write_svg(root), text))
    return tuple(lines)
