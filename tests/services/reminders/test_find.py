"""What is due is found in what is on record, and follows it."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from maintenance.models import (
    Gauge,
    Obligation,
    ReminderSteps,
    SeasonList,
    ServiceCall,
    Site,
    SiteOutlook,
    Tester,
    Visit,
)
from maintenance.services.reminders.find import find_all
from maintenance.services.reminders.sources.seasons import _start_by
from tests.services.reminders.conftest import NOW

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


@pytest.fixture
def site(owner):
    return Site.objects.create(
        account=owner,
        key="yard",
        name="Yard",
        elevation_m=0.0,
        time_zone="America/Denver",
        record={},
    )


def open_ones(kind=None):
    rows = Obligation.objects.filter(ended_at=None)
    return list(rows.filter(kind=kind) if kind else rows)


def outlook(site, day):
    return SiteOutlook.objects.create(
        site=site,
        worked_out_at=NOW,
        site_version=1,
        level=0,
        act="wait",
        reason="",
        planning_date=day,
        parts=1,
    )


def test_a_calibration_is_found_once_and_moves_with_the_next_one(owner):
    gauge = Gauge.objects.create(
        account=owner, serial="G1", calibrated=date(2025, 10, 1), ends=date(2026, 10, 1)
    )
    assert find_all(now=NOW) == 1
    assert find_all(now=NOW) == 0
    (row,) = open_ones("gauge_calibration")
    assert (row.due_on, row.last_done_on) == (date(2026, 10, 1), date(2025, 10, 1))
    assert "2026-10-01" in row.why
    gauge.calibrated, gauge.ends = date(2026, 9, 20), date(2027, 9, 20)
    gauge.save()
    find_all(now=NOW + DAY)
    row.refresh_from_db()
    assert row.ended_as == "done"
    assert open_ones("gauge_calibration")[0].due_on == date(2027, 9, 20)


def test_a_wrong_date_that_is_mended_moves_and_moves_back(owner):
    gauge = Gauge.objects.create(account=owner, serial="G1", ends=date(2026, 10, 1))
    find_all(now=NOW)
    for day in (date(2026, 11, 1), date(2026, 10, 1)):
        gauge.ends = day
        gauge.save()
        find_all(now=NOW)
        assert [row.due_on for row in open_ones()] == [day]
    assert Obligation.objects.count() == 2


def test_what_a_person_has_ended_stays_ended(owner):
    Gauge.objects.create(account=owner, serial="G1", ends=date(2026, 10, 1))
    find_all(now=NOW)
    Obligation.objects.update(ended_at=NOW, ended_as="not_required")
    find_all(now=NOW)
    assert open_ones() == []


def test_kit_that_is_retired_asks_for_nothing(owner):
    tester = Tester.objects.create(account=owner, name="Ada", ends=date(2026, 12, 1))
    find_all(now=NOW)
    assert open_ones("certificate_renewal")
    tester.retired_at = NOW
    tester.save()
    find_all(now=NOW)
    assert open_ones() == []
    assert Obligation.objects.get().ended_as == "withdrawn"


def test_a_promised_call_is_due_until_it_is_closed(site):
    call = ServiceCall.objects.create(
        site=site,
        what="Leak at valve 3",
        caller="Grace",
        received_at=NOW,
        received_by="Ada",
        promised_by=date(2026, 9, 18),
    )
    find_all(now=NOW)
    (row,) = open_ones("promised_call")
    assert row.what == "Promised to Grace: Leak at valve 3"
    assert row.site == site
    call.closed_at = NOW + DAY
    call.save()
    find_all(now=NOW + DAY)
    row.refresh_from_db()
    assert row.ended_as == "done"


def test_the_shutdown_is_planned_ahead_of_the_frost_until_a_visit_has_a_day(site):
    outlook(site, date(2026, 10, 20))
    find_all(now=NOW)
    (row,) = open_ones("shutdown_planning")
    # 20 October less the crew's usual days and 21 to find one.
    assert row.due_on < date(2026, 9, 30)
    assert "2026-10-20" in row.why
    Visit.objects.create(
        account=site.account,
        site=site,
        kind="shutdown",
        season_year=2026,
        planned_on=date(2026, 10, 5),
    )
    find_all(now=NOW)
    row.refresh_from_db()
    assert row.ended_as == "done"


def test_the_lead_of_an_account_counts(owner, site):
    outlook(site, date(2026, 10, 20))
    find_all(now=NOW)
    (before,) = open_ones("shutdown_planning")
    ReminderSteps.objects.create(
        account=owner, kind="shutdown_planning", steps={"lead_days": 30}
    )
    find_all(now=NOW)
    (after,) = open_ones("shutdown_planning")
    assert before.due_on - after.due_on == timedelta(days=9)


def test_a_start_up_without_a_station_goes_by_last_year_and_says_so(site):
    for season, year, opened in (
        ("startup", 2026, NOW - 140 * DAY),
        ("shutdown", 2026, NOW),
    ):
        SeasonList.objects.create(
            site=site,
            season=season,
            year=year,
            site_version=1,
            opened_at=opened,
            opened_by="Ada",
            closed_at=opened,
        )
    find_all(now=NOW)
    (row,) = open_ones("startup_planning")
    assert row.due_on == date(2027, 4, 28) - 14 * DAY
    assert "nothing better is known" in row.why


def test_a_start_up_by_the_station_takes_the_spring_after_the_shutdown():
    numbers = {"last_freezes": list(range(100, 130))}
    by = _start_by(numbers, None, date(2026, 10, 8), "UTC", 14)
    assert by is not None
    assert by.on.year == 2027
    assert by.on.month == 4
    assert "station" in by.why


def test_audits_follow_the_owner_s_rule_and_nobody_else_s(owner, site):
    find_all(now=NOW)
    assert open_ones("head_audit") == []
    ReminderSteps.objects.create(
        account=owner,
        kind="head_audit",
        steps={"rule": "yearly", "first": "2026-10-01"},
    )
    find_all(now=NOW)
    assert open_ones("head_audit")[0].due_on == date(2026, 10, 1)
    Visit.objects.create(
        account=site.account,
        site=site,
        kind="head_audit",
        state="ended",
        outcome="done",
        arrived_at=NOW,
        left_at=NOW,
    )
    find_all(now=NOW + DAY)
    assert open_ones("head_audit")[0].due_on == date(2027, 9, 15)
    assert Obligation.objects.get(due_on=date(2026, 10, 1)).ended_as == "done"


def test_accounts_are_kept_apart(owner, stranger):
    Gauge.objects.create(account=stranger, serial="G1", ends=date(2026, 10, 1))
    find_all(now=timezone.now())
    assert [row.account for row in open_ones()] == [stranger]
