"""What each kind of trigger makes of a history."""

from datetime import UTC, datetime

import pytest

from maintenance.engine.backflow.due import events
from maintenance.engine.backflow.due.deadline import Deadline
from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import all_due, next_due
from maintenance.engine.backflow.due.rule import AFTER_EVENT, Limits, RuleRef
from maintenance.engine.calendar.anchors import Period
from tests.engine.backflow.due.made_rules import day, event, failed, passed, rule

YEARLY = rule("anniversary", "yearly", period=Period(1, "years"))


def due(rules, *events, today=None, **more):
    on = day(today) if today else None
    rules = rules if isinstance(rules, list) else [rules]
    return next_due(rules, Facts(), events, on, **more)


def said(found):
    return found.state, found.due.isoformat() if found.due else None


@pytest.mark.parametrize("kind", AFTER_EVENT)
def test_an_event_asks_for_a_test_until_one_is_passed(kind):
    asks = rule(kind)
    happened = event(kind, "2025-05-02")
    if kind != "removed":
        assert said(due(asks, happened)) == ("due", "2025-05-02")
    assert said(due(asks, happened, failed("2025-05-02")))[1] == "2025-05-02"
    assert said(due(asks, happened, passed("2025-05-02"))) == ("not_required", None)
    assert said(due(asks, passed("2025-05-02"), happened))[1] == "2025-05-02"
    assert said(due(asks, passed("2025-05-01"))) == ("not_required", None)


def test_the_first_of_several_repairs_without_a_test_sets_the_date():
    repairs = [event("repaired", f"2025-0{n}-01") for n in (6, 4, 5)]
    found = due(rule("repaired"), passed("2025-03-01"), *repairs)
    assert said(found) == ("due", "2025-04-01")


def test_an_event_may_leave_some_days_for_the_test():
    asks = rule("installed", within=Deadline(10, "business_days"))
    found = due(asks, event("installed", "2025-05-16"), holidays={day("2025-05-26")})
    assert said(found) == ("due", "2025-06-02")
    assert "within 10 business days" in found.why


def test_taking_it_out_for_winter_raises_the_test_of_its_return():
    place = [YEARLY, rule("reinstalled", "on-return")]
    out = [passed("2025-04-15"), event("removed", "2025-10-20")]
    stored = due(place, *out, today="2026-05-01")
    assert said(stored) == ("before_service", None)
    assert stored.rule == RuleRef("on-return", 1)
    back = due(place, *out, event("reinstalled", "2026-03-28"))
    assert said(back) == ("due", "2026-03-28")
    assert back.rule == RuleRef("on-return", 1)
    again = [*out, event("reinstalled", "2026-03-28"), passed("2026-03-28")]
    assert said(due(place, *again)) == ("due", "2027-03-28")


def test_a_test_on_the_bench_counts_where_it_comes_before_the_return():
    before = rule("reinstalled", before_service=True)
    out = event("removed", "2025-10-20")
    bench, back = passed("2026-02-01"), event("reinstalled", "2026-03-28")
    assert said(due(before, out)) == ("before_service", None)
    assert said(due(before, out, bench)) == ("not_required", None)
    assert said(due(before, out, bench, back)) == ("not_required", None)
    assert said(due(before, out, back)) == ("before_service", "2026-03-28")
    next_winter = [event("removed", "2026-10-20"), event("reinstalled", "2027-04-01")]
    found = due(before, out, bench, back, *next_winter)
    assert said(found) == ("before_service", "2027-04-01")
    assert said(due(rule("reinstalled"), out, bench, back)) == ("due", "2026-03-28")


def test_what_is_stored_does_not_run_out():
    out = event("removed", "2025-10-20")
    found = due(YEARLY, passed("2024-04-15"), out, today="2027-01-01")
    assert said(found) == ("not_required", None)
    assert "2025-04-15" in found.why
    back = due(YEARLY, passed("2024-04-15"), out, event("reinstalled", "2026-03-28"))
    assert said(back) == ("due", "2025-04-15")


def test_without_any_test_the_installation_is_the_anchor():
    assert said(due(YEARLY, event("installed", "2024-02-29"))) == ("due", "2025-02-28")
    assert due(YEARLY, passed("2024-02-29")).why.endswith("then every year.")
    half = rule("anniversary", period=Period(6, "months"))
    assert due(half, passed("2024-02-29")).why.endswith("then every 6 months.")
    unknown = due(YEARLY)
    assert said(unknown) == ("due", None)
    assert "enter one" in unknown.why


def test_a_year_of_the_other_kind_is_not_required_and_never_overdue():
    even = rule("even_years")
    past = [event("installed", "2025-05-10"), passed("2025-05-10")]
    assert said(due(even, *past)) == ("due", "2026-12-31")
    assert said(due(even, *past, today="2025-06-01")) == ("not_required", None)
    assert said(due(even, *past, today="2026-06-01")) == ("due", "2026-12-31")
    past.append(passed("2026-04-20"))
    found = due(even, *past, today="2027-06-01")
    assert said(found) == ("not_required", None)
    assert found.why == "2027 is not an even year; the next is 2028."


def test_a_year_that_was_missed_stays_due():
    found = due(rule("even_years"), passed("2025-05-10"), today="2027-06-01")
    assert said(found) == ("due", "2026-12-31")
    odd = due(rule("odd_years"), event("installed", "2025-05-10"), today="2026-01-01")
    assert said(odd) == ("due", "2025-12-31")


def test_a_late_test_serves_the_fixed_date_that_it_missed():
    april = rule("fixed_dates", dates=((4, 1),))
    assert said(due(april, passed("2027-04-01"))) == ("due", "2028-04-01")
    assert said(due(april, passed("2027-04-02"))) == ("due", "2028-04-01")
    assert said(due(april, passed("2027-01-31"))) == ("due", "2028-04-01")
    assert said(due(april, passed("2027-01-30"))) == ("due", "2027-04-01")
    short = rule("fixed_dates", dates=((4, 1),), counts_from_days=10)
    assert said(due(short, passed("2027-03-10"))) == ("due", "2027-04-01")
    assert said(due(april, today="2027-04-02")) == ("due", "2028-04-01")


def test_a_fixed_date_at_the_end_of_february_is_clamped():
    leap = rule("fixed_dates", dates=((2, 29),), counts_from_days=30)
    assert said(due(leap, passed("2026-03-01"))) == ("due", "2027-02-28")
    assert said(due(leap, passed("2027-03-01"))) == ("due", "2028-02-29")


def test_the_water_that_is_not_turned_on_needs_no_test():
    season = rule("turned_on")
    on = [passed("2024-05-10"), event("in_service", "2024-05-01")]
    assert said(due(season, *on, today="2025-07-01")) == ("not_required", None)
    on.append(event("in_service", "2025-05-03"))
    assert said(due(season, *on, today="2025-07-01")) == ("due", "2025-05-03")
    assert said(due(season, *on, today="2026-02-01")) == ("not_required", None)
    on.append(passed("2025-04-30"))
    assert said(due(season, *on, today="2025-07-01")) == ("not_required", None)


def test_a_failure_of_this_year_is_due_again_and_one_of_a_year_not_used_rests():
    season, bad = rule("turned_on"), failed("2025-06-26")
    assert said(due(season, bad, today="2025-07-01")) == ("due", "2025-06-26")
    assert said(due(season, bad)) == ("due", "2025-06-26")
    assert said(due(season, bad, today="2026-07-01")) == ("not_required", None)


def test_a_test_may_have_to_come_before_the_water_is_turned_on():
    first = rule("turned_on", before_service=True)
    last_year = passed("2024-05-10")
    assert said(due(first, last_year, today="2025-03-01")) == ("before_service", None)
    planned = event("in_service", "2025-04-20")
    found = due(first, last_year, planned, today="2025-03-01")
    assert said(found) == ("before_service", "2025-04-20")
    done = due(first, passed("2025-03-30"), planned, today="2025-04-01")
    assert said(done) == ("not_required", None)


@pytest.mark.parametrize(
    ("back", "expected"),
    [
        ("2025-01-20", ("not_required", None)),
        ("2025-01-21", ("before_service", "2025-01-21")),
        ("2025-04-10", ("before_service", "2025-04-10")),
    ],
)
def test_idle_for_more_than_three_months_means_longer_than_the_day(back, expected):
    idle = rule("idle", period=Period(3, "months"), before_service=True)
    used = event("last_used", "2024-10-20")
    assert said(due(idle, used, event("in_service", back))) == expected
    state = "before_service" if expected[1] else "not_required"
    assert said(due(idle, used, today=back)) == (state, None)
    done = due(idle, used, passed("2025-03-01"), event("in_service", back))
    assert said(done) == ("not_required", None)
    too_early = due(idle, used, passed("2025-01-20"), event("in_service", back))
    assert said(too_early) == expected


def test_a_failed_test_brings_the_next_forward_and_never_counts_as_done():
    before = passed("2024-05-20")
    assert said(due(YEARLY, before, failed("2025-03-01"))) == ("due", "2025-03-01")
    late = due(YEARLY, before, failed("2025-06-01"))
    assert said(late) == ("due", "2025-05-20")
    fixed = due(YEARLY, before, failed("2025-03-01"), event("repaired", "2025-03-04"))
    assert said(fixed) == ("due", "2025-03-04")
    mended_before = [event("repaired", "2025-02-28"), failed("2025-03-01")]
    assert said(due(YEARLY, before, *mended_before)) == ("due", "2025-03-01")
    found = due(YEARLY, before, failed("2025-03-01"), passed("2025-03-05"))
    assert said(found) == ("due", "2026-03-05")


def test_a_test_that_could_not_be_judged_changes_nothing():
    for result in ("incomplete", "not_tested"):
        unclear = Event("tested", day("2025-03-01"), result=result)
        found = due(YEARLY, passed("2024-05-20"), unclear)
        assert said(found) == ("due", "2025-05-20")
        assert found.report_by is None
    asks = rule("installed", report_passed=Deadline(5, "days"))
    looked_at = Event("inspected", day("2025-05-16"), result="passed")
    assert due(asks, looked_at).report_by is None


def test_deadlines_follow_the_last_test_and_name_their_own_rule():
    slow = rule("installed", "slow", report_failed=Deadline(30, "days"))
    quick = rule(
        "anniversary",
        "quick",
        period=Period(1, "years"),
        report_failed=Deadline(24, "hours"),
        repair_failed=Deadline(5, "business_days"),
    )
    bad = failed("2025-05-16")
    found = due([slow, quick], event("installed", "2020-01-01"), bad)
    assert found.report_by == datetime(2025, 5, 17, 12, tzinfo=UTC)
    assert found.report_rule == found.repair_rule == RuleRef("quick", 1)
    assert found.repair_by == day("2025-05-23")
    assert found.rule == RuleRef("slow", 1)
    mended = due([slow, quick], bad, event("repaired", "2025-05-17"))
    assert mended.repair_by is None
    assert mended.report_by == datetime(2025, 5, 17, 12, tzinfo=UTC)


def test_hours_from_a_date_alone_end_with_the_last_day_that_is_in_time():
    asks = rule("installed", report_passed=Deadline(24, "hours"))
    assert due(asks, passed("2025-05-16")).report_by == day("2025-05-16")
    asks = rule("installed", report_passed=Deadline(72, "hours"))
    assert due(asks, passed("2025-05-16")).report_by == day("2025-05-18")


def test_a_test_late_at_night_has_the_date_of_the_site():
    night = datetime(2027, 4, 1, 3, tzinfo=UTC)
    late = events.tested(night, "America/Denver", "passed")
    assert late.on == day("2027-03-31")
    found = due(rule("installed", report_passed=Deadline(24, "hours")), late)
    assert found.report_by.isoformat() == "2027-04-01T21:00:00-06:00"


def test_without_rules_or_without_one_that_applies_the_answer_says_so():
    nothing = next_due([], Facts(), [], None)
    assert said(nothing) == ("due", None)
    assert nothing.rule is None
    assert "No rule is chosen" in nothing.why
    dc_only = rule("installed", limits=Limits(kinds=frozenset({"DC"})))
    silent = next_due([dc_only], Facts(kind="RP"), [], None)
    assert said(silent) == ("due", None)
    assert silent.rule is None
    unknown = due(rule("interval_not_known"), passed("2025-05-16"))
    assert said(unknown) == ("due", None)
    assert "ask the authority" in unknown.why


def test_all_answers_stand_in_order_of_what_comes_first():
    rules = [
        rule("repaired", "nothing"),
        rule("interval_not_known", "unknown"),
        rule("idle", "idle", period=Period(1, "months")),
        YEARLY,
    ]
    past = [passed("2025-05-16"), event("last_used", "2025-10-01")]
    found = all_due(rules, Facts(), past, day("2026-03-01"))
    assert [each.rule and each.rule.id for each in found] == [
        "yearly",
        "idle",
        "unknown",
        "nothing",
    ]
