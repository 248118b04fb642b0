"""What must hold for every drawing."""

from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree as ET

from maintenance.documents.drawing.lettering import boxes_overlap
from maintenance.documents.drawing.sheet import LAYERS, Box, Drawing, Label

SVG = "{http://www.w3.org/2000/svg}"
FIXTURES = Path(__file__).resolve().parents[3] / "fixtures"


def overlapping(labels: tuple[Label, ...]) -> list[tuple[str, str]]:
    """Return the pairs of labels of one layer whose boxes overlap."""
    return [
        (one.text, two.text)
        for one, two in combinations(labels, 2)
        if one.layer == two.layer and boxes_overlap(one.box, two.box)
    ]


def outside(drawing: Drawing) -> list[str]:
    """Return the labels that reach out of the view box."""
    return [label.text for label in drawing.labels if not _inside(label.box, drawing)]


def _inside(box: Box, drawing: Drawing) -> bool:
    return (
        box[0] >= 0
        and box[1] >= 0
        and box[2] <= drawing.width
        and box[3] <= drawing.height
    )


def struck_by_leader(labels: tuple[Label, ...]) -> list[tuple[str, str]]:
    """Return the pairs of a leader and another label that it runs through."""
    return [
        (one.text, two.text)
        for one in labels
        for two in labels
        if one is not two
        and one.layer == two.layer
        and one.leader is not None
        and _enters(one.leader, two.box)
    ]


def _enters(line, box) -> bool:
    x1, y1, x2, y2 = line
    spots = [(x1 + (x2 - x1) * t / 200, y1 + (y2 - y1) * t / 200) for t in range(201)]
    return any(box[0] < x < box[2] and box[1] < y < box[3] for x, y in spots)


def hold_rules(drawing: Drawing, key: str) -> ET.Element:
    """Assert what holds for every drawing; return the parsed SVG."""
    assert overlapping(drawing.labels) == []
    assert outside(drawing) == []
    assert struck_by_leader(drawing.labels) == []
    root = ET.fromstring(drawing.svg)  # noqa: S314  (our own text)
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    for named in (root.get("aria-labelledby") or "").split():
        told = [node.text for node in root.iter() if node.get("id") == named]
        assert len(told) == 1
        assert told[0]
    ids = [node.get("id") or "" for node in root.iter() if "id" in node.attrib]
    assert len(ids) == len(set(ids))
    assert all(id_.startswith(f"{key}-") for id_ in ids)
    for node in root.iter():
        assert node.tag != f"{SVG}style"
        assert "style" not in node.attrib
        assert node.get("stroke", "currentColor").startswith(
            ("currentColor", "none", f"url(#{key}-")
        )
        assert node.get("fill", "none") in ("none", "currentColor")
    texts = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert sorted(texts) == sorted(label.text for label in drawing.labels)
    assert {label.layer for label in drawing.labels} <= {one.name for one in LAYERS}
    for row in drawing.rows:
        assert len(row) == len(drawing.columns)
    return root


def marks(root: ET.Element) -> dict[str, ET.Element]:
    """Return the marks by the id that their title begins with."""
    found = {}
    for node in root.iter(f"{SVG}g"):
        if node.get("class") == "drawing-mark":
            title = node.find(f"{SVG}title")
            assert title is not None
            assert title.text
            found[title.text.split(":")[0]] = node
    return found
