"""Ways to the office's pages of a season: a list done in part, on screen and paper."""

from collections.abc import Callable
from datetime import UTC, datetime

from playwright.sync_api import Page, expect

from maintenance.services.accounts import local_account
from maintenance.services.seasons.compile import compile_list
from maintenance.services.seasons.open_list import open_season_list
from tests.web.season_lists import carry_out

Way = Callable[[Page, str], object]


def _of_larkmoor(address: str) -> Way:
    """Go to a page once Larkmoor's shutdown is open and sixty steps of it are done."""

    def go(page: Page, office: str) -> None:
        account, now = local_account(), datetime(2026, 10, 14, 14, tzinfo=UTC)
        compiled = compile_list(
            account,
            site_key="larkmoor",
            season="shutdown",
            compressor="yard-25",
            now=now,
        )
        list_id = open_season_list(
            account,
            site_key="larkmoor",
            compiled=compiled,
            year=now.year,
            now=now,
            actor="Ann",
        )
        carry_out(account, list_id, now=now, psi=15, steps=60)
        page.goto(f"{office}{address.format(list_id=list_id)}")
        expect(page.get_by_role("main")).to_contain_text("Larkmoor Gardens")

    return go


OFFICE_WAYS: dict[str, Way] = {
    "office of the season": _of_larkmoor("/seasons/"),
    "whole list": _of_larkmoor("/sites/larkmoor/lists/{list_id}/whole/"),
    "list for paper": _of_larkmoor("/sites/larkmoor/lists/{list_id}/print/"),
    "entry from paper": _of_larkmoor("/sites/larkmoor/lists/{list_id}/paper/"),
    "two years": _of_larkmoor("/sites/larkmoor/years/"),
}
