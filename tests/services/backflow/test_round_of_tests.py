"""The next assembly of a round, reports handed in, the order of their fields, progress."""

import json
from datetime import date, timedelta

import pytest

from maintenance.models import Device, ReportFiled, ReportOrder
from maintenance.services.backflow import verify
from maintenance.services.backflow.assembly_tests import assembly_tests
from maintenance.services.backflow.filing import (
    move_field,
    record_filed,
    report_order,
    reset_order,
)
from maintenance.services.backflow.test_queries import (
    latest_of_site,
    next_assembly,
    signed_test,
    signed_tests,
)
from maintenance.services.errors import NotFoundError, ServiceError
from tests.services.backflow.field_tests import (
    LATER,
    MORNING,
    SITE,
    readings,
    signed,
)


def next_after(office, record):
    found = next_assembly(office, record_id=record.pk)
    return found.link.key if found else None


def test_the_next_assembly_is_the_next_of_the_site_that_was_not_tested(office):
    assert next_after(office, signed(office, "B2")) == "B3"
    assert next_after(office, signed(office, "B6")) == "B1", "it goes round"
    assert next_after(office, signed(office, "B1")) == "B3", "B2 is tested"


def test_after_the_last_one_there_is_no_next(office):
    for link in ("B1", "B2", "B3", "B4", "B5"):
        signed(office, link)
    assert next_after(office, signed(office, "B6")) is None


def test_last_year_s_test_does_not_count_for_this_round(office):
    signed(office, "B2", now=MORNING - timedelta(days=365))
    assert next_after(office, signed(office, "B1")) == "B2"


def test_a_removed_assembly_is_not_the_next(office):
    Device.objects.filter(link__key="B2").update(until=LATER)
    assert next_after(office, signed(office, "B1")) == "B3"


def test_the_serial_of_the_one_replaced_is_on_the_report(office):
    old = Device.objects.get(link__key="B1")
    Device.objects.filter(pk=old.pk).update(until=MORNING)
    Device.objects.create(
        site=old.site, link=old.link, kind="RP", serial="OR-900", since=MORNING
    )
    record = signed(office, "B1", now=LATER)
    told = {key: text for _, key, _, text in json.loads(record.payload)["report"]}
    assert (told["serial"], told["replaced_serial"]) == ("OR-900", "OR-101")


def test_the_last_tests_of_a_site_leave_corrected_ones_out(office):
    signed(office, "B3", now=MORNING - timedelta(days=365))
    last = signed(office, "B3")
    signed(office, "B2")
    lines = latest_of_site(office, site_key=SITE)
    assert [line.id for line in lines if line.link == "B3"] == [last.pk]
    assert len(lines) == 2


def test_the_readings_of_the_years_stand_in_order_with_what_came_after_repair(office):
    signed(office, "B3", answers=readings("PVB", check_1="0.8"))
    signed(office, "B3", now=LATER)
    found = assembly_tests(office, site_key=SITE, link="B3", now=LATER)
    told = [(each.on, each.after_repair) for each in found.readings]
    assert told == [(date(2026, 4, 15), False), (date(2026, 4, 16), True)]
    assert found.trends == (), "two tests are no line"


def test_nobody_sees_the_tests_of_others(office, stranger):
    record = signed(office)
    assert signed_tests(stranger) == []
    with pytest.raises(NotFoundError):
        signed_test(stranger, record_id=record.pk)
    with pytest.raises(NotFoundError):
        assembly_tests(stranger, site_key=SITE, link="B1", now=LATER)


def filed(office, record, filed_on=date(2026, 4, 16), to="water office"):
    return record_filed(
        office,
        record_id=record.pk,
        filed_on=filed_on,
        to=to,
        now=LATER,
        actor="Ada",
    )


def test_a_report_handed_in_twice_on_a_day_to_one_office_is_one(office):
    record = signed(office)
    assert filed(office, record) == filed(office, record)
    assert filed(office, record, to="county") != filed(office, record)
    assert ReportFiled.objects.count() == 2


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"to": " "}, "whom"),
        ({"filed_on": date(2026, 4, 14)}, "before the test"),
        ({"filed_on": date(2026, 4, 18)}, "still to come"),
    ],
)
def test_what_cannot_have_been_handed_in_is_refused(office, changed, says):
    record = signed(office)
    with pytest.raises(ServiceError, match=says):
        filed(office, record, **changed)


def test_fields_are_moved_one_by_one_and_every_field_stays(office):
    ours = [field.key for field in report_order(office)]
    move_field(office, key=ours[9], place=1, now=MORNING, actor="Ada")
    move_field(office, key=ours[0], place=len(ours), now=MORNING, actor="Ada")
    moved = [field.key for field in report_order(office)]
    assert (moved[0], moved[-1]) == (ours[9], ours[0])
    assert sorted(moved) == sorted(ours)
    with pytest.raises(ServiceError, match="no place"):
        move_field(office, key=ours[0], place=0, now=MORNING, actor="Ada")
    with pytest.raises(NotFoundError):
        move_field(office, key="colour", place=1, now=MORNING, actor="Ada")
    reset_order(office, now=MORNING, actor="Ada")
    assert [field.key for field in report_order(office)] == ours


def test_an_order_that_names_a_field_that_is_gone_still_holds(office):
    ReportOrder.objects.create(account=office, order={"order": ["gone", "serial"]})
    assert report_order(office)[0].key == "serial"


def test_who_verifies_many_is_told_how_far_it_is(office, monkeypatch):
    monkeypatch.setattr(verify, "REPORT_EVERY", 2)
    for _ in range(5):
        signed(office, "B3")
    seen: list[int] = []
    found = verify.verify_records(office, progress=seen.append)
    assert (seen, found.records, found.findings) == ([2, 4], 5, [])
