"""What is due, as a page and as a file: by its rule, one click away from its source."""

import csv
import io
import re

import pytest
from django.test import Client

from maintenance.documents.due_csv import COLUMNS
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site
from tests.services.backflow.field_tests import (
    SET_UP,
    SITE,
    keep_site,
    readings,
    signed,
    site_file,
)
from tests.services.backflow.register_cases import state
from tests.services.inventory.files import read
from tests.web.assembly_pages import (
    NEVER_SAID,
    body_of,
    furnish,
    here,
    send,
    stop_clock,
)
from tests.web.conftest import text_of


@pytest.fixture
def shop(office: Client, monkeypatch: pytest.MonkeyPatch) -> Client:
    stop_clock(monkeypatch, "2027-05-03T18:00:00+00:00")
    furnish()
    account = local_account()
    state(account, "B1", place="washington")
    state(account, "B2", place="willows", region="US-CO")
    state(account, "B3", place="bel-aire")
    for link in ("B1", "B3"):
        signed(account, link)
    signed(account, "B2", readings("DC", check_1="0.4"))
    return office


def rows(office: Client, query: str = "") -> list[dict[str, str]]:
    answer = office.get(f"/backflow/due.csv{query}")
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"].startswith("attachment")
    return list(csv.DictReader(io.StringIO(body_of(answer))))


def test_each_row_has_its_date_its_state_and_its_rule(shop: Client) -> None:
    text = text_of(shop.get("/backflow/"))
    assert "2 overdue" in text
    assert "Thu 15 Apr 2027" in text
    assert "18 days ago" in text
    assert "Washington (state): test every year" in text
    assert "Source: WAC 246-290-490" in text
    assert re.search(r"Checked on \d+ \w+ \d{4}, read at the source", text)
    body = body_of(shop.get("/backflow/"))
    assert 'href="/backflow/rules/washington-yearly/1/"' in body
    assert f'href="/sites/{SITE}/assemblies/B1/"' in body


def test_the_report_runs_out_by_its_own_rule(shop: Client) -> None:
    text = text_of(shop.get("/backflow/?site=orchard-row&state=report"))
    assert "report overdue since Thu 16 Apr 2026, 08:20" in text
    assert "Deadlines of reports and repairs that are over: 1." in text
    assert "B1, Orchard Row" not in text


def test_not_required_is_listed_with_its_reason_and_not_overdue(shop: Client) -> None:
    text = text_of(shop.get("/backflow/"))
    assert "Not required now: 1" in text
    assert "2027 is not an even year" in text
    (row,) = rows(shop, "?place=bel-aire")
    assert (row["state"], row["due"], row["days_left"]) == ("not required", "", "")


def test_the_local_authority_decides_and_nothing_says_more(shop: Client) -> None:
    text = text_of(shop.get("/backflow/"))
    assert text.count("The local authority decides") == 1
    for word in NEVER_SAID:
        assert word not in text.lower()


@pytest.mark.parametrize(
    ("query", "links"),
    [
        ("", ["B2", "B1", "B4", "B5", "B6", "B3"]),
        ("?state=overdue", ["B2", "B1"]),
        ("?state=not_required", ["B3"]),
        ("?place=willows", ["B2"]),
        ("?site=nowhere", []),
        ("?state=overdue&place=washington", ["B1"]),
    ],
)
def test_page_and_file_are_chosen_alike(
    shop: Client, query: str, links: list[str]
) -> None:
    assert [row["assembly"] for row in rows(shop, query)] == links
    body = body_of(shop.get(f"/backflow/{query}"))
    shown = re.findall(
        r'<th scope="row"><a href="/sites/[^"]+/assemblies/(\w+)/"', body
    )
    assert shown == links


def test_no_cell_of_the_file_is_a_formula(shop: Client) -> None:
    file = site_file("sly", name="=HYPERLINK(0)")
    file["links"] = [file["links"][0] | {"serial": "@SUM(A1)"}]
    file["points"] = file["points"][:2]
    store_site(read(file), account=local_account(), now=SET_UP)
    (row,) = rows(shop, "?site=sly")
    assert tuple(row) == COLUMNS
    assert (row["site_name"], row["serial"]) == ("'=HYPERLINK(0)", "'@SUM(A1)")
    (late,) = rows(shop, "?place=washington")
    assert late["days_left"] == "-18"
    assert late["rule"] == "washington-yearly/1"


def test_the_page_takes_six_queries_however_many_assemblies(
    shop: Client, django_assert_max_num_queries
) -> None:
    account = local_account()
    for n in range(83):
        keep_site(account, f"row-{n}")
    with django_assert_max_num_queries(6):
        text = text_of(shop.get("/backflow/"))
    assert "Not known: 501" in text


def test_an_empty_office_is_told_what_to_do_first(office: Client) -> None:
    assert "No backflow assembly is described" in text_of(office.get("/backflow/"))


def test_the_strip_leads_here_and_marks_it(shop: Client) -> None:
    body = body_of(shop.get("/backflow/register/"))
    assert '<a href="/backflow/" aria-current="page">Backflow</a>' in body


def test_the_site_leads_to_the_register_and_back(shop: Client) -> None:
    body = body_of(shop.get(f"/sites/{SITE}/"))
    assert f'href="/sites/{SITE}/assemblies/B1/"' in body
    body = body_of(shop.get(f"/sites/{SITE}/assemblies/B1/"))
    assert f'href="/sites/{SITE}/"' in body
    assert f'href="/sites/{SITE}/links/B1/edit/"' in body


def test_taken_out_it_shows_before_service_at_once(shop: Client) -> None:
    answer = send(shop, f"{here()}tell/", kind="removed", on="2027-05-01")
    text = text_of(shop.get(answer["Location"]))
    assert "Stored. Washington (state): test after it was put back." in text
    assert "Removed on 1 May 2027: a test is due when it is reinstalled." in text
    (row,) = rows(shop, "?place=washington")
    assert row["state"] == "before service"
