"""What is due, across sites: by which rule, in which state, in what order."""

from datetime import UTC, date, datetime, timedelta

import pytest

from maintenance.models import Device
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.backflow.filing import record_filed, undo_filed
from maintenance.services.inventory.store import retire_site, store_site
from tests.services.backflow.field_tests import (
    LATER,
    MORNING,
    SITE,
    keep_site,
    readings,
    signed,
    site_file,
)
from tests.services.backflow.register_cases import NOON, due_of, state, tell
from tests.services.inventory.files import read


def at(year: int, month: int, day: int) -> datetime:
    return datetime(year, month, day, 18, 0, tzinfo=UTC)


def test_without_a_place_nothing_is_known_and_it_says_what_to_do(office):
    line = due_of(office)
    assert (line.state, line.due, line.rule) == ("not_known", None, None)
    assert "choose" in line.why


@pytest.mark.parametrize(
    ("now", "expected", "days"),
    [
        (at(2027, 2, 1), "early", 73),
        (at(2027, 2, 14), "open", 60),
        (at(2027, 4, 1), "due_soon", 14),
        (at(2027, 4, 15), "due", 0),
        (at(2027, 4, 16), "overdue", -1),
    ],
)
def test_a_year_after_a_pass_by_the_rule_of_its_place(office, now, expected, days):
    state(office, place="washington")
    signed(office)
    line = due_of(office, now=now)
    assert (line.state, line.days, line.due) == (expected, days, date(2027, 4, 15))
    assert line.rule is not None
    assert str(line.rule.ref) == "washington-yearly/1"
    assert line.rule.source.startswith("WAC 246-290-490")


def test_the_days_are_those_of_the_site(office):
    """05:00 UTC on the 16th is the evening of the 15th in Denver."""
    state(office, place="washington")
    signed(office)
    line = due_of(office, now=datetime(2027, 4, 16, 5, 0, tzinfo=UTC))
    assert line.state == "due"


def test_an_own_rule_in_words_counts_beside_the_place(office):
    state(office, place="bel-aire", own_rule="every 6 months")
    signed(office)
    line = due_of(office)
    assert (str(line.rule.ref), line.due) == ("every 6 months/1", date(2026, 10, 15))
    assert line.state == "overdue"


def test_winter_removal_and_return_raise_their_test(office):
    state(office, place="washington")
    signed(office)
    tell(office, "removed", date(2026, 10, 14))
    out = due_of(office)
    assert (out.state, str(out.rule.ref)) == (
        "before_service",
        "washington-reinstalled/1",
    )
    assert "reinstalled" in out.why
    tell(office, "reinstalled", date(2026, 11, 2))
    back = due_of(office)
    assert (back.state, back.due) == ("overdue", date(2026, 11, 2))
    signed(office, now=NOON)
    assert due_of(office).due == date(2027, 11, 20)


def test_not_required_this_year_is_a_state_with_its_reason(office):
    """Bel Aire, Kansas: even-numbered years (the city's own page of questions)."""
    state(office, place="bel-aire")
    signed(office)
    line = due_of(office, now=at(2027, 6, 1))
    assert (line.state, line.due) == ("not_required", None)
    assert "2027 is not an even year" in line.why


def test_a_failed_test_runs_its_report_in_hours_and_counts_as_overdue_then(office):
    """Willows Water, Colorado: a failure is reported within 24 hours."""
    state(office, place="willows")
    record = signed(office, answers=readings("RP", check_1="4.0"))
    assert record.result == "failed"
    line = due_of(office, now=MORNING + timedelta(hours=23))
    assert line.report is not None
    assert line.report.by == MORNING + timedelta(hours=24)
    assert (line.report.over, line.report.done_on) == (False, None)
    assert line.report.rule.id.startswith("willows")
    assert due_of(office, now=MORNING + timedelta(hours=25)).report.over is True


def test_a_report_that_was_handed_in_is_done_until_that_is_taken_back(office):
    state(office, place="willows", region="US-CO")
    record = signed(office)
    line = due_of(office)
    assert (line.report.by, line.report.over) == (date(2026, 4, 29), True)
    filed_id = record_filed(
        office,
        record_id=record.pk,
        filed_on=date(2026, 4, 16),
        to="water district",
        now=LATER,
        actor="Ada",
    )
    line = due_of(office)
    assert (line.report.done_on, line.report.over) == (date(2026, 4, 16), False)
    assert line.first_day == line.due
    undo_filed(office, record_id=record.pk, filed_id=filed_id, now=LATER, actor="Ada")
    assert due_of(office).report.over is True


def test_repair_has_a_deadline_of_its_own_until_it_is_repaired(office):
    """Calgary: repaired within 5 business days of a failed test."""
    state(office, place="calgary", region="CA-AB")
    signed(office, answers=readings("RP", check_1="4.0"))
    line = due_of(office)
    assert (line.repair.by, line.repair.over) == (date(2026, 4, 22), True)
    tell(office, "repaired", date(2026, 4, 20))
    assert due_of(office).repair is None


def test_the_first_thing_to_do_comes_first_and_what_is_not_required_last(office):
    for link, place in (("B1", "washington"), ("B2", "bel-aire"), ("B3", "willows")):
        state(office, link, place=place)
    for link in ("B1", "B2", "B3"):
        signed(office, link)
    lines, _ = due_lines(office, now=at(2027, 3, 1))
    assert [line.assembly.link for line in lines][:2] == ["B3", "B1"]
    assert lines[-1].assembly.link == "B2"
    assert {line.state for line in lines[2:-1]} == {"not_known"}


def test_what_no_longer_stands_and_retired_sites_are_left_out(office):
    file = site_file()
    file["links"][0]["serial"] = "OR-999"
    store_site(read(file), account=office, now=NOON)
    lines, _ = due_lines(office, now=NOON)
    assert [line.assembly.serial for line in lines if line.assembly.link == "B1"] == [
        "OR-999"
    ]
    retire_site(office, key=SITE, now=NOON)
    assert due_lines(office, now=NOON)[0] == []


def test_one_in_the_place_of_another_was_put_in_at_the_latest_when_recorded(office):
    file = site_file()
    file["links"][0]["serial"] = "OR-999"
    del file["links"][0]["installed"]
    store_site(read(file), account=office, now=NOON)
    state(office, place="new-york")
    line = due_of(office)
    assert (str(line.rule.ref), line.due) == (
        "new-york-installed/1",
        date(2026, 11, 20),
    )


def test_a_wrong_year_at_one_assembly_does_not_take_the_list_away(office):
    state(office, place="washington")
    Device.objects.filter(link__key="B1").update(installed=date(9999, 6, 1))
    line = due_of(office)
    assert line.state == "not_known"
    assert "calendar" in line.why


def test_a_stranger_sees_nothing(office, stranger):
    assert due_lines(stranger, now=NOON)[0] == []


def test_the_queries_are_four_however_many_assemblies(
    office, django_assert_num_queries
):
    state(office, place="washington")
    signed(office)
    for n in range(83):
        keep_site(office, f"row-{n}")
    with django_assert_num_queries(4):
        lines, _ = due_lines(office, now=NOON)
    assert len(lines) == 504
