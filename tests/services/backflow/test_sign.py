"""A signed test: what it keeps, what is refused, and that it stays as it was."""

import json
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import DatabaseError, transaction

from maintenance.models import AssemblyFacts, Device, TestDraft, Tester, TestRecord
from maintenance.services.accounts import local_account
from maintenance.services.backflow.drafts import (
    begin_correction,
    begin_retest,
    begin_test,
)
from maintenance.services.backflow.sign import sign_test
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from tests.services.backflow.field_tests import (
    GOOD,
    KINDS,
    LATER,
    MORNING,
    begun,
    keep_site,
    readings,
    signed,
    typed,
)

FAILING = readings("RP", check_1="4.9", relief="1.8")


def report(record):
    return {key: text for _, key, _, text in json.loads(record.payload)["report"]}


@pytest.mark.parametrize(("link", "kind"), KINDS.items())
def test_a_good_test_of_each_kind_is_signed_as_passed(office, link, kind):
    record = signed(office, link)
    kept = json.loads(record.payload)
    assert record.result == "passed"
    assert kept["sets"][0]["readings"] == GOOD[kind]
    assert kept["assembly"]["serial"] == f"OR-10{link[1]}"
    assert record.tested_on == date(2026, 4, 15)
    assert record.tested_at == MORNING


def test_a_record_keeps_all_that_was_known(office):
    device = Device.objects.get(link__key="B1")
    AssemblyFacts.objects.create(device=device, hazard="high", make="Fivegate")
    record = signed(office, answers=FAILING | {"owner_name": "P. Quill"})
    kept = json.loads(record.payload)
    assert kept["criteria"]["csv"].startswith("id,procedure,edition")
    assert [each["kind"] for each in kept["sets"][0]["reasons"]] == ["missed", "missed"]
    assert kept["tester"]["certificate"] == "BT-1207"
    assert kept["gauge"]["calibrated"] == "2025-09-01"
    assert kept["validity"]["certificate"]["state"] == "in date"
    told = report(record)
    assert told["manufacturer"] == "Fivegate"
    assert told["initial_check_1"] == "4.9"
    assert told["initial_buffer"] == "3.1"
    assert told["initial_result"] == "failed"
    assert told["downstream_hazard"] == "high"
    assert told["owner_name"] == "P. Quill"
    assert told["owner_signature"] == ""


def test_a_record_shows_what_was_after_everything_changed_later(office):
    record = signed(office)
    before = record.payload
    Tester.objects.update(name="Someone else", ends=date(2020, 1, 1))
    Device.objects.filter(link__key="B1").update(serial="NEW", kind="DC")
    again = TestRecord.objects.get(pk=record.pk)
    assert again.payload == before
    assert json.loads(again.payload)["tester"]["name"] == "Ada Finch"


def test_readings_before_and_after_repair_are_both_kept(office):
    repair = {"repair_description": "new disc", "repaired_by": "Ada Finch"}
    record = signed(office, answers=FAILING | repair | readings("RP", "final"))
    kept = json.loads(record.payload)
    assert [each["result"] for each in kept["sets"]] == ["failed", "passed"]
    assert record.result == "passed"
    told = report(record)
    assert (told["initial_check_1"], told["final_check_1"]) == ("4.9", "7.2")
    assert told["repair_description"] == "new disc"


def test_a_failed_test_is_followed_by_its_retest_with_both_readings(office):
    failed = signed(office, answers=FAILING)
    record = signed(office, now=LATER)
    assert record.follows_id == failed.pk
    assert record.result == "passed"
    told = report(record)
    assert (told["initial_check_1"], told["final_check_1"]) == ("4.9", "7.2")
    assert (told["tested_on"], told["retested_on"]) == ("2026-04-15", "2026-04-16")
    assert json.loads(record.payload)["before"][0]["number"] == 1
    with pytest.raises(ServiceError, match="passed"):
        begin_retest(office, record_id=record.pk, now=LATER, actor="Ada")


def test_a_leaking_shut_off_is_not_tested_and_not_failed(office):
    answers = readings("RP") | {"shut_off_2_holds": "no"}
    assert signed(office, answers=answers).result == "not_tested"


def test_unable_to_test_needs_its_reason_only(office):
    record = signed(office, answers={"unable_because": "valve box under water"})
    assert record.result == "not_tested"
    assert report(record)["unable_because"] == "valve box under water"


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({}, "Nothing was read"),
        (readings("RP", check_1="5,1"), "cannot be read"),
        (readings("RP") | {"initial_check_1_word": "leaked"}, "take one out"),
        (readings("RP") | {"tested_on": "2026-04-17"}, "still to come"),
        (readings("RP") | {"tested_on": "yesterday"}, "is no day"),
        (readings("RP") | {"tested_on": ""}, "day of the test"),
    ],
)
def test_what_cannot_be_signed_is_told_and_nothing_is_stored(office, answers, says):
    draft_id = begun(office)
    version = typed(office, draft_id, answers)
    with pytest.raises(ServiceError, match=says):
        sign_test(office, draft_id=draft_id, version=version, now=MORNING, actor="Ada")
    assert not TestRecord.objects.exists()
    assert TestDraft.objects.get(pk=draft_id).signed_at is None


def test_a_test_dated_tomorrow_is_let_through(office):
    record = signed(office, answers=readings("RP") | {"tested_on": "2026-04-16"})
    assert record.tested_on == date(2026, 4, 16)


def test_a_test_without_a_tester_is_refused(office):
    draft_id = begun(office)
    typed(office, draft_id, readings("RP"))
    TestDraft.objects.filter(pk=draft_id).update(tester=None)
    version = TestDraft.objects.get(pk=draft_id).version
    with pytest.raises(ServiceError, match="who tested"):
        sign_test(office, draft_id=draft_id, version=version, now=MORNING, actor="Ada")


def test_lapsed_certificate_and_gauge_are_flagged_and_the_verdict_stands(office):
    on = datetime(2027, 5, 3, 15, tzinfo=UTC)
    record = signed(office, now=on)
    flags = json.loads(record.payload)["flags"]
    assert record.result == "passed"
    assert [text.split(" on ")[0] for text in flags] == [
        "The tester's certificate ended",
        "The gauge's calibration ended",
    ]


@pytest.mark.parametrize(("minutes", "told"), [(9, 0), (-10, 0), (11, 1), (-26, 1)])
def test_clocks_more_than_ten_minutes_apart_are_told(office, minutes, told):
    clock = MORNING + timedelta(minutes=minutes)
    record = signed(office, device_time=clock)
    flags = json.loads(record.payload)["flags"]
    assert len([text for text in flags if "clock" in text]) == told


def test_a_correction_is_a_record_of_its_own_and_names_the_old_one(office):
    wrong = signed(office, answers=readings("RP", check_2="0.8"))
    Tester.objects.update(certificate="renewed")
    Device.objects.filter(link__key="B1").update(serial="NEW")
    draft_id = begin_correction(office, record_id=wrong.pk, now=LATER, actor="Ada")
    right = signed(
        office, answers={"initial_check_2": "1.8"}, draft_id=draft_id, now=LATER
    )
    kept = json.loads(right.payload)
    assert (right.number, right.corrects_id, right.result) == (2, wrong.pk, "passed")
    assert right.tested_on == wrong.tested_on
    assert kept["assembly"]["serial"] == "OR-101", "as it was at the test"
    assert TestRecord.objects.get(pk=wrong.pk).result == "failed"
    with pytest.raises(ServiceError, match="corrected already, by record 2"):
        begin_correction(office, record_id=wrong.pk, now=LATER, actor="Ada")


def test_a_signed_test_can_be_neither_changed_nor_deleted(office):
    record = signed(office)
    for deed in (
        lambda: TestRecord.objects.filter(pk=record.pk).update(result="failed"),
        lambda: TestRecord.objects.filter(pk=record.pk).delete(),
    ):
        with pytest.raises(DatabaseError, match="never changes"), transaction.atomic():
            deed()


def test_a_draft_is_signed_once_and_the_second_is_told_by_whom(office):
    draft_id = begun(office)
    version = typed(office, draft_id, readings("RP"))
    sign_test(office, draft_id=draft_id, version=version, now=MORNING, actor="Ada")
    with pytest.raises(ConflictError, match="signed by Ada, as test 1"):
        sign_test(office, draft_id=draft_id, version=version, now=LATER, actor="Bo")
    assert TestRecord.objects.count() == 1


def test_a_draft_changed_since_it_was_seen_is_not_signed(office):
    draft_id = begun(office)
    seen = typed(office, draft_id, readings("RP"))
    typed(office, draft_id, readings("RP", check_1="4.0"))
    with pytest.raises(ConflictError, match="changed this draft"):
        sign_test(office, draft_id=draft_id, version=seen, now=MORNING, actor="Bo")


def test_the_demonstration_has_a_chain_of_its_own(office):
    keep_site(office, "demo-row", demo=True)
    signed(office)
    draft_id = begin_test(
        office, site_key="demo-row", link="B1", now=MORNING, actor="Ada"
    )
    record = signed(office, draft_id=draft_id)
    assert (record.demo, record.number, record.previous_hash) == (True, 1, "")


def test_nobody_signs_what_is_not_theirs(office, stranger):
    draft_id = begun(office)
    with pytest.raises(NotFoundError):
        sign_test(stranger, draft_id=draft_id, version=1, now=MORNING, actor="X")


def test_signing_takes_a_bounded_number_of_queries(
    office, django_assert_max_num_queries
):
    signed(local_account(), "B2")
    draft_id = begun(office)
    version = typed(office, draft_id, readings("RP"))
    with django_assert_max_num_queries(22):
        sign_test(office, draft_id=draft_id, version=version, now=LATER, actor="Ada")
