"""Axes with round steps, in the unit that the person reads."""

import math
from dataclasses import dataclass
from typing import Final

from maintenance.documents.drawing.lettering import ASCENT, LINE, text_box, text_width
from maintenance.documents.drawing.sheet import WIDTH, Label, Layer
from maintenance.documents.drawing.svg import Node, add, path_of
from maintenance.engine.units import UnitSystem, parse_quantity, to_unit

LEVEL_GAP: Final = 0.75
"""Room between the foot of a panel and the numbers below it, in em: the lowest number
of the upright axis reaches into it."""

_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Axis:
    """Maps SI values from ``low`` to ``high`` to view units from ``start`` to ``end``."""

    dimension: str
    system: UnitSystem
    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return where a value stands."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def unit(self) -> str:
        """Return the unit as shown."""
        return to_unit(0.0, self.dimension, self.system)[1]

    def ticks(self, most: int) -> tuple[tuple[float, str], ...]:
        """Return at most ``most`` round values in view units, each with its text."""
        low = to_unit(self.low, self.dimension, self.system)[0]
        high = to_unit(self.high, self.dimension, self.system)[0]
        step = round_step((high - low) / max(most, 1))
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        digits = next(d for d in range(12) if abs(round(step, d) / step - 1) < 1e-6)
        one = parse_quantity(f"1 {self.unit()}", self.dimension)
        return tuple(
            (self.at(index * step * one), _written(index * step, digits))
            for index in range(first, last + 1)
        )


def round_step(least: float) -> float:
    """Return the smallest round step (1, 2, 2.5 or 5 times ten) not below ``least``."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in _STEPS if step * power >= least * (1 - 1e-9))


def _written(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}"
    return text.replace("-", "−") if float(text) != 0 else f"{0:.{digits}f}"


def draw_upright_axis(
    group: Node, axis: Axis, left: float, right: float, layer: Layer
) -> list[Label]:
    """Draw the steps of a vertical axis as thin rules; return their numbers."""
    room = abs(axis.end - axis.start) / (1.6 * LINE * layer.size)
    labels = []
    for y, text in axis.ticks(max(2, min(6, int(room)))):
        spots = [(left, y), (right, y)]
        add(
            group,
            "path",
            class_="drawing-rule",
            d=path_of(spots),
            stroke_width=0.5,
            stroke_opacity=0.45,
        )
        baseline = y + (ASCENT - LINE / 2) * layer.size
        x = left - 6
        box = text_box(text, x, baseline, "end", layer.size)
        labels.append(Label("axis", text, x, baseline, "end", box, layer=layer.name))
    return labels


def draw_level_axis(group: Node, axis: Axis, foot: float, layer: Layer) -> list[Label]:
    """Draw the steps of the horizontal axis below a panel; return their numbers."""
    widest = text_width("8,888.8", layer.size)
    most = int((axis.end - axis.start) / (1.4 * widest))
    labels = []
    for x, text in axis.ticks(max(2, min(10, most))):
        add(group, "path", d=path_of([(x, foot), (x, foot + 5)]), stroke_width=1)
        baseline = foot + (LEVEL_GAP + ASCENT) * layer.size
        box = text_box(text, x, baseline, "middle", layer.size)
        if box[2] > WIDTH:
            continue
        labels.append(Label("axis", text, x, baseline, "middle", box, layer=layer.name))
    return labels


def heading_at(text: str, x: float, top: float, layer: Layer) -> Label:
    """Return a fixed label that starts at x below ``top``."""
    baseline = top + ASCENT * layer.size
    box = text_box(text, x, baseline, "start", layer.size)
    return Label("axis", text, x, baseline, "start", box, layer=layer.name)
