"""Whose lists are seen, what looking does, and what holds on each page of a list."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.models import Account
from tests.web.season_pages import SITE, address, keep_site, latest, start, start_estate


@pytest.fixture
def whole(office: Client):
    keep_site()
    return start(office, compressor="shop-25")


def test_looking_at_a_list_writes_nothing(office, whole):
    for more in ((), ("add",), ("close",), ("rebuild",), ("water-left",)):
        with CaptureQueriesContext(connection) as seen:
            assert office.get(address(whole, *more)).status_code == 200, more
        writes = ("INSERT", "UPDATE", "DELETE", "REPLACE")
        assert not [q["sql"] for q in seen if q["sql"].startswith(writes)]


def test_a_page_holds_one_heading_unique_ids_and_nothing_inline(office, whole):
    for more in ((), ("add",), ("close",), ("rebuild",), ("water-left",)):
        body = office.get(address(whole, *more)).content.decode()
        assert body.count("<h1") == 1, more
        found = re.findall(r'\sid="([^"]+)"', body)
        assert sorted(found) == sorted(set(found)), more
        assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body), more
        assert not re.search(r"<script(?![^>]*\bsrc=)", body), more


@pytest.mark.parametrize(
    "more",
    [(), ("add",), ("close",), ("rebuild",), ("water-left",)],
)
def test_a_list_is_found_at_its_own_site_and_in_its_own_account_only(
    office, whole, more
):
    wrong = address(whole, *more).replace(SITE, "larkmoor")
    start_estate(office)
    assert office.get(wrong).status_code == 404
    no_such = address(whole, *more).replace(f"/{whole.head.id}/", "/999/")
    assert office.get(no_such).status_code == 404
    Account.objects.filter(key="local").update(key="moved away")
    assert office.get(address(whole, *more)).status_code == 404


@pytest.mark.parametrize(
    "more",
    [
        (1, "done"),
        (1, "skip"),
        (1, "undo"),
        (1, "move"),
        ("zones",),
        ("zones", "1"),
        ("notes",),
        ("who",),
        ("add",),
        ("close",),
        ("rebuild",),
    ],
)
def test_a_stranger_can_do_nothing(office, whole, more):
    before = latest()
    Account.objects.filter(key="local").update(key="theirs")
    answer = office.post(address(whole, *more), {"reason": "x", "text": "x"})
    assert answer.status_code == 404
    Account.objects.filter(key="local").delete()
    Account.objects.filter(key="theirs").update(key="local")
    assert latest() == before
