"""The clock beside a row of air, with the browser's time in our hand."""

import json
import re
from datetime import UTC, datetime
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from maintenance.services.accounts import local_account
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import lists_of_site, season_list
from tests.services.seasons.lists import MORNING, compiled, step
from tests.web.season_pages import LISTS, SITE, keep_site

START = datetime(2026, 10, 14, 8, 0, tzinfo=UTC)
PHASES = [
    {
        "say": "Air on till the water ends",
        "seconds": 20,
        "over": "About now.",
        "press": "Start: air on",
        "air": True,
        "up": True,
    },
    {
        "say": "Pass 1 of 3: air on",
        "seconds": 15,
        "over": "Pass 1 is over: air off.",
        "press": "The water has ended",
        "air": True,
        "up": False,
    },
    {
        "say": "Rest before pass 2: air off",
        "seconds": 140,
        "over": "The rest is over.",
        "press": "",
        "air": False,
        "up": False,
    },
    {
        "say": "Pass 2 of 3: air on",
        "seconds": 15,
        "over": "Pass 2 is over: air off.",
        "press": "Start pass 2",
        "air": True,
        "up": False,
    },
    {
        "say": "Pass 3 of 3: air on",
        "seconds": 15,
        "over": "Pass 3 is over: air off.",
        "press": "Start pass 3",
        "air": True,
        "up": False,
    },
]


@pytest.fixture
def row(live_server: Any, page: Page, monkeypatch: pytest.MonkeyPatch) -> Locator:
    """Show a list of one row of air whose clock counts three passes."""
    monkeypatch.setattr(
        "maintenance.web.season_rows.phases_of", lambda *_: json.dumps(PHASES)
    )
    keep_site()
    account = local_account()
    list_id = open_season_list(
        account,
        site_key=SITE,
        compiled=compiled(
            account, step("blow", act="blow", to="45 psi; 20 s", row="1")
        ),
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    page.clock.install(time=START)
    page.goto(f"{live_server.url}{LISTS}{list_id}/")
    return page.locator("[aria-current=step]")


def _kept():
    account = local_account()
    line = lists_of_site(account, site_key=SITE)[0]
    return season_list(account, list_id=line.head.id).steps[0].report


def _key(row: Locator, name: str) -> Locator:
    return row.get_by_role("button", name=name, exact=True)


def _pass(page: Page, seconds: float) -> None:
    page.clock.run_for(int(seconds * 1000))


def test_front_passes_and_rests_are_counted_and_the_air_is_added_up(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    digits, said = row.get_by_role("timer"), row.get_by_role("status")
    seconds = row.get_by_label("Seconds of air")
    expect(digits).to_have_text("0:00")
    _key(row, "Start: air on").click()
    _pass(page, 19)
    expect(digits).to_have_text("0:19")
    expect(said).to_have_text("Air on till the water ends")
    _pass(page, 3)
    expect(said).to_have_text("About now.")
    _key(row, "The water has ended").click()
    expect(said).to_have_text("Pass 1 of 3: air on")
    _pass(page, 5)
    expect(digits).to_have_text("0:10")
    _pass(page, 11)
    expect(said).to_have_text(re.compile("Pass 1 is over: air off. Rest before pass 2"))
    expect(digits).to_have_text("2:19")
    _pass(page, 140)
    expect(said).to_have_text("The rest is over.")
    _pass(page, 60)
    _key(row, "Start pass 2").click()
    _pass(page, 16)
    expect(said).to_have_text("Pass 2 is over: air off.")
    _key(row, "Start pass 3").click()
    _pass(page, 16)
    expect(said).to_have_text(re.compile(r"All passes are over: (6[67]) s of air\."))
    assert 66 <= int(seconds.input_value()) <= 67
    _key(row, "Done: step 1").click()
    expect(page.locator(".bar")).to_contain_text("1 of 1")
    assert 66 <= _kept().seconds <= 67


def test_a_pause_stops_the_count_and_goes_on_where_it_was(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    digits = row.get_by_role("timer")
    _key(row, "Start: air on").click()
    _pass(page, 10)
    _key(row, "Pause").click()
    expect(row.get_by_role("status")).to_have_text(re.compile("Paused"))
    _pass(page, 300)
    expect(digits).to_have_text("0:10")
    _key(row, "Go on").click()
    _pass(page, 5)
    expect(digits).to_have_text("0:15")
    _key(row, "Start over").click()
    expect(digits).to_have_text("0:00")
    expect(_key(row, "Start: air on")).to_be_visible()


def test_a_locked_screen_and_a_reload_cost_no_second(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    _key(row, "Start: air on").click()
    _pass(page, 20)
    _key(row, "The water has ended").click()
    # Nothing runs on a locked phone: the clock leaps, and only then a tick comes.
    page.clock.fast_forward(15_000 + 60_000)
    _pass(page, 1)
    expect(row.get_by_role("timer")).to_have_text(re.compile("1:(19|20)"))
    page.reload()
    row = page.locator("[aria-current=step]")
    _pass(page, 1)
    expect(row.get_by_role("timer")).to_have_text(re.compile("1:1[789]"))
    expect(row.get_by_role("status")).to_have_text("Rest before pass 2: air off")


def test_the_seconds_can_be_written_by_hand_whatever_the_clock_says(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    row.get_by_label("Seconds of air").fill("42")
    _pass(page, 5)
    expect(row.get_by_label("Seconds of air")).to_have_value("42")
    _key(row, "Done: step 1").click()
    expect(page.locator(".bar")).to_contain_text("1 of 1")
    assert _kept().seconds == 42


def test_an_end_is_felt_only_where_that_was_asked_for(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    page.evaluate(
        """() => {
          window.felt = 0;
          Object.defineProperty(navigator, 'vibrate', {value: () => ++window.felt});
        }"""
    )
    _key(row, "Start: air on").click()
    _pass(page, 21)
    assert page.evaluate("window.felt") == 0
    row.get_by_label("Vibrate at each end").check()
    _key(row, "The water has ended").click()
    _pass(page, 16)
    assert page.evaluate("window.felt") == 1


def test_after_an_undo_the_clock_begins_anew(
    row: Locator, page: Page, complaints: list[str]
) -> None:
    _key(row, "Start: air on").click()
    _pass(page, 5)
    _key(row, "Done: step 1").click()
    page.get_by_text("Its one step has an outcome").click()
    page.get_by_role("button", name="Undo: step 1").click()
    again = page.locator("[aria-current=step]")
    expect(again.get_by_role("timer")).to_have_text("0:00")
    expect(_key(again, "Start: air on")).to_be_visible()
