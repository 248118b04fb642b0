"""Ways to the freeze outlook: of a site on a cold evening, of one that lacks all."""

from collections.abc import Callable

from django.utils import timezone
from playwright.sync_api import Page, expect

from maintenance.services.accounts import local_account
from tests.web.freeze_sites import TO_THE_COLD_NIGHT, weathered

Way = Callable[[Page, str], object]


def outlook(page: Page, office: str) -> None:
    """Go to Larkmoor's outlook before a cold night, with every door open.

    The forecast is dated anew, to begin in this hour.
    """
    weathered(local_account(), "larkmoor", now=timezone.now(), skip=TO_THE_COLD_NIGHT)
    page.goto(f"{office}/sites/larkmoor/freeze/")
    expect(page.locator("figure svg")).to_be_visible()
    page.evaluate(
        "document.querySelectorAll('main details').forEach(each => each.open = true)"
    )


def bare_outlook(page: Page, office: str) -> None:
    """Go to the outlook of a site of which nothing is known."""
    page.goto(f"{office}/sites/cinder-walk-9/freeze/")
    expect(page.get_by_role("heading", name="What to do first")).to_be_visible()


def all_sites(page: Page, office: str) -> None:
    """Go to the list by exposure, with one site worked out."""
    weathered(local_account(), "larkmoor", now=timezone.now())
    page.goto(f"{office}/freeze/")
    expect(page.get_by_role("table")).to_be_visible()


FREEZE_WAYS: dict[str, Way] = {
    "freeze outlook": outlook,
    "outlook of nothing": bare_outlook,
    "all sites by frost": all_sites,
}
