"""Places labels so that none ever lies on another, on a mark or on a leader.

Greedy, in the order given: each label takes the cheapest free candidate around its
mark. One that finds no room is tried shorter, then left off; the table has it.
"""

import math
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.documents.drawing import crossing
from maintenance.documents.drawing.lettering import ASCENT, LINE, PAD, text_width
from maintenance.documents.drawing.sheet import Box, Label, Line
from maintenance.documents.drawing.svg import clean

Floats = NDArray[np.float64]

# Angles in the order people look for a label: right, above right, ... [deg, y down]
_ANGLES: Final = (0, -45, 45, 180, -135, 135, -90, 90, -22, 22, -158, 158, -67, 67)
_DISTANCES: Final = (0.25, 0.8, 1.7, 2.8, 4.2, 6.0, 8.5)
_WITHOUT_LEADER: Final = 0.8
_GAP: Final = 1.5
_COST_OF_LINE: Final = 2.0
_COST_OF_SHORTER: Final = 2.2
_COST_OF_CROSSED_MARK: Final = 5.0


@dataclass(frozen=True, slots=True)
class Wish:
    """A label that is wanted: where its mark stands and what may be written.

    ``texts`` run from the best to the shortest. ``over_lines`` allows it to lie over
    a pipe where there is no other room; ``leader`` allows it to stand off.
    """

    mark: str
    texts: tuple[str, ...]
    x: float
    y: float
    radius: float = 4.0
    over_lines: bool = True
    leader: bool = True


@dataclass(frozen=True, slots=True)
class _Candidates:
    boxes: Floats
    leaders: Floats
    led: NDArray[np.bool_]
    cost: Floats
    sides: NDArray[np.int_]


def place_labels(
    wishes: Iterable[Wish],
    *,
    size: float,
    view: Box,
    marks: Sequence[Box],
    lines: Sequence[Line],
    taken: Sequence[Label] = (),
    layer: str = "wide",
) -> tuple[Label, ...]:
    """Place what finds room; the labels returned are pairwise disjoint."""
    room = _Room(view, marks, lines, taken)
    placed = []
    for wish in wishes:
        label = _place(wish, size, room, layer)
        if label is not None:
            room.take(label)
            placed.append(label)
    return tuple(placed)


class _Room:
    """What stands in the drawing already."""

    def __init__(
        self,
        view: Box,
        marks: Sequence[Box],
        lines: Sequence[Line],
        taken: Sequence[Label],
    ) -> None:
        self.view = view
        self.marks = crossing.table(marks)
        self.lines = crossing.table(lines)
        self.boxes = crossing.table([label.box for label in taken])
        self.leaders = crossing.table([one.leader for one in taken if one.leader])

    def near(self, wish: Wish, size: float) -> "_Room":
        """Return what a label of this wish could meet at all."""
        longest = max(text_width(text, size) for text in wish.texts)
        away = _DISTANCES[-1] if wish.leader else _WITHOUT_LEADER
        reach = wish.radius + away * size + longest + _GAP
        window = (wish.x - reach, wish.y - reach, wish.x + reach, wish.y + reach)
        near = copy(self)
        near.marks = self.marks[crossing.within(self.marks, window)]
        near.lines = self.lines[crossing.within(self.lines, window)]
        near.boxes = self.boxes[crossing.within(self.boxes, window)]
        near.leaders = self.leaders[crossing.within(self.leaders, window)]
        return near

    def take(self, label: Label) -> None:
        self.boxes = np.vstack([self.boxes, crossing.table([label.box])])
        if label.leader is not None:
            self.leaders = np.vstack([self.leaders, crossing.table([label.leader])])


def _place(wish: Wish, size: float, room: _Room, layer: str) -> Label | None:
    """Choose between a long text further off and a short one close by."""
    near = room.near(wish, size)
    best_cost, label = math.inf, None
    for index, text in enumerate(map(clean, wish.texts)):
        # No candidate is free of cost: a shorter text cannot win from here on.
        if not text or best_cost <= index * _COST_OF_SHORTER:
            continue
        tried = _candidates(wish, text, size)
        cost = _judged(tried, wish, near)
        best = int(np.argmin(cost))
        total = cost[best] + index * _COST_OF_SHORTER
        if total < best_cost:
            best_cost, label = total, _label(wish, text, size, tried, best, layer)
    return label


def _candidates(wish: Wish, text: str, size: float) -> _Candidates:
    width, height = text_width(text, size), LINE * size
    reach = [d for d in _DISTANCES if wish.leader or d <= _WITHOUT_LEADER]
    away, angle = np.meshgrid(np.array(reach), np.radians(_ANGLES), indexing="ij")
    away, angle = away.ravel(), angle.ravel()
    preference = np.tile(np.arange(len(_ANGLES)) * 0.04, len(reach))
    dx, dy = np.cos(angle), np.sin(angle)
    radius = wish.radius + away * size
    x, y = wish.x + radius * dx, wish.y + radius * dy
    across = np.where(dx > 0.3, 0.0, np.where(dx < -0.3, -1.0, -0.5))
    down = np.where(dy > 0.5, 0.0, np.where(dy < -0.5, -1.0, -0.5))
    left, top = x + across * width, y + down * height
    boxes = np.stack([left, top, left + width, top + height], axis=1)
    # From inside the mark, so that the leader touches a symbol that is not round.
    start_x, start_y = (
        wish.x + 0.6 * wish.radius * dx,
        wish.y + 0.6 * wish.radius * dy,
    )
    leaders = np.stack([start_x, start_y, x, y], axis=1)
    return _Candidates(
        boxes,
        leaders,
        away > _WITHOUT_LEADER,
        away + preference,
        np.where(across == 0.0, 1, np.where(across == -1.0, -1, 0)),
    )


def _judged(tried: _Candidates, wish: Wish, room: _Room) -> Floats:
    """Return the cost of each candidate; infinite where something stands there.

    Those close by, without a leader, come first: where one of them costs no more than
    the others do at best, the others are left at infinity.
    """
    cost = np.full(len(tried.cost), np.inf)
    close = int(np.count_nonzero(~tried.led))
    cost[:close] = _cost_of(tried, slice(0, close), wish, room, np.inf)
    cheapest = float(cost[:close].min())
    if close < len(cost) and cheapest > tried.cost[close]:
        further = slice(close, len(cost))
        cost[further] = _cost_of(tried, further, wish, room, cheapest)
    return cost


def _cost_of(
    tried: _Candidates, part: slice, wish: Wish, room: _Room, cheapest: float
) -> Floats:
    boxes = tried.boxes[part]
    grown = boxes + np.array([-_GAP, -_GAP, _GAP, _GAP])
    left, top, right, bottom = room.view
    blocked = (
        (boxes[:, 0] < left)
        | (boxes[:, 1] < top)
        | (boxes[:, 2] > right)
        | (boxes[:, 3] > bottom)
        | crossing.boxes_meet(grown, room.boxes).any(axis=1)
        | crossing.boxes_meet(boxes, room.marks).any(axis=1)
        | crossing.lines_meet_boxes(room.leaders, grown).any(axis=1)
    )
    free = np.flatnonzero(~blocked)
    over = crossing.lines_meet_boxes(room.lines, boxes[free]).sum(axis=1)
    cost: Floats = np.full(len(boxes), np.inf)
    cost[free] = tried.cost[part][free] + _COST_OF_LINE * over
    if not wish.over_lines:
        cost[free[over > 0]] = np.inf
    # Leaders are the dear part: only those that could still be the cheapest.
    led = tried.led[part]
    worth = led & (cost < cheapest)
    if worth.any():
        cost[worth] += _cost_of_leaders(tried.leaders[part][worth], room)
    cost[led & ~worth] = np.inf
    return cost


def _cost_of_leaders(leaders: Floats, room: _Room) -> Floats:
    blocked = crossing.lines_meet_boxes(leaders, room.boxes).any(axis=0)
    blocked |= crossing.lines_meet(leaders, room.leaders).any(axis=1)
    through = crossing.lines_meet(leaders, room.lines).sum(axis=1)
    # The leader starts within its own mark: one box met is that one.
    met = crossing.lines_meet_boxes(leaders, room.marks).sum(axis=0)
    crossed = np.maximum(met - 1, 0)
    cost = 0.5 * _COST_OF_LINE * through + _COST_OF_CROSSED_MARK * crossed
    return np.where(blocked, np.inf, cost)


def _label(
    wish: Wish, text: str, size: float, tried: _Candidates, best: int, layer: str
) -> Label:
    x0, y0, x1, y1 = (float(value) for value in tried.boxes[best])
    side = int(tried.sides[best])
    leader: Line | None = None
    if tried.led[best]:
        a, b, c, d = (float(value) for value in tried.leaders[best])
        leader = (a, b, c, d)
    return Label(
        mark=wish.mark,
        text=text,
        x={1: x0 + PAD * size, 0: (x0 + x1) / 2, -1: x1 - PAD * size}[side],
        baseline=y0 + ASCENT * size,
        anchor={1: "start", 0: "middle", -1: "end"}[side],
        box=(x0, y0, x1, y1),
        leader=leader,
        layer=layer,
    )
