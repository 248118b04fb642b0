"""Brings a layout into the view box: scale, room for words, parts drawn apart."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from maintenance.documents.drawing.graph import Graph
from maintenance.documents.drawing.layout import Layout
from maintenance.documents.drawing.sheet import WIDTH, Box, Spot
from maintenance.documents.drawing.symbols import link_symbol, point_symbol

Floats = NDArray[np.float64]

MARGIN: Final = 64.0
MARGIN_Y: Final = 36.0
HEAD_STRIP: Final = 52.0
_TALLEST: Final = 820.0
_LOWEST: Final = 120.0
_ROUNDS: Final = 120
_SLACK: Final = 0.5
_EASE: Final = 0.8


@dataclass(frozen=True, slots=True)
class Canvas:
    """Where everything stands in the view box.

    ``per_metre`` is None where the drawing has no scale. ``moved`` is the furthest
    that a point was moved so that close parts can be told apart, in view units.
    """

    height: float
    spots: dict[str, Spot]
    paths: dict[str, tuple[Spot, ...]]
    symbol_scale: float
    per_metre: float | None
    moved: float


def fit_canvas(graph: Graph, layout: Layout) -> Canvas:
    """Return the places in the view box for a layout of at least one point."""
    every = [(p.x, p.y) for p in layout.points.values()]
    every += [spot for bend in layout.bends.values() for spot in bend]
    xs, ys = zip(*every, strict=True)
    left, top = min(xs), max(ys)
    wide, tall = max(xs) - left, top - min(ys)
    schematic = layout.kind == "schematic"
    scale_x, scale_y = _scales(wide, tall, schematic=schematic)
    height = max(_LOWEST, tall * scale_y) + 2 * MARGIN_Y + HEAD_STRIP
    off_x = (WIDTH - wide * scale_x) / 2
    off_y = HEAD_STRIP + (height - HEAD_STRIP - tall * scale_y) / 2

    def seen(x: float, y: float) -> Spot:
        return (off_x + (x - left) * scale_x, off_y + (top - y) * scale_y)

    spots = {id_: seen(p.x, p.y) for id_, p in layout.points.items()}
    bends = {
        id_: tuple(seen(*spot) for spot in bend) for id_, bend in layout.bends.items()
    }
    if schematic:
        symbol_scale, moved = min(1.0, max(0.5, min(scale_x, scale_y) / 26)), 0.0
    else:
        symbol_scale = min(1.0, max(0.62, 14 / math.sqrt(len(spots) + 1)))
        box = (MARGIN / 2, HEAD_STRIP + 8, WIDTH - MARGIN / 2, height - MARGIN / 2)
        apart = _draw_apart(graph, spots, symbol_scale, box)
        moved = max(math.dist(spots[id_], apart[id_]) for id_ in spots)
        spots = apart
    paths = {
        link.id: (
            spots[link.from_],
            *_turned(bends, link.id, spots[link.from_]),
            spots[link.to],
        )
        for link in graph.links.values()
    }
    per_metre = None if schematic else scale_x
    return Canvas(height, spots, paths, symbol_scale, per_metre, moved)


def _scales(wide: float, tall: float, *, schematic: bool) -> tuple[float, float]:
    room_x, room_y = WIDTH - 2 * MARGIN, _TALLEST - 2 * MARGIN_Y - HEAD_STRIP
    scale_x = room_x / wide if wide > 0 else math.inf
    scale_y = room_y / tall if tall > 0 else math.inf
    if schematic:
        return min(scale_x, 72.0), min(scale_y, 46.0)
    both = min(scale_x, scale_y)
    both = both if math.isfinite(both) else 1.0
    return both, both


def _turned(
    bends: Mapping[str, tuple[Spot, ...]], link: str, start: Spot
) -> tuple[Spot, ...]:
    """Return the bends of a link in the order from its own start."""
    bend = bends.get(link, ())
    if bend and math.dist(start, bend[0]) > math.dist(start, bend[-1]):
        return bend[::-1]
    return bend


def _draw_apart(
    graph: Graph,
    spots: Mapping[str, Spot],
    symbol_scale: float,
    box: Box,
) -> dict[str, Spot]:
    """Move points that stand too close to be told apart; the rest stay.

    Every symbol, at a point or half-way along a device, wants the room of its size;
    a device wants room between the symbols at its ends.
    """
    row = {id_: index for index, id_ in enumerate(spots)}
    at = np.array(list(spots.values()), dtype=np.float64)
    devices = [link for link in graph.links.values() if link_symbol(link) is not None]
    ends = np.array(
        [(row[link.from_], row[link.to]) for link in devices], dtype=np.intp
    ).reshape(-1, 2)
    rooms = [point_symbol(graph.points[id_]).radius for id_ in spots]
    rooms += [symbol.radius for link in devices if (symbol := link_symbol(link))]
    radii = symbol_scale * (np.array(rooms) + 1.0)
    least = radii[len(at) :] + np.maximum(radii[ends[:, 0]], radii[ends[:, 1]])
    for _ in range(_ROUNDS):
        stretched = _stretch(at, ends, 2 * least)
        every = np.vstack([at, at[ends].mean(axis=1)])
        before = every.copy()
        pushed = _push(every, radii, ends)
        if not (stretched or pushed):
            break
        shift = every - before
        at += shift[: len(at)]
        for end in (0, 1):
            np.add.at(at, ends[:, end], shift[len(at) :])
        np.clip(at[:, 0], box[0], box[2], out=at[:, 0])
        np.clip(at[:, 1], box[1], box[3], out=at[:, 1])
    return {id_: (float(x), float(y)) for id_, (x, y) in zip(row, at, strict=True)}


def _directions(run: Floats) -> Floats:
    """Return unit vectors; where there is no run, one that differs for each."""
    length = np.hypot(run[:, 0], run[:, 1])
    angle = 2.399963 * np.arange(len(run))
    away = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    unit: Floats = np.where(
        length[:, None] > 1e-6, run / np.maximum(length, 1e-6)[:, None], away
    )
    return unit


def _part(at: Floats, pairs: NDArray[np.intp], least: Floats) -> bool:
    """Move pairs towards their least distance in place; tell whether any was short."""
    run = at[pairs[:, 1]] - at[pairs[:, 0]]
    short = least - np.hypot(run[:, 0], run[:, 1])
    need = short > _SLACK
    if not need.any():
        return False
    shift = _directions(run)[need] * (_EASE * short[need] / 2)[:, None]
    np.add.at(at, pairs[need, 1], shift)
    np.add.at(at, pairs[need, 0], -shift)
    return True


def _stretch(at: Floats, ends: NDArray[np.intp], least: Floats) -> bool:
    return len(ends) > 0 and _part(at, ends, least)


def _push(at: Floats, radii: Floats, ends: NDArray[np.intp]) -> bool:
    """Push symbols apart; a device and its own two ends are left to `_stretch`."""
    if len(at) < 2:
        return False
    pairs = cKDTree(at).query_pairs(2 * float(radii.max()), output_type="ndarray")
    first = len(at) - len(ends)
    low, high = pairs.min(axis=1), pairs.max(axis=1)
    own = np.zeros(len(pairs), dtype=np.bool_)
    device = high >= first
    own[device] = (ends[high[device] - first] == low[device, None]).any(axis=1)
    low, high = low[~own], high[~own]
    order = np.lexsort((high, low))
    pairs = np.stack([low[order], high[order]], axis=1)
    return _part(at, pairs, radii[pairs[:, 0]] + radii[pairs[:, 1]])
