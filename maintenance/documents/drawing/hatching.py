"""Wet, air-locked, drained and blown: told apart by hatching, never by hue."""

from collections.abc import Iterable
from typing import Final

from maintenance.documents.drawing.svg import Node, add
from maintenance.engine.errors import InputError

STATES: Final = {
    "wet": "wet: water stands in it",
    "trapped": "wet over its whole length",
    "partly": "wet in part",
    "air_locked": "air-locked: may not drain",
    "drained": "drained",
    "blown": "blown out",
}
# Tile width and height, then the lines in it; the tile is turned by the last number.
_TILES: Final = {
    "wet": (4.0, 4.0, "M0 0V4", 45),
    "trapped": (3.0, 3.0, "M0 0V3", 45),
    "partly": (8.0, 8.0, "M0 0V8", 45),
    "air_locked": (6.0, 6.0, "M0 0V6M0 0H6", 45),
    "drained": (7.0, 7.0, "M0 0V3", 90),
    # In a profile pipes slope, but none stands upright: upright lines always show.
    "standing": (2.8, 2.8, "M0 0V2.8", 0),
    "blown": (9.0, 11.0, "M2 1L6 5.5L2 10", 0),
}
BAND: Final = 13.0


def check_state(state: str) -> None:
    """Refuse a state that has no hatching."""
    if state not in STATES:
        known = ", ".join(STATES)
        raise InputError(
            f'"{state}" is not a state of a pipe; use one of {known}', input="states"
        )


def add_patterns(root: Node, prefix: str, states: Iterable[str]) -> None:
    """Define the hatching of the states that are drawn."""
    wanted = set(states)
    if not wanted:
        return
    defs = add(root, "defs")
    for state, (width, height, lines, turn) in _TILES.items():
        if state not in wanted:
            continue
        pattern = add(
            defs,
            "pattern",
            id=f"{prefix}-{state}",
            width=width,
            height=height,
            patternUnits="userSpaceOnUse",
            patternTransform=f"rotate({turn})",
        )
        add(pattern, "path", d=lines, stroke_width=1.2)


def paint(prefix: str, state: str) -> str:
    """Return the paint that refers to the hatching of a state."""
    return f"url(#{prefix}-{state})"
