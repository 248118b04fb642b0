"""A list is started from its site: few questions, each with an answer already."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import retire_site, store_site
from maintenance.services.seasons.choices import choices_from_record
from maintenance.services.seasons.queries import lists_of_site
from tests.fixtures.demo import larkmoor
from tests.services.inventory.files import SPRING, SUMMER
from tests.web.conftest import text_of
from tests.web.season_pages import (
    LISTS,
    SITE,
    address,
    finish,
    forms_of,
    keep_site,
    latest,
    look,
    start,
)

SEASONS = ("shutdown", "startup", "frost_night", "frost_undo")


@pytest.fixture
def site(office: Client) -> str:
    keep_site()
    return SITE


@pytest.fixture
def estate(office: Client) -> str:
    store_site(larkmoor(), account=local_account(), now=SPRING)
    return "/sites/larkmoor/lists/start/"


def _lists():
    return lists_of_site(local_account(), site_key=SITE)


@pytest.mark.parametrize("season", SEASONS)
def test_a_list_starts_with_the_answers_that_are_there_already(office, site, season):
    form = next(
        f for f in forms_of(office.get(f"{LISTS}start/{season}/")) if not f.action
    )
    form.action = f"{LISTS}start/{season}/"
    answer = form.send(office)
    assert answer.status_code == 302, text_of(answer)
    whole = latest()
    assert answer["Location"] == address(whole)
    assert (whole.head.season, whole.head.year) == (season, timezone.now().year)
    assert whole.head.closed_at is None
    assert "Checked against 12 rules: it breaks none." in text_of(look(office, whole))


def test_an_unanswered_form_does_as_well(office, site):
    for season in SEASONS:
        assert office.post(f"{LISTS}start/{season}/").status_code == 302
    assert len(_lists()) == len(SEASONS)


def test_autumn_asks_for_compressor_and_change_over(office, site):
    page = office.get(f"{LISTS}start/shutdown/").content.decode()
    assert re.search(r'<option value="shop-25" selected>', page)
    assert "none: drain only" in page
    by_hand = start(office, compressor="shop-25", change_over="hand")
    assert by_hand.head.compressor == "shop-25"
    assert choices_from_record(by_hand.choices).shutdown.change_over == "hand"
    drained = start(office, compressor="", year="2027")
    assert drained.head.compressor == ""
    assert "blow" not in {line.step.act for line in drained.steps}
    assert "drained only" in text_of(look(office, drained))


def test_what_only_some_sites_have_is_asked_only_there(office, site, estate):
    small = office.get(f"{LISTS}start/shutdown/").content.decode()
    large = office.get(f"{estate}shutdown/").content.decode()
    for name in ('name="port"', 'name="agreed"'):
        assert [name in small, name in large] == [False, True]
    small = office.get(f"{LISTS}start/startup/").content.decode()
    large = office.get(f"{estate}startup/").content.decode()
    for name in ('name="meter_m3"', 'name="pump_start_volume"'):
        assert [name in small, name in large] == [False, True]


def test_spring_takes_the_meter_and_the_speed(office, estate):
    answer = office.post(
        f"{estate}startup/",
        {
            "leak_test": "pump_starts",
            "meter_m3": "12340 gal",
            "fill_velocity": "0.5 ft/s",
            "pump_start_volume": "4 gal",
        },
    )
    assert answer.status_code == 302, text_of(answer)
    (line,) = lists_of_site(local_account(), site_key="larkmoor")
    page = text_of(office.get(f"/sites/larkmoor/lists/{line.head.id}/"))
    assert "0.5 ft/s" in page
    assert "count how often pump PU starts" in page


@pytest.mark.parametrize(
    ("season", "answers", "said"),
    [
        ("shutdown", {"compressor": "none"}, "is not kept here"),
        ("shutdown", {"change_over": "flying"}, "change_over"),
        ("shutdown", {"year": "next"}, "Write a year like"),
        ("shutdown", {"year": "0026"}, "Write a year like"),
        ("startup", {"fill_velocity": "9 ft/s"}, "at most"),
        ("startup", {"fill_velocity": "fast"}, "fast"),
        ("frost_night", {"low_at": "tonight"}, "Write day and time"),
    ],
)
def test_an_answer_that_cannot_be_is_refused_at_its_question(
    office, site, season, answers, said
):
    answer = office.post(f"{LISTS}start/{season}/", answers)
    assert answer.status_code == 422
    body = answer.content.decode()
    assert 'role="alert"' in body
    assert said in body
    assert _lists() == []


def test_the_card_tells_the_time_of_the_sites_own_clock(office, estate):
    office.post(f"{estate}frost_night/", {"low_at": "2026-04-12T06:00"})
    (line,) = lists_of_site(local_account(), site_key="larkmoor")
    text = text_of(office.get(f"/sites/larkmoor/lists/{line.head.id}/"))
    assert "the lowest comes at 06:00" in text


def test_a_second_list_of_the_season_is_refused_and_the_first_one_offered(office, site):
    first = start(office)
    answer = office.post(f"{LISTS}start/shutdown/", {"year": "2026"})
    assert answer.status_code == 409
    assert "open already" in text_of(answer)
    assert address(first) in answer.content.decode()
    assert len(_lists()) == 1


def test_a_season_that_is_none_or_a_site_that_is_gone_starts_nothing(office, site):
    assert office.get(f"{LISTS}start/summer/").status_code == 404
    assert office.get("/sites/none/lists/start/shutdown/").status_code == 404
    retire_site(local_account(), key=SITE, now=SUMMER)
    answer = office.post(f"{LISTS}start/shutdown/")
    assert answer.status_code == 422
    assert "restore it first" in text_of(answer)


def test_the_site_shows_its_lists_and_what_may_be_started(office, site):
    page = f"/sites/{SITE}/"
    text = text_of(office.get(page))
    for name in ("autumn list", "spring list", "frost-night card"):
        assert f"Start the {name}" in text
    assert "morning after" not in text
    whole = start(office)
    count = len(whole.steps)
    text = text_of(office.get(page))
    assert f"Shutdown list 2026 0 of {count} steps, 0 of 2 zones" in text
    finish(office, whole)
    office.post(address(whole, "close"))
    assert "Closed: 1" in text_of(office.get(page))
    start(office, "frost_night")
    assert "morning after" in text_of(office.get(page))


def test_the_site_asks_four_times_more_for_its_lists(office, site):
    start(office)
    with CaptureQueriesContext(connection) as seen:
        assert Client().get(f"/sites/{SITE}/").status_code == 200
    assert len(seen) <= 11
