"""The sheet of a field test on its page: saved as typed, judged at once, signed."""

import pytest
from django.test import Client

from maintenance.models import TestDraft, TestRecord
from tests.services.backflow.field_tests import SITE, readings
from tests.web.conftest import text_of
from tests.web.field_tests import begin, fields, keep_orchard, sign


@pytest.fixture
def orchard(office: Client) -> Client:
    keep_orchard()
    return office


def test_the_questions_stand_in_the_order_of_the_work(orchard):
    text = text_of(orchard.get(begin(orchard)))
    asked = [
        "Supply pressure psi",
        "Shut-off 2 holds",
        "Air gap under the relief valve proper",
        "Check valve 1 psid",
        "Relief valve opening psid",
        "Check valve 2 psid",
        "Check valve 2 held against back-pressure",
        "Repaired on the spot",
        "Readings after repair",
        "Unable to test",
    ]
    places = [text.index(each) for each in asked]
    assert places == sorted(places)


def test_tester_gauge_day_and_time_are_there_already(orchard):
    told = fields(orchard, begin(orchard))
    assert all(told[key] for key in ("tester", "gauge", "tested_on", "tested_at"))


def test_numbers_bring_the_keys_for_decimals(orchard):
    body = orchard.get(begin(orchard)).content.decode()
    assert body.count('inputmode="decimal"') == 7, "supply, and three before and after"


def test_the_verdict_follows_what_is_typed(orchard):
    address = begin(orchard)
    told = fields(orchard, address) | readings("RP", check_1="4.9", relief="1.8")
    answer = orchard.post(address, told, headers={"HX-Request": "true"})
    text = text_of(answer)
    assert "failed" in text
    assert "Check valve 1 reads 4.9 psid; the limit is at least 5.0 psid." in text
    assert "Saved as typed." in text
    assert 'name="version" value="2"' in answer.content.decode()
    assert TestDraft.objects.get().answers["initial_check_1"] == "4.9"


def test_what_cannot_be_read_is_told_at_once_and_kept(orchard):
    address = begin(orchard)
    told = fields(orchard, address) | {"initial_check_1": "5,1"}
    answer = orchard.post(address, told, headers={"HX-Request": "true"})
    assert "cannot be read" in text_of(answer)
    assert fields(orchard, address)["initial_check_1"] == "5,1"


def test_a_slip_of_the_pen_is_doubted_and_refused_by_nobody(orchard):
    address = begin(orchard)
    told = fields(orchard, address) | readings("RP", check_1="72")
    answer = orchard.post(address, told, headers={"HX-Request": "true"})
    assert "more than the supply pressure" in text_of(answer)
    assert "passed" in text_of(answer)


def test_someone_else_s_change_is_told_beside_what_was_typed(orchard):
    address = begin(orchard)
    mine = fields(orchard, address) | {"initial_check_1": "6.0"}
    other = fields(orchard, address) | {"initial_check_1": "5.0"}
    orchard.post(address, other)
    answer = orchard.post(address, mine)
    text = text_of(answer)
    assert answer.status_code == 409
    assert "What differs" in text
    assert "6.0 5.0" in text
    assert TestDraft.objects.get().answers["initial_check_1"] == "5.0"
    over = orchard.post(address, mine | {"over": "2"})
    assert over.status_code == 302
    assert TestDraft.objects.get().answers["initial_check_1"] == "6.0"


def test_signing_leads_to_the_record_and_to_the_next_assembly(orchard):
    answer = sign(orchard)
    assert answer.status_code == 302
    record = TestRecord.objects.get()
    assert (record.result, record.signed_by) == ("passed", "Ada")
    text = text_of(orchard.get(answer.url))
    assert "Next assembly: B2, DC OR-102" in text
    again = begin(orchard, "B2")
    assert fields(orchard, again)["who"] == "Ada", "the name is kept for the next one"


def test_a_sheet_that_cannot_be_signed_keeps_what_was_typed(orchard):
    address = begin(orchard)
    told = fields(orchard, address) | readings("RP", check_1="five") | {"who": "Ada"}
    answer = orchard.post(f"{address}sign/", told)
    assert answer.status_code == 422
    assert 'value="five"' in answer.content.decode()
    unsigned = orchard.post(f"{address}sign/", told | {"who": ""})
    assert "Write who signs" in text_of(unsigned)
    assert not TestRecord.objects.exists()


def test_a_second_signature_is_told_and_leads_to_the_record(orchard):
    address = begin(orchard)
    told = fields(orchard, address) | readings("RP") | {"who": "Ada"}
    assert orchard.post(f"{address}sign/", told).status_code == 302
    answer = orchard.post(f"{address}sign/", told | {"who": "Bo"})
    assert answer.status_code == 409
    assert "was signed by Ada, as test 1" in text_of(answer)
    assert orchard.get(address).status_code == 302, "the draft is the record now"


def test_a_draft_is_dropped_with_a_click_and_taken_up_again(orchard):
    address = begin(orchard)
    orchard.post(address, fields(orchard, address) | {"initial_check_1": "6.1"})
    page = orchard.post(f"{address}drop/", follow=True)
    assert "Take the dropped draft up again" in text_of(page)
    orchard.post(f"{address}take-up/")
    assert fields(orchard, address)["initial_check_1"] == "6.1"


def test_the_clock_of_the_machine_is_flagged_where_it_is_wrong(orchard):
    sign(orchard, device_time="2020-01-01T00:00:00Z")
    record = TestRecord.objects.get()
    assert "minutes behind the server" in text_of(orchard.get(f"/tests/{record.pk}/"))


@pytest.mark.parametrize(
    "address", ["/tests/drafts/999/", "/tests/999/", "/tests/999/tag/"]
)
def test_what_is_not_there_is_not_found(orchard, address):
    assert orchard.get(address).status_code == 404


def test_no_test_is_begun_where_no_assembly_stands(orchard):
    answer = orchard.post(f"/sites/{SITE}/assemblies/J1/tests/begin/")
    assert answer.status_code == 404


def test_the_sheet_takes_a_bounded_number_of_queries(
    orchard, django_assert_max_num_queries
):
    address = begin(orchard)
    with django_assert_max_num_queries(8):
        orchard.get(address)
    told = fields(orchard, address) | readings("RP")
    with django_assert_max_num_queries(16):
        orchard.post(address, told, headers={"HX-Request": "true"})
