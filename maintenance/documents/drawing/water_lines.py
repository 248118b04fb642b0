"""How each state of a pipe is drawn on the map of water: solid, ticks, hollow, thin."""

import math
from collections.abc import Iterable
from itertools import pairwise
from typing import Final

from maintenance.documents.drawing.sheet import KeyLine, Spot
from maintenance.documents.drawing.svg import (
    Node,
    add,
    path_of,
    start_sample,
    write_svg,
)

THIN: Final = 1.2
WATER: Final = 7.0
_HOLLOW: Final = 8.0
_TICK: Final = 9.0
_RAILS: Final = 15.0
_EDGE: Final = 1.1
_DASHES: Final = "6 3"
DROP: Final = "M0 0C3.4 4.6 5 6.6 5 9.2A5 5 0 0 1-5 9.2C-5 6.6-3.4 4.6 0 0Z"
"""A drop that hangs from (0, 0)."""
DROP_HEIGHT: Final = 14.5
MEANINGS: Final = {
    "trapped": "solid: full of water",
    "partly": "solid in part: water up to there",
    "air_locked": "hollow: may not drain, no air gets in",
    "blown": "ticks: blown out; a film or low layer may stay",
    "drained": "thin: drained",
    "dashed": "thin and dashed: place not recorded",
    "above": "between two lines: above ground or indoors",
    "below": "between two dotted lines: below the frost depth",
    "drop": "drop: low point where water stands",
    "valve": "ring round a valve: water stands at it; dashed: on one side",
}


def run_of(path: tuple[Spot, ...], share: float, *, from_end: bool) -> list[Spot]:
    """Return the first ``share`` of a path, or the last where ``from_end``."""
    spots = list(reversed(path)) if from_end else list(path)
    lengths = [math.dist(start, end) for start, end in pairwise(spots)]
    left = share * sum(lengths)
    run = [spots[0]]
    for (start, end), length in zip(pairwise(spots), lengths, strict=True):
        if length >= left:
            part = left / length if length else 0.0
            run.append(
                (
                    start[0] + part * (end[0] - start[0]),
                    start[1] + part * (end[1] - start[1]),
                )
            )
            break
        run.append(end)
        left -= length
    return run


def draw_rails(parent: Node, path: Iterable[Spot], *, dotted: bool) -> None:
    """Draw a line on either side of a pipe."""
    _hollow(parent, path_of(path), _RAILS, "1.4 3.4" if dotted else None)


def draw_state(
    parent: Node,
    path: tuple[Spot, ...],
    state: str,
    wet: list[Spot],
    *,
    assumed: bool = False,
) -> None:
    """Draw a pipe in its state; ``wet`` is the run that holds water.

    ``assumed`` where the place of an end is not recorded.
    """
    whole = path_of(path)
    if state == "air_locked":
        _hollow(parent, whole, _HOLLOW)
    elif state == "blown":
        add(parent, "path", d=whole, stroke_width=_TICK, stroke_dasharray="1.2 8")
    if state != "air_locked":
        dashes = _DASHES if assumed else None
        add(parent, "path", d=whole, stroke_width=THIN, stroke_dasharray=dashes)
    if state in ("trapped", "partly") and len(wet) > 1:
        add(parent, "path", d=path_of(wet), stroke_width=WATER)


def draw_drop(parent: Node, x: float, y: float) -> None:
    """Draw the drop that marks a low point with water."""
    add(
        parent,
        "path",
        d=DROP,
        transform=f"translate({x:.2f} {y:.2f})",
        fill="currentColor",
        stroke="none",
    )


def draw_ring(
    parent: Node, x: float, y: float, radius: float, *, one_side: bool
) -> None:
    """Draw the ring round a valve or device at which water stands."""
    add(
        parent,
        "circle",
        cx=x,
        cy=y,
        r=radius,
        stroke_width=1.8,
        stroke_dasharray="3 2.4" if one_side else None,
    )


def water_key(shown: Iterable[str]) -> tuple[KeyLine, ...]:
    """Return a line of the key for each meaning that is drawn, in a fixed order."""
    wanted = set(shown)
    return tuple(
        KeyLine(water_mark(name), text)
        for name, text in MEANINGS.items()
        if name in wanted
    )


def _hollow(parent: Node, path: str, width: float, dashes: str | None = None) -> None:
    """Draw the two edges of a wide line: the line, and paper over its middle."""
    add(parent, "path", d=path, stroke_width=width, stroke_dasharray=dashes)
    inside = width - 2 * _EDGE
    add(parent, "path", class_="drawing-bore", d=path, stroke_width=inside)


def water_mark(name: str) -> str:
    """Return the small drawing of a state or of another meaning of the map."""
    root = start_sample()
    path = ((2.0, 15.0), (32.0, 15.0))
    if name == "drop":
        draw_drop(root, 17, 8)
    elif name == "valve":
        draw_ring(root, 17, 15, 9, one_side=False)
    elif name == "dashed":
        draw_state(root, path, "drained", [], assumed=True)
    elif name in ("above", "below"):
        draw_rails(root, path, dotted=name == "below")
        draw_state(root, path, "drained", [])
    else:
        share = 0.5 if name == "partly" else 1.0
        draw_state(root, path, name, run_of(path, share, from_end=False))
    return write_svg(root)
