"""The plans as they stand on the pages of a site: no word lies upon another."""

from itertools import combinations
from typing import Any

import pytest
from playwright.sync_api import Page

MEASURE = """() => [...document.querySelectorAll('main figure.drawing svg text')]
  .map(text => [text.textContent, text.getBoundingClientRect(),
                getComputedStyle(text).visibility])
  .filter(([, box, seen]) => box.width > 0 && box.height > 0 && seen === 'visible')
  .map(([text, box]) => ({text, left: box.left, top: box.top,
                          right: box.right, bottom: box.bottom}))"""
TOUCH_PX = 0.5  # edges that meet do not hide each other


def _overlap(one: dict[str, Any], other: dict[str, Any]) -> bool:
    return bool(
        min(one["right"], other["right"]) - max(one["left"], other["left"]) > TOUCH_PX
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
        > TOUCH_PX
    )


def _overlaps(labels: list[dict[str, Any]]) -> list[str]:
    return [
        f"{one['text']} upon {other['text']}"
        for one, other in combinations(labels, 2)
        if _overlap(one, other)
    ]


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize(
    "where",
    [
        "",
        "water-left/?compressor=yard-25&frost_depth=18+in",
        "water-left/?compressor=",
    ],
)
def test_no_two_labels_of_larkmoor_overlap(
    demo_office: str,
    page: Page,
    complaints: list[str],
    where: str,
    width: int,
    units: str,
) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(f"{demo_office}/sites/larkmoor/{where}")
    if units == "si":
        page.get_by_role("button", name="Show metric units").click()
    labels = page.evaluate(MEASURE)
    assert len(labels) >= 20
    assert _overlaps(labels) == []
    # Nothing is lost beyond the edge of the drawing either.
    frame = page.locator("main figure.drawing svg").first.bounding_box()
    assert frame is not None
    for label in labels:
        assert label["left"] >= frame["x"] - TOUCH_PX, label["text"]
        assert label["right"] <= frame["x"] + frame["width"] + TOUCH_PX, label["text"]


def test_an_overlap_would_be_seen(demo_office: str, page: Page) -> None:
    page.goto(f"{demo_office}/sites/larkmoor/")
    page.evaluate(
        """() => {
          const seen = [...document.querySelectorAll('figure.drawing svg text')]
            .filter(text => text.getBoundingClientRect().width > 0);
          const copy = seen[0].cloneNode(true);
          seen[0].parentNode.append(copy);
        }"""
    )
    assert len(_overlaps(page.evaluate(MEASURE))) == 1
