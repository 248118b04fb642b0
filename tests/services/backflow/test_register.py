"""The register: every assembly with the one before and after it, and its whole life."""

from datetime import date, timedelta
from typing import Any

import pytest

from maintenance.services.backflow.assembly_page import assembly_record
from maintenance.services.backflow.events import take_back_event
from maintenance.services.backflow.register import register_lines
from maintenance.services.backflow.removal import if_removed, out_on
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.store import store_site
from tests.services.backflow.field_tests import SITE, keep_site, signed, site_file
from tests.services.backflow.register_cases import NOON, device, state, tell
from tests.services.inventory.files import read

OCTOBER, APRIL = date(2026, 10, 14), date(2027, 4, 10)


def replaced(account):
    """Put another assembly in the place of B1."""
    file = site_file()
    file["links"][0] |= {"serial": "OR-999", "installed": "2026-11-19"}
    store_site(read(file), account=account, now=NOON)


def record(account, link="B1", device_id=None, now=NOON) -> Any:
    return assembly_record(
        account, site_key=SITE, link=link, device_id=device_id, now=now
    )


def test_a_new_serial_is_a_new_assembly_linked_with_the_one_before(office):
    old = device()
    state(office, hazard="high")
    replaced(office)
    here = [line for line in register_lines(office) if line.link == "B1"]
    assert [line.serial for line in here] == ["OR-999", "OR-101"]
    new, former = here
    assert (new.former and new.former.serial, new.next_one) == ("OR-101", None)
    assert former.former is None
    assert former.next_one
    assert former.next_one.serial == "OR-999"
    assert (new.until, former.until) == (None, NOON)
    assert (new.stated.hazard, former.stated.hazard) == ("", "high")
    assert record(office).line.serial == "OR-999"
    assert record(office, device_id=old.pk).line.serial == "OR-101"


def test_where_one_that_is_out_is_stored_and_with_whom(office):
    event_id = tell(office, "removed", OCTOBER, stored_at="shed, with the owner")
    line = record(office).line
    assert (line.out_since, line.stored_at) == (OCTOBER, "shed, with the owner")
    take_back_event(
        office, device_id=device().pk, event_id=event_id, now=NOON, actor="Bo"
    )
    assert record(office).line.out_since is None


def test_positions_are_those_of_the_site_file(office):
    file = site_file()
    file["links"][0] |= {
        "shutoff_1": {"summer": "open", "winter": "half_open"},
        "test_cocks": {"count": 4, "winter": "open"},
    }
    store_site(read(file), account=office, now=NOON)
    assert record(office).positions == (
        ("Shut-off 1 (upstream)", "open", "half open"),
        ("Shut-off 2 (downstream)", "", ""),
        ("Test cocks, 4", "closed, as is usual", "open"),
    )


def test_all_rules_that_apply_are_told_with_their_dates(office):
    state(office, place="washington")
    signed(office)
    found = {str(a.rule.ref): (a.state, a.due.due) for a in record(office).answers}
    assert found["washington-yearly/1"] == ("early", date(2027, 4, 15))
    assert found["washington-reinstalled/1"] == ("not_required", None)
    assert not any("avb" in ref for ref in found)


def test_what_happens_if_it_is_removed_with_and_without(office):
    """Washington's state rule: a test whenever it is reinstalled."""
    state(office, place="washington")
    signed(office)
    seen = record(office)
    found = if_removed(
        seen.assembly,
        [a.rule for a in seen.answers],
        today=seen.today,
        taken_out=OCTOBER,
        put_back=APRIL,
    )
    assert found.is_out is False
    rules = {str(each.stays.due.rule): each for each in found.rules}
    back = rules["washington-reinstalled/1"]
    assert back.stays.state == "not_required"
    assert (back.out.state, back.out.due.due) == ("before_service", None)
    assert (back.back.state, back.back.due.due) == ("due", APRIL)
    yearly = rules["washington-yearly/1"]
    assert yearly.stays.due.due == yearly.back.due.due == date(2027, 4, 15)
    assert yearly.out.state == "not_required"
    assert "Put back, 2027-04-15 holds again" in yearly.out.due.why


def test_one_that_is_out_is_compared_with_having_stayed(office):
    state(office, place="washington")
    signed(office)
    tell(office, "removed", OCTOBER)
    seen = record(office)
    assert out_on(seen.assembly.events) == OCTOBER
    rules = [a.rule for a in seen.answers]
    asked: dict[str, Any] = {"today": seen.today, "taken_out": seen.today}
    found = if_removed(seen.assembly, rules, put_back=APRIL, **asked)
    assert (found.is_out, found.out_on) == (True, OCTOBER)
    rows = {str(each.stays.due.rule): each for each in found.rules}
    assert rows["washington-yearly/1"].stays.due.due == date(2027, 4, 15)
    assert rows["washington-reinstalled/1"].stays.state == "not_required"
    with pytest.raises(ServiceError, match="before it is taken out"):
        if_removed(seen.assembly, rules, put_back=OCTOBER - timedelta(days=1), **asked)


def test_a_stranger_finds_no_assembly(office, stranger):
    assert register_lines(stranger) == []
    with pytest.raises(NotFoundError):
        record(stranger)
    with pytest.raises(NotFoundError):
        record(office, link="B9")
    with pytest.raises(NotFoundError):
        record(office, device_id=device("B2").pk)


def test_the_queries_do_not_grow(office, django_assert_num_queries):
    state(office, place="washington")
    signed(office)
    tell(office, "removed", OCTOBER)
    with django_assert_num_queries(10):
        record(office)
    for n in range(5):
        keep_site(office, f"row-{n}")
    with django_assert_num_queries(2):
        assert len(register_lines(office)) == 36
