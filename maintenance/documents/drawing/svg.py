"""Builds well-formed SVG: every text is escaped, every number is short."""

import re
from collections.abc import Iterable
from typing import Final
from xml.etree import ElementTree as ET

from maintenance.documents.drawing.sheet import Label, Spot

Node = ET.Element

# XML 1.0 cannot hold these at all, not even escaped.
_FORBIDDEN: Final = re.compile(
    "[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
)
_NOT_IN_KEY: Final = re.compile(r"[^A-Za-z0-9_-]+")


def clean(text: str) -> str:
    """Return a text on one line without what XML cannot hold."""
    return " ".join(_FORBIDDEN.sub(" ", text).split())


def id_prefix(key: str) -> str:
    """Return the prefix for all ids of one drawing on a page."""
    plain = _NOT_IN_KEY.sub("-", key).strip("-")
    return plain if plain[:1].isalpha() else f"d-{plain}".rstrip("-")


def number(value: float) -> str:
    """Write a coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def add(parent: Node, tag: str, **attributes: str | float | None) -> Node:
    """Add an element; ``class_`` is ``class`` and ``_`` in a name is ``-``."""
    written = {
        name.rstrip("_").replace("_", "-"): (
            clean(value) if isinstance(value, str) else number(value)
        )
        for name, value in attributes.items()
        if value is not None
    }
    return ET.SubElement(parent, tag, written)


def add_title(parent: Node, text: str) -> None:
    """Name a mark: shown when pointed at."""
    ET.SubElement(parent, "title").text = clean(text)


def path_of(spots: Iterable[Spot]) -> str:
    """Write a run of straight lines as path data."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in spots)


def start_drawing(
    key: str, title: str, description: str, *, width: float, height: float
) -> Node:
    """Start an SVG that names itself to a screen reader."""
    prefix = id_prefix(key)
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {number(width)} {number(height)}",
            "role": "img",
            "class": "drawing-svg",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "fill": "none",
            "stroke": "currentColor",
            "stroke-linejoin": "round",
        },
    )
    ET.SubElement(root, "title", {"id": f"{prefix}-title"}).text = clean(title)
    ET.SubElement(root, "desc", {"id": f"{prefix}-desc"}).text = clean(description)
    return root


def start_sample() -> Node:
    """Start the small drawing that stands before a line of a key."""
    return ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": "0 0 34 30",
            "width": "34",
            "height": "30",
            "class": "drawing-sample",
            "aria-hidden": "true",
            "fill": "none",
            "stroke": "currentColor",
            "stroke-linejoin": "round",
        },
    )


def add_labels(root: Node, labels: Iterable[Label], layer: str, size: float) -> None:
    """Write one layer of words, each with its leader."""
    group = add(root, "g", class_=f"drawing-{layer}", font_size=size)
    for label in labels:
        if label.layer != layer:
            continue
        if label.leader is not None:
            x1, y1, x2, y2 = label.leader
            add(
                group,
                "path",
                class_="drawing-leader",
                d=path_of([(x1, y1), (x2, y2)]),
                stroke_width=0.6,
            )
        text = add(
            group,
            "text",
            class_="drawing-label",
            x=label.x,
            y=label.baseline,
            text_anchor=label.anchor,
            fill="currentColor",
            stroke="none",
        )
        text.text = clean(label.text)


def write_svg(root: Node) -> str:
    """Write the drawing as text."""
    return ET.tostring(root, encoding="unicode")
