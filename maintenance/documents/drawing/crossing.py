"""Which boxes and lines meet, for many at a time.

Boxes are rows (left, top, right, bottom), lines rows (x1, y1, x2, y2).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def table(rows: Sequence[Sequence[float]]) -> Floats:
    """Return rows of four numbers as an array, also where there are none."""
    return np.array(rows, dtype=np.float64).reshape(-1, 4)


def within(rows: Floats, window: tuple[float, float, float, float]) -> Flags:
    """Return which boxes or lines may reach into a window."""
    xs, ys = rows[:, [0, 2]], rows[:, [1, 3]]
    met: Flags = (
        (xs.min(axis=1) <= window[2])
        & (xs.max(axis=1) >= window[0])
        & (ys.min(axis=1) <= window[3])
        & (ys.max(axis=1) >= window[1])
    )
    return met


def boxes_meet(first: Floats, second: Floats) -> Flags:
    """Return for each box of ``first`` and each of ``second`` whether they overlap."""
    one, two = first[:, None, :], second[None, :, :]
    met: Flags = (
        (one[..., 0] < two[..., 2])
        & (two[..., 0] < one[..., 2])
        & (one[..., 1] < two[..., 3])
        & (two[..., 1] < one[..., 3])
    )
    return met


def lines_meet_boxes(lines: Floats, boxes: Floats) -> Flags:
    """Return for each box (rows) and line (columns) whether the line enters it."""
    line, box = lines[None, :, :], boxes[:, None, :]
    first = np.zeros((len(boxes), len(lines)))
    last = np.ones_like(first)
    for axis in (0, 1):
        start = line[..., axis]
        run = line[..., axis + 2] - start
        # A line along an edge has no run: an almost zero one gives the same answer.
        run = np.where(np.abs(run) < 1e-9, 1e-9, run)
        one, two = (box[..., axis] - start) / run, (box[..., axis + 2] - start) / run
        first = np.maximum(first, np.minimum(one, two))
        last = np.minimum(last, np.maximum(one, two))
    met: Flags = first < last
    return met


def lines_meet(first: Floats, second: Floats) -> Flags:
    """Return for each line of ``first`` and each of ``second`` whether they cross."""
    a, b = first[:, None, :2], first[:, None, 2:]
    c, d = second[None, :, :2], second[None, :, 2:]
    met: Flags = (_side(a, b, c) * _side(a, b, d) < 0) & (
        _side(c, d, a) * _side(c, d, b) < 0
    )
    return met


def _side(start: Floats, end: Floats, spot: Floats) -> Floats:
    """Return on which side of a line a spot lies, as a signed area."""
    run, off = end - start, spot - start
    area: Floats = run[..., 0] * off[..., 1] - run[..., 1] * off[..., 0]
    return area
