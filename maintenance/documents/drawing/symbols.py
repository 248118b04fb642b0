"""The symbols, drawn by us in the manner of ISO 14617 and ISA-5.1: open outlines.

Each lies round (0, 0); a link's symbol points along the flow, to the right.
``outline`` is closed and covers the line under it, ``strokes`` are lines only,
``solid`` is filled with ink.
"""

import math
from dataclasses import dataclass
from typing import Final

from maintenance.documents.drawing.svg import Node, add, number
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    Drain,
    Head,
    IsolationValve,
    Link,
    Pipe,
    Point,
    Pump,
    Supply,
    ZoneValve,
)


@dataclass(frozen=True, slots=True)
class Symbol:
    """One symbol as path data, and half its size."""

    outline: str = ""
    strokes: str = ""
    solid: str = ""
    radius: float = 8.0
    width: float = 1.3


def _circle(radius: float) -> str:
    r = number(radius)
    return f"M{r} 0A{r} {r} 0 1 0-{r} 0A{r} {r} 0 1 0 {r} 0Z"


_BODY: Final = "M-8-5L-8 5L8-5L8 5Z"
_DOME: Final = "M-5-5A5 5 0 0 1 5-5Z"
_VENT: Final = "M-5-10A5 4 0 0 1 5-10Z"

ISOLATION: Final = {
    None: Symbol(_BODY, "M0 0V-7M-4-7H4"),
    "gate": Symbol(_BODY, "M0 0V-8M-4-8H4M-4-5.5H4"),
    "ball": Symbol(_BODY + _circle(2.8), "M0-2.8V-7M-4-7H4"),
    "stop_and_waste": Symbol(_BODY, "M0 0V-7M-4-7H4M0 0V9M-2.5 6.5L0 9L2.5 6.5"),
    "selector": Symbol(_BODY + "M0 0L-4.5 8H4.5Z", "M0 0V-7M-4-7H4"),
}
ZONE_VALVE: Final = Symbol(_BODY + "M-4-5H4V-11H-4Z", "M0 0V-5", radius=9)
ZONE_VALVE_BY_HAND: Final = Symbol(_BODY, "M0 0V-8M-4-8H4", radius=9)
CHECK: Final = Symbol("M-6-5L6 0L-6 5Z", "M6-6V6", radius=7)
PUMP: Final = Symbol(_circle(8), "M-4.5-6.6L8 0L-4.5 6.6", radius=9)
_TWO_CHECKS: Final = "M-10-4L-3 0L-10 4ZM-3-4V4M3-4L10 0L3 4ZM10-4V4"
_ONE_CHECK: Final = "M-4-4L4 0L-4 4ZM4-4V4"
BACKFLOW: Final = {
    "RP": Symbol(
        "M-14-7H14V7H-14Z", _TWO_CHECKS + "M0 7V12M-2.5 9.5L0 12L2.5 9.5", radius=14
    ),
    "DC": Symbol("M-14-7H14V7H-14Z", _TWO_CHECKS, radius=14),
    "PVB": Symbol("M-9-7H9V7H-9Z" + _VENT, _ONE_CHECK + "M0-7V-10", radius=11),
    "SVB": Symbol(
        "M-9-7H9V7H-9Z" + _VENT, _ONE_CHECK + "M0-7V-10M-4-7L4-10", radius=11
    ),
    "AVB": Symbol("M-8-6H8V6H-8Z" + _VENT, "M0-6V-10M-4 0H4", radius=11),
    "AG": Symbol("", "M-9 0H-2M-2-4V4M3-6V6H10V-6", radius=10),
}
DEVICES: Final = {
    "master_valve": Symbol(
        _BODY + "M-4-5H4V-11H-4Z", "M0 0V-5M-4-5L4-11M-4-11L4-5", radius=9
    ),
    "meter": Symbol(_circle(7.5), "M0 3.5L3.8-3.8M-4.5 3.5H4.5"),
    "flow_sensor": Symbol(_circle(6), "M-6 0H6M1-3L4.5 0L1 3", radius=7),
    "filter": Symbol("M-7-7H7V7H-7Z", "M0-7V-4M0-1.8V1.8M0 4V7"),
    "pressure_regulator": Symbol(
        _BODY + _DOME, "M0 0V-5M4.5-7H11V0", radius=10, width=1.2
    ),
    "injector": Symbol("M-9-6L-2-2H2L9-6V6L2 2H-2L-9 6Z", "M0-2V-8", radius=9),
    "relief_valve": Symbol(
        "M0 0L-5-7H5ZM0 0L8-5V5Z", "M-8 0H0M0-7V-9L-3-10L3-12L-3-14", radius=10
    ),
    "fitting": Symbol("", "M-2-3.5V3.5M2-3.5V3.5", radius=4),
}
SUPPLIES: Final = {
    "public": Symbol(_circle(8), "M-4.5 0H4.5M1-3.5L4.5 0L1 3.5", radius=9, width=1.6),
    "well": Symbol(_circle(8) + _circle(4), "", radius=9, width=1.6),
    "surface": Symbol("M-9-6H9L0 8Z", "M-5.5-2.5H5.5M-3.4 1H3.4", radius=9, width=1.6),
    "tank": Symbol("M-8-7V7H8V-7", "M-8-2.5H8", radius=9, width=1.6),
}
PORT: Final = Symbol(_circle(8.5), _circle(5.5), "M0-3L3 2.4H-3Z", 10.0, 1.6)
DRAINS: Final = {
    "manual": Symbol("M-6-4H6L0 7Z", "M0-4V-8M-3.5-8H3.5"),
    "automatic": Symbol("M-6-4H6L0 7Z", "M-3.5-0.5H3.5"),
}
POINTS: Final = {
    "junction": Symbol("", "", _circle(2), 2.5, 0.5),
    "other_use": Symbol("M-8 0L0-8L8 0V8H-8Z", "M-2.5 8V2H2.5V8", radius=9),
    "quick_coupler": Symbol("M-5-5H5V5H-5Z", "", _circle(1.8), 6.5),
    "test_cock": Symbol(_circle(3), "M0-3V-8M-3-8H3", radius=7),
    "open_end": Symbol("", "M-3-5L3-7M-3 5L3 7M-3-5V5", radius=7),
    "end": Symbol("", "M3-5.5V5.5M3-5.5H-2M3 5.5H-2", radius=6),
    "hydrant": Symbol(_circle(6), "M-4.2-4.2L4.2 4.2M-4.2 4.2L4.2-4.2", radius=7),
    "tank": Symbol("M-7-6V6H7V-6", "M-7-2H7"),
    "vent": Symbol("M-5-2A5 4 0 0 1 5-2Z", "M0-2V4", radius=6),
}
HEADS: Final = {
    "spray": Symbol(_circle(3.2), radius=4, width=1.1),
    "rotor": Symbol(_circle(3.6), "", _circle(1.3), 4.5, 1.1),
    "impact": Symbol(_circle(3.6), "M-2.5 2.5L2.5-2.5", radius=4.5, width=1.1),
    "bubbler": Symbol(_circle(3.6) + _circle(1.6), radius=4.5, width=1.1),
    "drip_emitters": Symbol("M0-4.2L4.2 0L0 4.2L-4.2 0Z", radius=5, width=1.1),
}
ALONG_THE_PIPE: Final = frozenset({"end", "open_end"})


def link_symbol(link: Link) -> Symbol | None:
    """Return the symbol of a link; a pipe has none."""
    symbol: Symbol | None
    match link:
        case Pipe():
            symbol = None
        case IsolationValve():
            symbol = ISOLATION[link.type]
        case CheckValve():
            symbol = CHECK
        case Backflow():
            symbol = BACKFLOW[link.device]
        case ZoneValve():
            by_hand = link.opens_by == "hand"
            symbol = ZONE_VALVE_BY_HAND if by_hand else ZONE_VALVE
        case Pump():
            symbol = PUMP
        case _:
            symbol = DEVICES[link.kind]
    return symbol


def point_symbol(point: Point) -> Symbol:
    """Return the symbol of a point."""
    match point:
        case Supply():
            return SUPPLIES[point.source]
        case Drain():
            return DRAINS[point.drain]
        case Head():
            return HEADS[point.head]
        case _:
            return PORT if point.kind == "blowout_port" else POINTS[point.kind]


def draw_symbol(
    parent: Node,
    symbol: Symbol,
    x: float,
    y: float,
    *,
    scale: float = 1.0,
    turned_deg: float = 0.0,
) -> None:
    """Draw a symbol at a place, turned clockwise."""
    turn = f" rotate({number(turned_deg)})" if turned_deg else ""
    size = f" scale({number(scale)})" if scale != 1.0 else ""
    where = f"translate({number(x)} {number(y)}){turn}{size}"
    group = add(parent, "g", transform=where, stroke_width=symbol.width)
    if symbol.outline:
        add(group, "path", class_="drawing-open", d=symbol.outline)
    if symbol.strokes:
        add(group, "path", d=symbol.strokes)
    if symbol.solid:
        add(group, "path", d=symbol.solid, fill="currentColor", stroke="none")


def arc_path(arc_deg: float, facing_deg: float, radius: float) -> str:
    """Return the arc that a head waters, round (0, 0), facing a direction."""
    if arc_deg >= 359.5:
        return _circle(radius)
    half = math.radians(arc_deg) / 2
    first, last = math.radians(facing_deg) - half, math.radians(facing_deg) + half
    start = f"{number(radius * math.cos(first))} {number(radius * math.sin(first))}"
    end = f"{number(radius * math.cos(last))} {number(radius * math.sin(last))}"
    large = 1 if arc_deg > 180 else 0
    r = number(radius)
    return f"M0 0L{start}A{r} {r} 0 {large} 1 {end}Z"
