"""Ways to the pages of a season's list, as the test of barriers walks them."""

import re
from collections.abc import Callable

from playwright.sync_api import Page, expect

Way = Callable[[Page, str], object]


def _started(page: Page, office: str, site: str = "dovecote-green") -> str:
    """Start a site's autumn list; return its address."""
    page.goto(f"{office}/sites/{site}/lists/start/shutdown/")
    page.get_by_role("button", name="Compile and open it").click()
    expect(page).to_have_url(re.compile(r"/lists/\d+/$"))
    return page.url


def _unfold(page: Page) -> None:
    for fold in page.locator("main details").all():
        fold.evaluate("each => each.open = true")


def _list(page: Page, office: str) -> None:
    """Show a list whose row of air is next, with all that is folded."""
    _started(page, office, "larkmoor")
    air = page.locator(".step", has_text=re.compile("till the water ends")).first
    air.locator(".acts summary").click()
    air.get_by_role("button", name="Start: air on").click()
    _unfold(page)


def _a_broken_list(page: Page, office: str) -> None:
    _started(page, office)
    relief = page.locator(".step", has_text="until its heads drop").first
    relief.locator(".acts summary").click()
    relief.get_by_label(re.compile("is skipped")).fill("stuck")
    relief.get_by_role("button", name=re.compile("Skip step")).click()
    expect(page.locator(".breaks").first).to_be_visible()
    page.locator("[aria-label='Partly: zone 1']").evaluate(
        "each => { each.closest('details').open = true; each.click(); }"
    )
    expect(page.get_by_role("alert")).to_contain_text("needs a note")


def _below(ending: str, heading: str) -> Way:
    def go(page: Page, office: str) -> None:
        page.goto(_started(page, office) + ending)
        expect(page.get_by_role("heading", level=1)).to_have_text(heading)
        _unfold(page)

    return go


def _not_closed(page: Page, office: str) -> None:
    page.goto(f"{_started(page, office)}close/")
    page.get_by_role("button", name="Close it").click()
    expect(page.get_by_role("alert")).to_contain_text("is not closed")


def _start(page: Page, office: str) -> None:
    page.goto(f"{office}/sites/larkmoor/lists/start/startup/")
    _unfold(page)


SEASON_WAYS: dict[str, Way] = {
    "season start": _start,
    "season list": _list,
    "season list that breaks rules": _a_broken_list,
    "season step of one's own": _below("add/", "Add a step of your own"),
    "season not closed": _not_closed,
    "season rebuild": _below("rebuild/", "What compiling again would change"),
    "season water": _below("water-left/", "Where water is left"),
}
