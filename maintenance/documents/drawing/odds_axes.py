"""The axes of the odds: months along, chances upwards."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from maintenance.documents.drawing.axes import LEVEL_GAP, heading_at
from maintenance.documents.drawing.lettering import (
    ASCENT,
    LINE,
    boxes_overlap,
    text_box,
)
from maintenance.documents.drawing.odds_lines import Odds, Point
from maintenance.documents.drawing.sheet import WIDTH, Label, Layer, Spot
from maintenance.documents.drawing.svg import Node, add, path_of

LEFT: Final = 92.0
RIGHT: Final = WIDTH - 24.0
TOP: Final = 108.0
BOTTOM: Final = 468.0
RULES: Final = (0.0, 0.1, 0.5, 0.9, 1.0)
_ROOM_DAYS: Final = 6


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a day and a chance are drawn; days count from 1 August of ``begin``."""

    begin: date
    first: float
    last: float

    def at(self, day: float) -> float:
        """Return where a day stands; one outside stands at the edge."""
        share = (day - self.first) / (self.last - self.first)
        return LEFT + min(max(share, 0.0), 1.0) * (RIGHT - LEFT)

    def spot(self, day: float, chance: float) -> Spot:
        """Return where a chance on a day is drawn."""
        return (self.at(day), BOTTOM - chance * (BOTTOM - TOP))

    def months(self) -> list[date]:
        """Return the first days of months that lie within."""
        start = self.begin + timedelta(days=math.ceil(self.first))
        end = self.begin + timedelta(days=math.floor(self.last))
        first = date(start.year, start.month, 1)
        months = [
            date(
                first.year + (first.month - 1 + n) // 12,
                (first.month - 1 + n) % 12 + 1,
                1,
            )
            for n in range(14)
        ]
        return [day for day in months if start <= day <= end]


def frame_of(odds: Odds, lines: Sequence[Sequence[Point]]) -> Frame:
    """Hold all lines and today, with a little room on either side."""
    days = [point.day for points in lines for point in (points[0], points[-1])]
    days.append(float(odds.today_number))
    return Frame(odds.begin, min(days) - _ROOM_DAYS, max(days) + _ROOM_DAYS)


def draw_axes(root: Node, frame: Frame, layer: Layer) -> list[Label]:
    """Draw the rules of the chances and the months; return their words."""
    group = add(root, "g", class_=f"drawing-{layer.name}")
    end = frame.begin.year + 1
    title = f"chance that it has come, %; winter {frame.begin.year} to {end}"
    labels = [heading_at(title, 6, 4, layer)]
    for chance in RULES:
        labels.append(_rule(group, chance, layer))
    for day in frame.months():
        x = frame.at((day - frame.begin).days)
        add(group, "path", d=path_of([(x, BOTTOM), (x, BOTTOM + 6)]), stroke_width=1)
        baseline = BOTTOM + (LEVEL_GAP + ASCENT) * layer.size
        text = f"1 {day:%b}"
        box = text_box(text, x, baseline, "middle", layer.size)
        label = Label("axis", text, x, baseline, "middle", box, layer=layer.name)
        free = not any(boxes_overlap(box, each.box) for each in labels)
        if free and box[2] <= WIDTH and box[0] >= 0:
            labels.append(label)
    return labels


def _rule(group: Node, chance: float, layer: Layer) -> Label:
    y = BOTTOM - chance * (BOTTOM - TOP)
    add(
        group,
        "path",
        class_="drawing-rule",
        d=path_of([(LEFT, y), (RIGHT, y)]),
        stroke_width=1 if chance == 0.0 else 0.5,
        stroke_opacity=None if chance == 0.0 else 0.45,
    )
    text = f"{100 * chance:.0f}"
    baseline = y + (ASCENT - LINE / 2) * layer.size
    box = text_box(text, LEFT - 6, baseline, "end", layer.size)
    return Label("axis", text, LEFT - 6, baseline, "end", box, layer=layer.name)
