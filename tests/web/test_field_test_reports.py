"""Signed tests on their pages, on paper and in files."""

import csv
import io
import re
import sys

import pytest
from django.test import Client

from maintenance.models import Device, ReportFiled, Tester, TestRecord
from tests.services.backflow.field_tests import SITE, readings
from tests.web.conftest import text_of
from tests.web.field_tests import begin, fields, keep_orchard, sign

CLAIMS = re.compile(r"\b(compliant|compliance|certified|safe|safely)\b", re.IGNORECASE)


@pytest.fixture
def orchard(office: Client) -> Client:
    keep_orchard()
    return office


@pytest.fixture
def retested(orchard: Client) -> tuple[Client, int, int]:
    """A failed test and its retest, by their numbers."""
    sign(orchard, initial_check_1="4.9")
    repair = {"repair_description": "new spring", "repaired_by": "P. Quill"}
    sign(orchard, **repair)
    first, second = TestRecord.objects.order_by("number")
    return orchard, first.pk, second.pk


def test_the_report_of_a_retest_has_both_readings_and_the_repair(retested):
    client, first, second = retested
    assert TestRecord.objects.get(pk=second).follows_id == first
    text = text_of(client.get(f"/tests/{second}/report/"))
    assert "initial test, check valve 1 (psid, or leaked) 4.9" in text
    assert "final test, check valve 1 (psid, or leaked) 7.2" in text
    assert "repair new spring" in text
    assert "Result: passed" in text


def test_a_record_s_page_shows_what_was_after_everything_changed(retested):
    client, _first, second = retested
    client.get("/tests/")  # what was just said is read
    before = text_of(client.get(f"/tests/{second}/report/"))
    Device.objects.filter(link__key="B1").update(serial="NEW-1")
    Tester.objects.update(name="Someone Else")
    text = text_of(client.get(f"/tests/{second}/"))
    assert "OR-101" in text
    assert "NEW-1" not in text
    assert "Someone Else" not in text
    assert text_of(client.get(f"/tests/{second}/report/")) == before


@pytest.mark.parametrize("page", ["", "report/", "tag/"])
def test_no_page_claims_more_than_was_read(retested, page):
    client, _first, second = retested
    text = text_of(client.get(f"/tests/{second}/{page}"))
    assert CLAIMS.findall(text) == []
    if page != "tag/":
        assert "The local authority decides whether a report is accepted" in text


def test_a_draft_prints_as_not_signed(orchard):
    address = begin(orchard)
    orchard.post(address, fields(orchard, address) | readings("RP"))
    text = text_of(orchard.get(f"{address}report/"))
    assert "NOT SIGNED: a draft, not a record" in text
    assert "SHA-256" not in text
    assert "signed here by" not in text


def test_the_tag_has_serial_day_tester_and_licence(retested):
    client, _first, second = retested
    text = text_of(client.get(f"/tests/{second}/tag/"))
    for each in ("OR-101", "Ada Finch", "BT-1207", "PL-88", "passed"):
        assert each in text


def test_the_pdf_is_one_sheet(retested):
    pypdf = pytest.importorskip("pypdf")
    client, _first, second = retested
    answer = client.get(f"/tests/{second}/report.pdf")
    assert answer["Content-Type"] == "application/pdf"
    read = pypdf.PdfReader(io.BytesIO(answer.content))
    assert len(read.pages) == 1
    text = " ".join(read.pages[0].extract_text().split())
    assert "OR-101" in text
    assert "local authority decides" in text


def test_without_the_extra_the_pdf_s_page_says_how_to_print(retested, monkeypatch):
    client, _first, second = retested
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    answer = client.get(f"/tests/{second}/report.pdf")
    assert answer.status_code == 503
    assert "print it to a file from the browser" in text_of(answer)


def test_the_reports_of_a_site_are_one_to_a_sheet(orchard):
    for link in ("B1", "B2", "B3"):
        sign(orchard, link)
    body = orchard.get(f"/sites/{SITE}/test-reports/").content.decode()
    assert body.count('<div class="report"') == 3


def test_the_authority_s_order_is_kept_and_followed(retested):
    client, _first, second = retested
    answer = client.post("/tests/report-order/", {"key": "serial", "place": "1"})
    assert answer.url == "/tests/report-order/#serial"
    text = text_of(client.get(f"/tests/{second}/report/"))
    assert text.index("serial number OR-101") < text.index("facility Orchard Row")
    refused = client.post("/tests/report-order/", {"key": "serial", "place": "zero"})
    assert refused.status_code == 422
    client.post("/tests/report-order/", {"reset": "yes"})
    text = text_of(client.get(f"/tests/{second}/report/"))
    assert text.index("facility Orchard Row") < text.index("serial number OR-101")


def test_the_table_of_all_tests_has_no_formula_and_numbers_as_numbers(orchard):
    sign(orchard, comments="=1+1", owner_name="@home", initial_check_1="5.10")
    answer = orchard.get("/tests/export.csv")
    text = answer.content.decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text))
    assert (row["comments"], row["owner_name"]) == ("'=1+1", "'@home")
    assert (row["initial_check_1"], row["initial_buffer"]) == ("5.10", "2.00")
    assert not any(cell.startswith(("=", "+", "@", "\t")) for cell in row.values())


def test_a_report_handed_in_is_noted_once_and_can_be_taken_back(retested):
    client, _first, second = retested
    day = TestRecord.objects.get(pk=second).tested_on.isoformat()
    told = {"filed_on": day, "to": "water office", "note": "by mail"}
    for _ in range(2):
        assert client.post(f"/tests/{second}/filed/", told).status_code == 302
    filed = ReportFiled.objects.get()
    assert "to water office: by mail" in text_of(client.get(f"/tests/{second}/"))
    client.post(f"/tests/{second}/filed/{filed.pk}/undo/")
    assert "Not noted yet" in text_of(client.get(f"/tests/{second}/"))
    for wrong, says in (
        ({"to": ""}, "Write whom"),
        ({"filed_on": "2020-01-01"}, "before the test"),
        ({"filed_on": "soon"}, "is no day"),
        ({"filed_on": "2999-01-01"}, "still to come"),
    ):
        answer = client.post(f"/tests/{second}/filed/", told | wrong)
        assert answer.status_code == 422
        assert says in text_of(answer)


def test_a_correction_takes_its_place_and_both_stay(retested):
    client, _first, second = retested
    draft = client.post(f"/tests/{second}/correct/").url
    told = fields(client, draft) | {"final_check_1": "7.0", "who": "Ada"}
    record = client.post(f"{draft}sign/", told).url
    assert "It corrects test 2" in text_of(client.get(record))
    assert "Test 3 takes its place" in text_of(client.get(f"/tests/{second}/"))


@pytest.mark.parametrize("tests", [1, 4])
def test_lists_take_a_bounded_number_of_queries(
    orchard, tests, django_assert_max_num_queries
):
    for _ in range(tests):
        sign(orchard, "B3")
    for address, most in (
        ("/tests/", 5),
        ("/tests/export.csv", 5),
        (f"/sites/{SITE}/assemblies/B3/tests/", 11),
        (f"/tests/{TestRecord.objects.latest('number').pk}/", 18),
        (f"/sites/{SITE}/test-reports/", 12),
    ):
        with django_assert_max_num_queries(most):
            assert orchard.get(address).status_code == 200


def test_falling_readings_give_an_early_warning(orchard):
    for day, reading in (
        ("2023-04-15", "1.9"),
        ("2024-04-15", "1.6"),
        ("2025-04-15", "1.1"),
    ):
        sign(orchard, "B3", tested_on=day, initial_check_1=reading)
    text = text_of(orchard.get(f"/sites/{SITE}/assemblies/B3/tests/"))
    assert "Early warning" in text
    assert "falling 0.40 psid a year" in text
    assert "15 Apr 2024" in text
