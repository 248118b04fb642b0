"""What a drawing gives back: the SVG, the table that stands beside it, its key."""

from dataclasses import dataclass
from typing import Final

Box = tuple[float, float, float, float]
Line = tuple[float, float, float, float]
Spot = tuple[float, float]

WIDTH: Final = 960.0
"""Width of every view box; heights differ."""
EDGE: Final = 4.0
"""Margin that no word of a plan enters."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One set of words in a drawing; the style sheet shows one set at a time.

    A drawing on a phone is the same drawing at a third of the size: its words must
    be larger in proportion, and fewer.
    """

    name: str
    size: float


LAYERS: Final = (Layer("wide", 12.0), Layer("narrow", 27.0))


@dataclass(frozen=True, slots=True)
class Label:
    """A word placed in a drawing, with the box that it may fill."""

    mark: str
    text: str
    x: float
    baseline: float
    anchor: str
    box: Box
    leader: Line | None = None
    layer: str = "wide"


@dataclass(frozen=True, slots=True)
class KeyLine:
    """One line of the key: a small drawing and what it means."""

    svg: str
    text: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing and all that is needed to read it without seeing it.

    ``rows`` hold one row per mark, in the order of ``columns``; the first cell is
    the id. ``heading`` also stands in the drawing itself.
    """

    svg: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    heading: str
    key: tuple[KeyLine, ...]
    labels: tuple[Label, ...]
    width: float
    height: float
