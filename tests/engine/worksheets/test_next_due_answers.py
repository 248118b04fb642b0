"""The worksheet on due dates: which rules it takes, what it notes, what it refuses."""

import pytest

from maintenance.engine.backflow.due.table import in_force, shipped_rules
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.registry import find_worksheet

SHEET = find_worksheet("next_due")


def answer(**inputs):
    return SHEET.answer(inputs)


def noted(**inputs):
    return {warning.code for warning in answer(**inputs).warnings}


@pytest.mark.parametrize(
    ("inputs", "expected"),
    [
        (
            {"rule": "even years", "tested": "2025-05-10"},
            {"due": "2026-12-31", "rule": "even years"},
        ),
        (
            {"rule": "havelock-three-yearly", "tested": "2025-04-15"},
            {"due": "2026-04-15"},
        ),
        (
            {
                "rule": "havelock-three-yearly",
                "tested": "2025-04-15",
                "size": "3/4",
                "use": "residential irrigation",
            },
            {"due": "2028-04-15", "rule": "havelock-three-yearly"},
        ),
        (
            {"rule": "willows-yearly", "tested": "2025-05-16", "result": "failed"},
            {"report_by": "2025-05-17T00:00"},
        ),
        (
            {
                "rule": "willows-yearly",
                "tested": "2025-05-16T14:30-06:00",
                "result": "failed",
            },
            {"report_by": "2025-05-17T14:30-06:00"},
        ),
        (
            {
                "rule": "washington-avb-reinstalled",
                "tested": "2025-04-01",
                "reinstalled": "2026-04-02",
            },
            {"due": "2026-04-02", "rule": "washington-avb-reinstalled"},
        ),
        ({"rule": "calgary-turned-on"}, {"state": "not_required", "due": None}),
        (
            {"rule": "san-marcos-low-three-yearly", "tested": "2025-04-01"},
            {"due": "2028-04-01"},
        ),
        (
            {
                "rule": "ankeny-idle",
                "last_used": "2024-10-20",
                "in_service": "2025-01-20",
            },
            {"state": "not_required", "due": None},
        ),
        (
            {"rule": "florida-two-yearly", "tested": "2025-04-01", "use": "irrigation"},
            {"due": "2027-04-01"},
        ),
        (
            {"rule": "florida-two-yearly", "use": "commercial irrigation"},
            {"state": "due", "due": None, "rule": "florida-two-yearly"},
        ),
        (
            {"rule": "minnesota-overhaul", "tested": "2025-04-01"},
            {"due": "2030-04-01"},
        ),
        (
            {"rule": "wayland-part-year", "tested": "2025-04-01"},
            {"due": "2026-04-01"},
        ),
        (
            {"rule": "boulder-interval", "tested": "2025-04-01"},
            {"state": "due", "due": None},
        ),
    ],
)
def test_an_id_brings_the_rules_of_its_place_and_the_facts_it_speaks_of(
    inputs, expected
):
    outputs = answer(**inputs).outputs
    assert {name: outputs[name] for name in expected} == expected


@pytest.mark.parametrize("rule", [each.id for each in in_force(shipped_rules())])
def test_every_id_that_is_listed_gives_an_answer_with_a_reason(rule):
    assert rule in SHEET.inputs[0].choices
    outputs = answer(
        rule=rule,
        tested="2025-04-15",
        installed="2025-04-01",
        last_used="2025-10-01",
    ).outputs
    assert outputs["state"] in ("due", "not_required", "before_service")
    assert (outputs["state"] == "not_required") <= (outputs["due"] is None)
    assert outputs["why"]


def test_what_was_taken_for_granted_is_noted():
    three = {"rule": "havelock-three-yearly", "tested": "2025-04-15"}
    assert {"size_not_given", "use_not_given"} <= noted(**three)
    told = noted(**three, size="1", use="residential irrigation")
    assert "no_chemicals" in told
    assert not {"size_not_given", "use_not_given"} & told
    full = noted(**three, size="1", use="residential irrigation, no chemicals")
    assert "no_chemicals" not in full
    ten = {"rule": "willows-yearly", "tested": "2025-05-16"}
    assert "no_holidays" in noted(**ten)
    assert "no_holidays" not in noted(**ten, holidays="2025-05-26")
    assert "no_time" in noted(**ten, result="failed")
    late = {"rule": "willows-yearly", "result": "failed"}
    assert "no_offset" in noted(**late, tested="2025-05-16 14:30")
    exact = noted(**late, tested="2025-05-16 14:30-06:00")
    assert not {"no_offset", "no_time"} & exact
    assert "doubtful_source" in noted(
        rule="united-kingdom-rp-yearly", tested="2025-04-15"
    )
    idle = {"rule": "ankeny-idle", "last_used": "2024-10-20"}
    assert "interval_not_known" in noted(**idle, in_service="2024-12-01")
    other = noted(rule="calgary-yearly", tested="2025-04-15", use="irrigation")
    assert "not_this_rule" in other


def test_what_no_rule_asks_for_is_named_as_left_out():
    given = answer(
        rule="yearly", tested="2025-04-15", reinstalled="2026-03-28", size="1"
    )
    (left,) = [each for each in given.warnings if each.code == "left_out"]
    assert left.text == "reinstalled and size: no rule used here asks for this."
    assert "left_out" not in noted(
        rule="washington-yearly", tested="2025-04-15", reinstalled="2026-03-28"
    )


def test_a_result_without_a_test_is_not_shown_as_assumed():
    idle = answer(rule="ankeny-idle", last_used="2024-10-20", in_service="2025-04-10")
    assert "result" not in {given.name for given in idle.inputs}


@pytest.mark.parametrize(
    ("inputs", "named"),
    [
        ({"rule": "yearly"}, "tested"),
        ({"rule": "washington"}, "rule"),
        ({"rule": "every 0 months", "tested": "2025-04-15"}, "rule"),
        ({"rule": "yearly", "tested": "15.4.2025"}, "tested"),
        ({"rule": "yearly", "tested": "1825-04-15"}, "tested"),
        ({"rule": "yearly", "tested": "2025-02-29"}, "tested"),
        ({"rule": "yearly", "installed": "2025-04-15 14:30"}, "installed"),
        ({"rule": "yearly", "tested": "2025-04-15", "result": "safe"}, "result"),
    ],
)
def test_what_cannot_be_answered_is_refused_at_its_input(inputs, named):
    with pytest.raises(InputError) as caught:
        answer(**inputs)
    assert caught.value.input == named
    assert "\n" not in str(caught.value)
