"""Pages of visits: how to reach each, for whoever walks them."""

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

Way = Callable[[Page, str], object]


def _goes_to(address: str, heading: str) -> Way:
    def go(page: Page, office: str) -> None:
        page.goto(f"{office}{address}")
        expect(page.get_by_role("heading", level=1)).to_have_text(re.compile(heading))
        for fold in page.locator("main details").all():
            fold.evaluate("each => each.open = true")

    return go


def _first(listed: str, heading: str) -> Way:
    """Open the first thing of a list."""

    def go(page: Page, office: str) -> None:
        page.goto(f"{office}{listed}")
        page.get_by_role("main").locator("tbody th a").first.click()
        expect(page.get_by_role("heading", level=1)).to_have_text(re.compile(heading))
        for fold in page.locator("main details").all():
            fold.evaluate("each => each.open = true")

    return go


def _refused_end(page: Page, office: str) -> None:
    page.goto(f"{office}/visits/")
    page.get_by_role("main").locator("tbody th a").first.click()
    page.get_by_label("Not found").check()
    page.get_by_role("button", name="End the visit").click()
    expect(page.get_by_role("alert")).to_contain_text("needs a note")


VISIT_WAYS: dict[str, Way] = {
    "visits": _goes_to("/visits/", "Visits"),
    "visits without a day": _goes_to("/visits/?due=undated", "Visits"),
    "visits of all states": _goes_to("/visits/?state=all&kind=shutdown", "Visits"),
    "visit under way": _first("/visits/", "Shutdown"),
    "visit that is not ended": _refused_end,
    "visit that ended": _first("/visits/?state=ended", "Shutdown"),
    "new visit": _goes_to("/visits/new/", "Plan a visit"),
    "calls": _goes_to("/visits/calls/", "Calls"),
    "call": _first("/visits/calls/", "Call, "),
    "new call": _goes_to("/visits/calls/new/", "Take a call"),
    "findings": _goes_to("/visits/findings/", "Findings"),
    "finding": _first("/visits/findings/", "Crook Lane"),
    "season board": _goes_to(
        "/visits/board/?season=shutdown&year=2026", "Shutdown 2026"
    ),
    "roll-over": _goes_to(
        "/visits/roll-over/?season=shutdown&year=2027", "Roll over into shutdown 2027"
    ),
    "day sheet": _goes_to(
        "/visits/day/?on=2026-09-01&worker=Crew+North&access=1", "Crew North"
    ),
    "site story": _goes_to("/sites/crook-lane-22/story/", "What was done here"),
}
EMPTY_VISIT_WAYS: dict[str, Way] = {
    f"no {name}": VISIT_WAYS[name]
    for name in ("visits", "new visit", "calls", "new call", "findings", "season board")
}
