"""A list for paper as a page: what stands on it, and the text of its foot."""

import re
from dataclasses import replace

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.queries import season_list
from maintenance.web.views.season_print import css_text
from tests.fixtures.demo import larkmoor
from tests.services.seasons.lists import EVENING, do, opened
from tests.web.conftest import text_of
from tests.web.season_lists import MORNING, carry_out, opened_larkmoor


def address(list_id: int, key: str = "larkmoor") -> str:
    return f"/sites/{key}/lists/{list_id}/print/"


@pytest.fixture
def list_id(office: Client) -> int:
    return opened_larkmoor(local_account())


def test_every_step_has_its_number_and_a_box_to_tick(
    office: Client, list_id: int
) -> None:
    body = office.get(address(list_id)).content.decode()
    count = len(season_list(local_account(), list_id=list_id).all_steps)
    assert count > 100
    assert body.count('class="box"') == count
    numbers = re.findall(r'(?:<li value="|scope="row" class="n"[^>]*>)(\d+)', body)
    assert [int(n) for n in numbers] == list(range(1, count + 1))


def test_cautions_what_stays_open_and_the_check_are_on_it(
    office: Client, list_id: int
) -> None:
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(address(list_id))
    assert len(seen) <= 15
    words = text_of(answer)
    whole = season_list(local_account(), list_id=list_id)
    for line in whole.all_steps:
        for caution in line.step.cautions:
            assert caution in words
    assert len(whole.stays_open) >= 4
    for each in whole.stays_open:
        assert f"{each.id} {each.why}" in words
    assert "STAYS OPEN" in words
    assert "Checked against 12 rules; the list breaks none of them." in words
    assert "compiled 14 Oct 2026 with yard-25" in words
    assert [w.text for w in whole.warnings if w.text not in words] == []


def test_what_was_done_by_then_is_printed_as_done(office: Client, list_id: int) -> None:
    carry_out(local_account(), list_id, now=MORNING, psi=15, steps=60)
    answer = office.get(address(list_id))
    body = answer.content.decode()
    count = len(season_list(local_account(), list_id=list_id).all_steps)
    assert body.count('class="box"') == count - 60
    words = text_of(answer)
    assert f"60 of {count} steps have an outcome." in words
    assert "15 psi 75" in words


def test_a_skipped_step_is_printed_with_its_reason(office: Client) -> None:
    list_id = opened(local_account())
    do(local_account(), list_id, "second", outcome="skipped", reason="rusted fast")
    words = text_of(office.get(address(list_id, "example-lateral")))
    assert "Skipped: rusted fast" in words


def test_a_list_in_metric_units_is_metric_in_words_and_columns(office: Client) -> None:
    list_id = opened_larkmoor(local_account(), units="si")
    words = text_of(office.get(address(list_id)))
    assert "Set kPa" in words
    assert "Read kPa" in words
    for line in season_list(local_account(), list_id=list_id).all_steps:
        assert line.step.act != "blow" or " psi" not in line.step.text


def test_a_list_whose_site_lost_a_part_says_that_it_is_not_checked(
    office: Client, list_id: int
) -> None:
    site = larkmoor()
    links = tuple(link for link in site.links if link.id != "V1")
    store_site(replace(site, links=links), account=local_account(), now=EVENING)
    words = text_of(office.get(address(list_id)))
    assert "Not checked: the site is no longer as it was compiled from." in words
    assert "V1" in words


def test_the_foot_names_site_list_and_day(office: Client, list_id: int) -> None:
    answer = office.get(f"{address(list_id)}foot.css")
    assert answer.headers["Content-Type"].startswith("text/css")
    style = answer.content.decode()
    plain = re.sub(r"\\([0-9A-F]+) ", lambda m: chr(int(m[1], 16)), style)
    told = "Larkmoor Gardens: Shutdown list 2026, compiled 14 Oct 2026"
    assert f'@bottom-left {{ content: "{told}"; }}' in plain


@pytest.mark.parametrize(
    "name", ['"; } body { display: none', "a\\", "new\nline", "*/ ü 山", "a\x00b"]
)
def test_no_name_of_a_site_breaks_out_of_the_style_sheet(name: str) -> None:
    text = css_text(name)
    assert re.fullmatch(r'"(?:[A-Za-z0-9 ]|\\[0-9A-F]+ )*"', text)
    back = re.sub(r"\\([0-9A-F]+) ", lambda m: chr(int(m[1], 16)), text)
    assert back == f'"{name}"'
