"""Testers and gauges: how their papers stand, in words and by a mark."""

from datetime import date

import pytest
from django.test import Client

from maintenance.documents.validity_words import standing
from maintenance.models import Gauge, Tester
from tests.web.assembly_pages import body_of, furnish, send, stop_clock
from tests.web.conftest import text_of

DAY = date(2026, 10, 4)


@pytest.fixture
def shop(office: Client, monkeypatch: pytest.MonkeyPatch) -> Client:
    stop_clock(monkeypatch, "2026-08-20T12:00:00+00:00")
    furnish()
    return office


@pytest.mark.parametrize(
    ("begins", "ends", "mark", "words"),
    [
        (None, date(2027, 1, 1), "valid", "valid until 1 Jan 2027"),
        (None, date(2026, 12, 3), "ends_soon", "ends in 60 days"),
        (None, date(2026, 12, 4), "valid", "valid until 4 Dec 2026"),
        (None, date(2026, 10, 5), "ends_soon", "ends in 1 day"),
        (None, DAY, "ends_soon", "ends today"),
        (None, date(2026, 10, 3), "ended", "ended 3 Oct 2026"),
        (date(2026, 10, 5), date(2027, 1, 1), "not_begun", "begins 5 Oct 2026"),
        (DAY, None, "unknown", "unknown: its end is not recorded"),
        (None, None, "unknown", "unknown: its end is not recorded"),
    ],
)
def test_the_last_day_counts_and_what_is_unknown_says_so(
    begins, ends, mark, words
) -> None:
    found = standing(begins, ends, DAY)
    assert (found.mark, found.words) == (mark, words)


def test_the_lists_say_how_papers_stand(shop: Client) -> None:
    text = text_of(shop.get("/backflow/testers/"))
    assert "Ada Finch BT-1207 valid until 30 Apr 2027 PL-88" in text
    text = text_of(shop.get("/backflow/gauges/"))
    assert "Fivegate G-552 1 Sep 2025 ends in 11 days" in text
    assert "<svg" in body_of(shop.get("/backflow/gauges/"))


def test_a_tester_is_added_edited_taken_off_and_put_back(shop: Client) -> None:
    send(shop, "/backflow/testers/new/", name="Cy Moss", certificate="C-7")
    row = Tester.objects.get(name="Cy Moss")
    address = f"/backflow/testers/{row.pk}/"
    changed = {"name": "Cy Moss", "certificate": "C-7", "ends": "2026-08-01"}
    send(shop, address, **changed, version="1")
    assert "ended 1 Aug 2026" in text_of(shop.get("/backflow/testers/"))
    answer = shop.post(address, changed | {"name": "Other", "version": "1"})
    assert answer.status_code == 422
    assert "changed by someone else" in text_of(answer)
    send(shop, f"{address}retire/")
    assert "Off the list: 1" in text_of(shop.get("/backflow/testers/"))
    assert "Put back on the list" in text_of(shop.get(address))
    send(shop, f"{address}retire/", put_back="yes")
    assert Tester.objects.get(pk=row.pk).retired_at is None


def test_a_gauge_is_added_and_edited(shop: Client) -> None:
    send(shop, "/backflow/gauges/new/", serial="G-9", calibrated="2026-02-01")
    row = Gauge.objects.get(serial="G-9")
    send(
        shop,
        f"/backflow/gauges/{row.pk}/",
        serial="G-9",
        ends="2027-02-01",
        version="1",
    )
    row.refresh_from_db()
    assert (row.calibrated, row.ends) == (None, date(2027, 2, 1))


@pytest.mark.parametrize(
    ("address", "told", "said"),
    [
        ("testers", {"name": ""}, "name: write the name"),
        ("testers", {"name": "A", "ends": "soon"}, "Write a day"),
        (
            "testers",
            {"name": "A", "issued": "2026-02-01", "ends": "2026-01-01"},
            "before it begins",
        ),
        ("testers", {"name": "Ada Finch", "certificate": "BT-1207"}, "one like"),
        ("gauges", {"serial": " "}, "serial: write the serial"),
    ],
)
def test_what_cannot_be_is_refused_and_stays_typed(
    shop: Client, address: str, told: dict[str, str], said: str
) -> None:
    answer = shop.post(f"/backflow/{address}/new/", told)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert (Tester.objects.count(), Gauge.objects.count()) == (1, 1)


def test_kit_that_is_not_there_is_not_found(shop: Client) -> None:
    assert shop.get("/backflow/testers/999/").status_code == 404
    assert shop.post("/backflow/gauges/999/retire/").status_code == 404
