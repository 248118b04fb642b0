"""The office's pages: all open lists, one list with its figures, two years."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from maintenance.exchange.site_file import read_site
from maintenance.models import Account
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import retire_site, store_site
from maintenance.services.seasons.carry_out import Tick, record_step, undo_step
from maintenance.services.seasons.queries import season_list
from tests.fixtures.demo import CONTRACTOR, larkmoor
from tests.services.seasons.lists import (
    EVENING,
    NOON,
    SITE,
    do,
    end_zone,
    finish,
    ids,
    opened,
)
from tests.web.conftest import text_of
from tests.web.season_lists import (
    A_YEAR,
    MORNING,
    carry_out,
    closed,
    opened_drain_only,
    opened_larkmoor,
)

OFFICE = "/seasons/"


def whole(list_id: int, key: str = SITE) -> str:
    return reverse("season_whole", args=[key, list_id])


def test_without_a_list_the_office_is_shown_where_to_open_one(office: Client) -> None:
    assert "No list is open." in text_of(office.get(OFFICE))
    store_site(larkmoor(), account=local_account(), now=MORNING)
    answer = office.get(OFFICE)
    assert "No open list: 1 site" in text_of(answer)
    assert 'href="/sites/larkmoor/"' in answer.content.decode()


def test_a_line_says_how_far_what_is_left_and_who_was_there(office: Client) -> None:
    list_id = opened(local_account())
    do(local_account(), list_id, "first", who="Ben")
    do(local_account(), list_id, "second", outcome="skipped", reason="rusted fast")
    end_zone(local_account(), list_id, "1", "partly", note="wet")
    answer = office.get(OFFICE)
    words = text_of(answer)
    assert "1 list open at 1 site" in words
    assert "2 of 3 steps have an outcome, 1 of them skipped." in words
    assert "1 of 2 zones have ended: 1 partly." in words
    assert "Next: 3. Blow zone 1." in words
    assert "2: rusted fast" in words
    assert "1 step and zone 4" in words
    # 18:00 UTC is noon at the site.
    assert "Ben Wed 14 Oct 2026 12:00" in words
    assert whole(list_id) in answer.content.decode()


def test_what_blocks_a_list_is_said(office: Client) -> None:
    list_id = opened_larkmoor(local_account())
    assert "none is blocked" in text_of(office.get(OFFICE))
    lines = season_list(local_account(), list_id=list_id).steps
    *_, proof = (line for line in lines if line.step.act == "prove_holding")
    skipped = Tick(
        step=proof.id, client_id="s", outcome="skipped", reason="no time", who="Ben"
    )
    record_step(local_account(), list_id=list_id, tick=skipped, now=NOON, actor="Ben")
    words = text_of(office.get(OFFICE))
    assert "1 list open at 1 site; 1 blocked" in words
    assert "breaks a rule" in words
    retire_site(local_account(), key="larkmoor", now=EVENING)
    assert "close the list as it stands" in text_of(office.get(OFFICE))


def test_a_list_with_nothing_left_is_ready_to_be_closed(office: Client) -> None:
    finish(local_account(), opened(local_account()))
    words = text_of(office.get(OFFICE))
    assert "1 ready to be closed" in words
    assert "nothing: it can be closed" in words


def test_twelve_sites_with_open_lists_ask_the_database_this_often(
    office: Client,
) -> None:
    sites = [read_site(path.read_bytes()) for path in CONTRACTOR]
    for site in sites:
        list_id = opened_drain_only(local_account(), site)
        step = season_list(local_account(), list_id=list_id).steps[-1]
        tick = Tick(step=step.id, client_id="s", outcome="skipped", reason="late")
        record_step(local_account(), list_id=list_id, tick=tick, now=NOON, actor="B")
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(OFFICE)
    assert len(sites) == 12
    assert f"{len(sites)} lists open at {len(sites)} sites" in text_of(answer)
    assert len(seen) <= 12


def test_a_strangers_list_is_in_no_office(office: Client) -> None:
    theirs = opened(Account.objects.create(key="stranger", name="A stranger"))
    assert "No list is open." in text_of(office.get(OFFICE))
    for name in ("season_whole", "season_print", "season_print_foot", "season_paper"):
        assert office.get(reverse(name, args=[SITE, theirs])).status_code == 404


def test_a_list_is_found_under_its_own_site_only(office: Client) -> None:
    list_id = opened(local_account())
    for name in ("season_whole", "season_print", "season_print_foot", "season_paper"):
        assert office.get(reverse(name, args=["larkmoor", list_id])).status_code == 404
        assert office.get(reverse(name, args=[SITE, list_id])).status_code == 200


def test_the_whole_list_shows_the_figures_that_it_used(office: Client) -> None:
    list_id = opened_larkmoor(local_account())
    carry_out(local_account(), list_id, now=MORNING, psi=15)
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(whole(list_id, "larkmoor"))
    assert len(seen) <= 12
    words = text_of(answer)
    assert re.search(r"Checked against \d+ rules; the list breaks none", words)
    assert "Figures used, and what was read" in words
    assert "15 psi within the 13 to 16 psi worked out" in words
    assert "heads may be stuck" in words or "below the" in words
    lines = season_list(local_account(), list_id=list_id)
    assert [each.id for each in lines.stays_open if each.id not in words] == []
    for line in lines.steps:
        assert line.step.text in words
        assert line.step.source in words


def test_the_figures_stay_as_they_were_when_the_site_changes(office: Client) -> None:
    list_id = opened_larkmoor(local_account())
    before = office.get(whole(list_id, "larkmoor")).content.decode()
    figures = before[before.index("Figures used") : before.index(">Steps<")]
    renamed = replace(larkmoor(), name="Larkmoor")
    store_site(renamed, account=local_account(), now=EVENING)
    after = office.get(whole(list_id, "larkmoor")).content.decode()
    assert figures in after
    assert "The site was changed since this list was compiled" in text_of(
        office.get(whole(list_id, "larkmoor"))
    )


def test_what_was_taken_back_stays_to_be_seen(office: Client) -> None:
    list_id = opened(local_account())
    do(local_account(), list_id, "first", client_id="one")
    undo_step(
        local_account(),
        list_id=list_id,
        step=ids(local_account(), list_id)["first"],
        client_id="one",
        now=EVENING,
        actor="Cleo",
    )
    assert "taken back by Cleo" in text_of(office.get(whole(list_id)))


def years(season: str = "shutdown") -> str:
    return f"/sites/larkmoor/years/?season={season}"


def test_two_years_stand_side_by_side_with_differences_in_words(
    office: Client,
) -> None:
    account = local_account()
    closed(
        account, opened_larkmoor(account, now=MORNING - A_YEAR), now=MORNING - A_YEAR
    )
    list_id = opened_larkmoor(account)
    carry_out(account, list_id, now=MORNING, psi=44)
    with CaptureQueriesContext(connection) as seen:
        answer = Client().get(years())
    assert len(seen) <= 12
    words = text_of(answer)
    blown = sum(
        line.step.act == "blow" for line in season_list(account, list_id=list_id).steps
    )
    assert f"{blown} steps differ from last year." in words
    assert words.count("3 psi higher; 3 s longer") == blown
    assert "44 psi 104 s" in words
    assert "41 psi 101 s" in words
    assert "Nothing differs at 30 zones" in words


def test_the_first_year_and_no_year_say_so(office: Client) -> None:
    store_site(larkmoor(), account=local_account(), now=MORNING)
    assert "No shutdown list of this site is kept yet" in text_of(office.get(years()))
    opened_larkmoor(local_account(), now=MORNING + timedelta(hours=1))
    assert "This is the first shutdown list" in text_of(office.get(years()))
    assert "No start-up list" in text_of(office.get(years("startup")))


def test_a_season_that_there_is_not_is_refused_in_a_sentence(office: Client) -> None:
    store_site(larkmoor(), account=local_account(), now=MORNING)
    answer = office.get(years("harvest"))
    assert answer.status_code == 422
    assert '"harvest" is no season: choose one of shutdown' in text_of(answer)


@pytest.mark.parametrize("address", [OFFICE, years()])
def test_the_strip_on_top_leads_to_the_season(office: Client, address: str) -> None:
    store_site(larkmoor(), account=local_account(), now=MORNING)
    body = office.get(address).content.decode()
    assert '<a href="/seasons/"' in body


@pytest.mark.parametrize("name", ["season_whole", "season_print", "season_paper"])
def test_a_page_of_a_list_has_one_heading_ids_of_its_own_and_nothing_inline(
    office: Client, name: str
) -> None:
    list_id = opened_larkmoor(local_account())
    carry_out(local_account(), list_id, now=MORNING, steps=60)
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(reverse(name, args=["larkmoor", list_id]))
    writes = ("INSERT", "UPDATE", "DELETE", "REPLACE")
    assert not [q["sql"] for q in seen if q["sql"].lstrip().startswith(writes)]
    body = answer.content.decode()
    assert body.count("<h1") == 1
    found = re.findall(r'\sid="([^"]+)"', body)
    assert sorted(found) == sorted(set(found))
    assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body)
    assert not re.search(r"<script(?![^>]*\bsrc=)", body)
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
