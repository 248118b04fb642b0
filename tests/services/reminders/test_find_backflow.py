"""Tests of assemblies, their reports and repairs, as the register counts them."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from maintenance.models import Obligation, Site
from maintenance.services.reminders.find import find_for
from maintenance.services.reminders.sources import backflow
from tests.services.reminders.conftest import NOW

pytestmark = pytest.mark.django_db
TESTED = datetime(2026, 9, 1, 17, tzinfo=UTC)


@dataclass
class Lines:
    """What the register would answer."""

    rows: list[Any]

    def __call__(self, _account, *, now):
        return self.rows, None


@pytest.fixture
def yard(owner):
    return Site.objects.create(
        account=owner,
        key="yard",
        name="Yard",
        elevation_m=0.0,
        time_zone="America/Denver",
        record={},
    )


def line(
    *,
    due=date(2027, 9, 1),
    state="due",
    result="passed",
    test=7,
    report=None,
    repair=None,
):
    assembly = SimpleNamespace(
        device_id=12,
        site_key="yard",
        kind="RP",
        link="B1",
        serial="S9",
        zone="America/Denver",
    )
    tested = result and SimpleNamespace(id=test, at=TESTED, result=result)
    return SimpleNamespace(
        assembly=assembly,
        due=due,
        state=state,
        duty="test",
        why="Yearly.",
        rule=SimpleNamespace(ref="us-ab-cd/1"),
        tested=tested,
        report=report,
        repair=repair,
    )


def by(day, done_on=None):
    return SimpleNamespace(day=day, done_on=done_on, rule=None)


def found(owner, monkeypatch, *rows):
    monkeypatch.setattr(backflow, "due_lines", Lines(list(rows)))
    find_for(owner, now=NOW, sources=(backflow.look,))
    return {
        (row.kind, row.due_on, row.ended_as)
        for row in Obligation.objects.order_by("pk")
    }


def test_the_next_test_names_its_rule(owner, yard, monkeypatch):
    assert found(owner, monkeypatch, line()) == {
        ("backflow_test", date(2027, 9, 1), "")
    }
    row = Obligation.objects.get()
    assert row.what == "Test RP at B1, serial S9"
    assert row.why == "Yearly. Rule: us-ab-cd/1."
    assert row.last_done_on == date(2026, 9, 1)


def test_what_is_not_required_is_not_due(owner, yard, monkeypatch):
    assert found(owner, monkeypatch, line(state="not_required")) == set()
    assert found(owner, monkeypatch, line(due=None)) == set()


def test_a_report_is_due_until_it_is_handed_in(owner, yard, monkeypatch):
    day = date(2026, 9, 11)
    found(owner, monkeypatch, line(report=by(day)))
    after = found(owner, monkeypatch, line(report=by(day, done_on=date(2026, 9, 3))))
    assert ("backflow_report", day, "done") in after


def test_a_repair_is_due_until_the_assembly_passes(owner, yard, monkeypatch):
    day = date(2026, 9, 8)
    failed = line(due=date(2026, 9, 8), result="failed", repair=by(day))
    assert ("backflow_repair", day, "") in found(owner, monkeypatch, failed)
    passed = found(owner, monkeypatch, line(test=8))
    assert ("backflow_repair", day, "done") in passed
