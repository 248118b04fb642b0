"""All sites by exposure: what to do, what is missing, and few queries for many."""

import re
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from maintenance.models.outlooks import SiteOutlook
from maintenance.models.sites import Site
from maintenance.services.accounts import local_account
from maintenance.services.weather.queries import outlook_lines
from maintenance.web.freeze_lines import MOST_SHOWN
from tests.web.conftest import text_of
from tests.web.freeze_sites import NOW

OFFICE = "/freeze/"


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("maintenance.web.views.freeze_office.timezone.now", lambda: NOW)


def make_sites(count: int, first: int = 0) -> list[Site]:
    return Site.objects.bulk_create(
        [
            Site(
                account=local_account(),
                key=f"site-{number:04}",
                name=f"{number} Quill Lane",
                elevation_m=1900.0,
                time_zone="America/Denver",
                record={},
            )
            for number in range(first, first + count)
        ]
    )


def make_outlook(site: Site, level: int = 0, **keys: Any) -> SiteOutlook:
    told: dict[str, Any] = {
        "worked_out_at": NOW - timedelta(minutes=20),
        "act": "wait",
        "reason": "",
        "parts": 3,
        "chance": 0.01,
        "planning_date": date(2026, 10, 19),
        "forecast_received_at": NOW - timedelta(hours=3),
    }
    return SiteOutlook(
        site=site, site_version=site.version, level=level, **{**told, **keys}
    )


def rows(answer: Any) -> list[str]:
    """Return the rows of the table as a person reads them."""
    body = answer.content.decode()
    found = re.findall(r"(?s)<tr>(.*?)</tr>", body[body.index("<tbody") :])
    plain = [re.sub(r"(?s)<svg.*?</svg>|<[^>]+>", " ", row) for row in found]
    return [re.sub(r"\s+", " ", row).strip() for row in plain]


@pytest.fixture
def five(office: Client) -> Client:
    """Five sites: one with ice tonight, one to act, one calm, one unknown, one none."""
    sites = make_sites(5)
    SiteOutlook.objects.bulk_create(
        [
            make_outlook(sites[0]),
            make_outlook(
                sites[1], 2, act="shut_down", shutdown_by=date(2026, 10, 7), chance=0.42
            ),
            make_outlook(
                sites[2],
                3,
                act="drain_exposed",
                first_ice_at=datetime(2026, 10, 6, 9, 20, tzinfo=UTC),
                chance=0.93,
            ),
            make_outlook(
                sites[3],
                act="none",
                chance=None,
                planning_date=None,
                forecast_received_at=None,
            ),
        ]
    )
    return office


def test_the_most_exposed_comes_first_and_what_has_no_outlook_last(
    five: Client,
) -> None:
    answer = five.get(OFFICE)
    told = rows(answer)
    names = [re.match(r"\d+ Quill Lane", row) for row in told]
    assert [found[0].split()[0] for found in names if found] == list("21034")
    assert "5 sites: 1 ice tonight, 1 act, 1 calm, 2 of which nothing is known." in (
        text_of(answer)
    )
    assert "Nothing is known of 2 sites: this is missing" in text_of(answer)
    assert "no station; no forecast; worked out 5 Oct 2026, 12:10" in told[-2]
    assert "no station; not worked out yet no station" in told[-1]


def test_a_row_says_level_deed_ice_chance_date_age_and_station(five: Client) -> None:
    ice, act, calm, *_ = rows(five.get(OFFICE))
    assert "ice tonight drain or cover what stands out, before night" in ice
    assert "6 Oct 2026, 03:20 93 % Mon 19 Oct 2026 3 hours no station" in ice
    assert "act shut down by Wed 7 Oct 2026 not within 24 h 42 %" in act
    assert "calm wait" in calm
    assert "worked out 5 Oct 2026, 12:10" in calm


def test_an_outlook_that_has_aged_or_whose_site_has_changed_says_so(
    office: Client,
) -> None:
    (site,) = make_sites(1)
    make_outlook(site, worked_out_at=NOW - timedelta(hours=30)).save()
    Site.objects.filter(pk=site.pk).update(version=2)
    (row,) = rows(office.get(OFFICE))
    assert "out of date; the site has changed since" in row


def test_an_old_forecast_that_counted_as_none_is_neither_calm_nor_without_ice(
    office: Client,
) -> None:
    # What `keep_outlooks` writes then: a forecast was received, yet no chance stands.
    one, two = make_sites(2)
    SiteOutlook.objects.bulk_create(
        [
            make_outlook(
                one, chance=None, forecast_received_at=NOW - timedelta(days=3)
            ),
            make_outlook(two, chance=None, planning_date=None),
        ]
    )
    by_record, by_nothing = rows(office.get(OFFICE))
    assert "calm wait not known not known Mon 19 Oct 2026 3 days, too old" in by_record
    assert "no station; its forecast is too old" in by_nothing
    assert "calm" not in by_nothing


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"show": "3"}, ["2"]),
        ({"show": "0"}, ["0"]),
        ({"show": "missing"}, ["3", "4"]),
        ({"name": "1 quill"}, ["1"]),
        ({"show": "4"}, []),
        ({"show": "nonsense"}, ["2", "1", "0", "3", "4"]),
    ],
)
def test_a_level_or_a_piece_of_a_name_narrows_the_list(
    five: Client, asked: dict[str, str], found: list[str]
) -> None:
    answer = five.get(OFFICE, asked)
    body = answer.content.decode()
    told = rows(answer) if "<tbody" in body else []
    assert [row.split()[0] for row in told] == found
    assert ("No site is like that." in text_of(answer)) == (not found)


def test_two_thousand_sites_take_five_queries_and_two_hundred_rows(
    office: Client,
) -> None:
    sites = make_sites(2000)
    SiteOutlook.objects.bulk_create(
        [make_outlook(site, at % 3) for at, site in enumerate(sites[:1990])]
    )
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(OFFICE)
    assert len(seen) <= 5
    assert len(rows(answer)) == MOST_SHOWN
    text = text_of(answer)
    assert "2000 sites; the first 200 are shown, 1800 are not" in text
    assert "10 of which nothing is known" in text
    assert len(outlook_lines(local_account())) == 2000
    assert len(rows(fresh.get(OFFICE, {"show": "missing"}))) == 10


def test_each_row_leads_to_its_outlook_and_the_strip_says_where_one_is(
    five: Client,
) -> None:
    body = five.get(OFFICE).content.decode()
    for number in range(5):
        assert reverse("freeze_outlook", args=[f"site-000{number}"]) in body
    assert '<a href="/freeze/" aria-current="page">Frost</a>' in body
    assert f'<a href="{reverse("jobs")}">ask for it</a>' in body
    assert "manage.py" not in body


def test_without_a_site_the_page_leads_to_where_one_begins(office: Client) -> None:
    answer = office.get(OFFICE)
    assert "There is no site yet." in text_of(answer)
    assert '<a class="button" href="/">' in answer.content.decode()
