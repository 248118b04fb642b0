"""Due dates worked out by hand from the rules as they were read.

Each case carries its source. The lengths of the intervals and deadlines are from there;
that a date is clamped at the month's end, and that the day after a test is day 1, are
choices of this project, marked "choice". All dates were computed for the notes of this
project with a calendar, none is printed in a source.
"""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

import pytest

from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts, nominal_size_m, parse_use
from maintenance.engine.backflow.due.next_due import next_due
from maintenance.engine.backflow.due.plain_rules import plain_rule
from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.engine.backflow.due.table import rules_of_place, shipped_rules
from maintenance.engine.calendar.business_days import add_business_days
from maintenance.engine.calendar.regions import region_holidays

pytestmark = pytest.mark.reference

ASSEMBLY = Facts(kind="RP")


@dataclass(frozen=True)
class Case:
    """A case by its number in the notes, its rules, what happened, what is expected."""

    number: str
    source: str
    rules: str
    events: tuple[tuple[str, str], ...]
    expected: dict[str, object]
    facts: Facts = ASSEMBLY
    today: str = ""
    holidays: frozenset[date] = field(default_factory=frozenset)


def day(text):
    return date.fromisoformat(text)


def event(kind, text):
    if kind in ("passed", "failed"):
        at = datetime.fromisoformat(text).replace(tzinfo=UTC) if " " in text else None
        return Event("tested", day(text[:10]), at, kind)
    return Event(kind, day(text))


HAVELOCK = "Havelock NC 51.085"
RESIDENTIAL = parse_use("residential irrigation, no chemicals")
CALGARY = "City of Calgary, cross connections for testers"
WILLOWS = "willowswater.specialdistrict.org"
BEL_AIRE = (("installed", "2025-05-10"), ("passed", "2025-05-10"))

CASES = (
    Case(
        "A11",
        "WAC 246-290-490(7)",
        "washington",
        (
            ("passed", "2025-04-15"),
            ("removed", "2025-10-20"),
            ("reinstalled", "2026-03-28"),
        ),
        {
            "state": "due",
            "due": day("2026-03-28"),
            "rule": RuleRef("washington-reinstalled", 1),
        },
    ),
    Case(
        "A11, while it is stored",
        "WAC 246-290-490(7)",
        "washington",
        (("passed", "2025-04-15"), ("removed", "2025-10-20")),
        {"state": "before_service", "rule": RuleRef("washington-reinstalled", 1)},
        today="2026-02-01",
    ),
    Case(
        "A12",
        "choice",
        "yearly",
        (("passed", "2024-02-29"),),
        {"due": day("2025-02-28"), "rule": RuleRef("yearly", 1)},
    ),
    Case(
        "A13",
        "choice",
        "yearly",
        (("passed", "2023-02-28"),),
        {"due": day("2024-02-28")},
    ),
    Case(
        "A14",
        "Wayland MA 401-9, choice",
        "wayland",
        (("passed", "2025-08-31"),),
        {"due": day("2026-02-28"), "rule": RuleRef("wayland-half-yearly", 1)},
    ),
    Case(
        "A15",
        "N.J.A.C. 7:10-10.4 to 10.6",
        "new-jersey",
        (("passed", "2025-11-30"),),
        {"due": day("2026-02-28")},
    ),
    Case(
        "A16, 1 in",
        HAVELOCK,
        "havelock",
        (("passed", "2025-04-15"),),
        {"due": day("2028-04-15"), "rule": RuleRef("havelock-three-yearly", 1)},
        Facts(kind="PVB", size_m=nominal_size_m("1"), use=RESIDENTIAL),
    ),
    Case(
        "A16, 1-1/4 in",
        HAVELOCK,
        "havelock",
        (("passed", "2025-04-15"),),
        {"due": day("2026-04-15"), "rule": RuleRef("havelock-yearly-larger", 1)},
        Facts(kind="PVB", size_m=nominal_size_m("1-1/4"), use=RESIDENTIAL),
    ),
    Case(
        "A17",
        "belaireks.gov/FAQ.aspx?QID=88",
        "bel-aire",
        BEL_AIRE,
        {"due": day("2026-12-31"), "rule": RuleRef("bel-aire-even-years", 1)},
        today="2026-01-15",
    ),
    Case(
        "A17, none in 2027",
        "belaireks.gov/FAQ.aspx?QID=88",
        "bel-aire",
        (*BEL_AIRE, ("passed", "2026-05-02")),
        {"state": "not_required", "due": None},
        today="2027-04-01",
    ),
    Case(
        "A18",
        WILLOWS,
        "willows",
        (("passed", "2025-05-16"),),
        {"report_by": day("2025-06-02")},
        holidays=frozenset({day("2025-05-26")}),
    ),
    Case(
        "A18, holiday ignored",
        WILLOWS,
        "willows",
        (("passed", "2025-05-16"),),
        {"report_by": day("2025-05-30")},
    ),
    Case(
        "A19",
        WILLOWS,
        "willows",
        (("failed", "2025-05-16 14:30"),),
        {"report_by": datetime(2025, 5, 17, 14, 30, tzinfo=UTC)},
    ),
    Case(
        "A20",
        "Talent OR 13.10.060",
        "talent",
        (("passed", "2025-01-31"),),
        {"report_by": day("2025-03-02")},
    ),
    Case(
        "A21",
        "Talent OR 13.10.060",
        "talent",
        (("passed", "2024-01-31"),),
        {"report_by": day("2024-03-01")},
    ),
    Case(
        "A22",
        CALGARY,
        "calgary",
        (("failed", "2025-06-26"),),
        {"repair_by": day("2025-07-04")},
        holidays=frozenset({day("2025-07-01")}),
    ),
    Case(
        "A24",
        "Ankeny IA code",
        "ankeny",
        (("last_used", "2024-10-20"), ("in_service", "2025-04-10")),
        {"state": "before_service", "due": day("2025-04-10")},
    ),
    Case(
        "A24, not yet idle for long: how often besides is not known",
        "Ankeny IA code",
        "ankeny",
        (("last_used", "2024-10-20"),),
        {"state": "due", "due": None, "rule": RuleRef("ankeny-interval", 1)},
        today="2025-01-20",
    ),
    Case(
        "A25",
        CALGARY,
        "calgary",
        (("passed", "2024-05-10"), ("in_service", "2024-05-01")),
        {"state": "not_required", "due": None},
        today="2025-08-01",
    ),
    Case(
        "A41, nothing happened",
        "WAC 246-290-490(7)",
        "washington",
        (("installed", "2020-05-01"), ("inspected", "2020-05-02")),
        {"state": "not_required", "due": None},
        Facts(kind="AVB"),
        today="2025-08-01",
    ),
    *(
        Case(
            f"A41, {kind}",
            "WAC 246-290-490(7)",
            "washington",
            (("inspected", "2020-05-02"), (kind, "2025-04-02")),
            {
                "state": "due",
                "due": day("2025-04-02"),
                "duty": "inspection",
                "rule": RuleRef(f"washington-avb-{kind}", 1),
            },
            Facts(kind="AVB"),
        )
        for kind in ("installed", "incident", "repaired", "reinstalled", "relocated")
    ),
)


@pytest.mark.parametrize("case", CASES, ids=[case.number for case in CASES])
def test_the_date_is_the_one_worked_out_from_the_rule_as_read(case):
    plain = plain_rule(case.rules)
    rules = [plain] if plain else rules_of_place(shipped_rules(), case.rules)
    assert rules
    events = [event(kind, text) for kind, text in case.events]
    today = day(case.today) if case.today else None
    found = next_due(rules, case.facts, events, today, case.holidays)
    assert {name: getattr(found, name) for name in case.expected} == case.expected


def test_the_reason_of_a24_names_the_day_on_which_three_months_had_passed():
    events = [event("last_used", "2024-10-20"), event("in_service", "2025-04-10")]
    found = next_due(rules_of_place(shipped_rules(), "ankeny"), Facts(), events, None)
    assert "2025-01-20" in found.why


def test_the_holiday_of_a22_is_known_to_its_region():
    failed = [event("failed", "2025-06-26")]
    calgary = rules_of_place(shipped_rules(), "calgary")
    found = next_due(calgary, Facts(), failed, None, region_holidays("CA-AB"))
    assert found.repair_by == day("2025-07-04")


@pytest.mark.parametrize(
    ("holidays", "expected"),
    [(frozenset(), "2025-10-15"), (frozenset({day("2025-10-13")}), "2025-10-16")],
)
def test_a_call_before_digging_leaves_two_whole_business_days(holidays, expected):
    """A23; pages of 811 services: 2 full business days, day of the call not counted."""
    last = add_business_days(day("2025-10-10"), 2, holidays)
    assert last + timedelta(days=1) == day(expected)
