"""The boxes that labels are given are judged, not measured: here a browser measures."""

import json
from itertools import combinations

import pytest

from maintenance.documents.drawing.lettering import boxes_overlap
from maintenance.documents.drawing.plan import plan_svg
from maintenance.documents.drawing.profile import profile_svg
from maintenance.documents.drawing.sheet import Drawing
from maintenance.engine.site import Site
from maintenance.engine.site.record import from_record
from tests.documents.drawing.checks import FIXTURES
from tests.documents.drawing.sites import hillside
from tests.documents.drawing.test_profile import dip

STYLE = FIXTURES.parent / "maintenance/static/maintenance/drawing.css"
MEASURE = """() => [...document.querySelectorAll('svg.drawing-svg text')]
  .map(text => [text.textContent, text.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0)
  .map(([text, box]) => [text, box.left, box.top, box.right, box.bottom])"""


def drawings() -> dict[str, Drawing]:
    record = json.loads((FIXTURES / "demo/larkmoor.json").read_text("utf-8"))
    return {
        "larkmoor": plan_svg(from_record(Site, record), system="us"),
        "schematic": plan_svg(hillside(12, known="none"), system="si"),
        "profile": profile_svg(dip(), system="us"),
    }


@pytest.mark.browser
@pytest.mark.parametrize(("width", "layer"), [(360, "narrow"), (1280, "wide")])
@pytest.mark.parametrize("name", ["larkmoor", "schematic", "profile"])
def test_words_as_drawn_are_disjoint_legible_and_in_their_boxes(
    page, name, width, layer
):
    drawing = drawings()[name]
    page.set_viewport_size({"width": width, "height": 800})
    page.set_content(
        f"<!doctype html><meta charset=utf-8><style>{STYLE.read_text('utf-8')}"
        f"body {{ margin: 0 }}</style><figure style='margin: 0'>{drawing.svg}</figure>"
    )
    seen = page.evaluate(MEASURE)
    wanted = [label for label in drawing.labels if label.layer == layer]
    assert sorted(text for text, *_ in seen) == sorted(one.text for one in wanted)
    boxes = [tuple(box) for _, *box in seen]
    assert [pair for pair in combinations(boxes, 2) if boxes_overlap(*pair)] == []
    per_unit = width / drawing.width
    for box in boxes:
        assert box[3] - box[1] >= 9
        assert any(_within(box, one.box, per_unit) for one in wanted)


def _within(seen, judged, per_unit):
    left, top, right, bottom = (value * per_unit for value in judged)
    slack = 0.5  # px: the browser rounds
    return (
        seen[0] >= left - slack
        and seen[1] >= top - slack
        and seen[2] <= right + slack
        and seen[3] <= bottom + slack
    )
