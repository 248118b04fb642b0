"""The rules that ship, and rules as rows: versions, sources, refusals, round trip."""

import re
from dataclasses import replace
from datetime import date

import pytest

from maintenance.engine.backflow.due.deadline import Deadline
from maintenance.engine.backflow.due.facts import (
    USE_WORDS,
    Facts,
    Use,
    nominal_size_m,
    parse_use,
)
from maintenance.engine.backflow.due.next_due import all_due, next_due
from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS, plain_rule
from maintenance.engine.backflow.due.rows import COLUMNS, read_rules, rules_csv
from maintenance.engine.backflow.due.rule import Limits, RuleRef, applies
from maintenance.engine.backflow.due.table import (
    find_rule,
    in_force,
    rules_cited,
    rules_of_place,
    shipped_rules,
)
from maintenance.engine.calendar.anchors import Period
from maintenance.engine.errors import InputError
from tests.engine.backflow.due.made_rules import event, passed, rule

RULES = shipped_rules()
CHECKED = date(2026, 11, 25)


def row(**cells):
    base = {
        "id": "my-town-yearly",
        "version": "1",
        "trigger": "anniversary",
        "period": "1 year",
        "source": "letter of the town",
        "checked": "2026-11-25",
    }
    cells = base | cells
    return ",".join(cells.get(name, "") for name in COLUMNS)


def table(*rows):
    return "\n".join([",".join(COLUMNS), *rows]) + "\n"


def test_every_rule_names_its_source_and_when_it_was_checked():
    assert len(RULES) > 60
    for each in RULES:
        assert len(each.source) > 5, each.id
        assert each.checked is not None
        assert each.place
        assert each.place_name
        assert each.id.startswith(f"{each.place}-")


def test_the_ids_are_short_words_of_our_own():
    assert len({each.ref for each in RULES}) == len(RULES)
    for each in RULES:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)+", each.id), each.id


def test_no_row_promises_what_a_date_cannot():
    words = ("compliant", "certified safe", "guarantee", "legal advice")
    text = rules_csv(RULES).lower()
    assert not [word for word in words if word in text]


def test_rules_written_as_rows_are_read_back_the_same():
    assert read_rules(rules_csv(RULES)) == RULES
    made = (
        rule("idle", "a", period=Period(2, "weeks"), checked=CHECKED),
        rule(
            "anniversary",
            "b",
            version=3,
            period=Period(1, "months"),
            limits=Limits(
                kinds=frozenset({"DC", "RP"}),
                hazards=frozenset({"high"}),
                chemicals=False,
                size_up_to_m=nominal_size_m("1-1/4"),
                size_above_m=nominal_size_m("3/8"),
                months_below=6,
            ),
            within=Deadline(1, "days"),
            note='a comma, a "quote"',
            checked=CHECKED,
        ),
    )
    assert read_rules(rules_csv(made)) == made


def test_a_superseded_rule_changes_no_answer_given_under_it():
    old = read_rules(table(row()))
    past = [passed("2025-04-15")]
    answer = next_due(in_force(old), Facts(), past, None)
    assert answer.due == date(2026, 4, 15)
    new = read_rules(
        table(
            row(superseded_by="my-town-yearly/2"),
            row(version="2", period="6 months", checked="2027-01-01"),
        )
    )
    assert next_due(in_force(new), Facts(), past, None).due == date(2025, 10, 15)
    assert answer.rule is not None
    assert next_due(rules_cited(new, [answer.rule]), Facts(), past, None) == answer
    assert find_rule(new, "my-town-yearly").version == 2
    assert find_rule(new, "my-town-yearly/1").version == 1


def test_a_version_that_is_gone_is_missed_by_name():
    with pytest.raises(InputError, match=r"washington-yearly/9.*not in this table"):
        rules_cited(RULES, [RuleRef("washington-yearly", 9)])


def test_a_place_brings_all_its_rules_and_an_account_may_add_one():
    ours = rule("anniversary", "account-quarterly", period=Period(3, "months"))
    washington = rules_of_place(RULES, "washington")
    assert len(washington) == 11
    past = [event("installed", "2025-04-15"), passed("2025-04-15")]
    assembly = Facts(kind="RP")
    found = next_due([*washington, ours], assembly, past, None)
    assert (found.due, found.rule) == (date(2025, 7, 15), ours.ref)
    assert len(all_due(washington, assembly, past, None)) == 6


@pytest.mark.parametrize(
    ("bad", "named"),
    [
        ({"id": "My Town"}, "id: "),
        ({"version": "0"}, "version: "),
        ({"trigger": "sometimes"}, "trigger: "),
        ({"trigger": "fixed_dates"}, "fixed dates are missing"),
        ({"trigger": "fixed_dates", "dates": "02-30"}, "dates: "),
        ({"period": ""}, "needs a period"),
        ({"period": "1 fortnight"}, "period: "),
        ({"source": ""}, "source is empty"),
        ({"checked": "25.11.2026"}, "checked: "),
        ({"kinds": "RP;XX"}, "kinds: "),
        ({"size_up_to_m": "big"}, "size_up_to_m: "),
        ({"within": "soon"}, "within: "),
        ({"report_failed": "0 hours"}, "report_failed: "),
        ({"before_service": "perhaps"}, "before_service: "),
        ({"mark": "sure"}, "mark: "),
        ({"superseded_by": "my-town-yearly"}, "superseded_by: "),
    ],
)
def test_a_row_that_cannot_be_is_refused_by_line_and_column(bad, named):
    with pytest.raises(InputError, match="rules, line 3: ") as caught:
        read_rules(table(row(), row(**({"version": "2"} | bad))))
    assert named in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_table_that_does_not_hang_together_is_refused():
    with pytest.raises(InputError, match="first line"):
        read_rules("id,version\n")
    with pytest.raises(InputError, match="stands twice"):
        read_rules(table(row(), row()))
    with pytest.raises(InputError, match="columns"):
        read_rules(table(row() + ",more"))
    with pytest.raises(InputError, match="is not there"):
        read_rules(table(row(superseded_by="my-town-yearly/2")))
    circle = (
        row(superseded_by="my-town-yearly/2"),
        row(version="2", superseded_by="my-town-yearly/1"),
    )
    with pytest.raises(InputError, match="supersede each other"):
        read_rules(table(*circle))


def test_a_rule_is_left_out_only_by_what_is_known():
    small = rule("installed", limits=Limits(size_up_to_m=nominal_size_m("1")))
    large = rule("installed", limits=Limits(size_above_m=nominal_size_m("1 in")))
    for size, expected in (
        (None, (True, True)),
        ("1", (True, False)),
        ("25 mm", (True, False)),
        ("1-1/4", (False, True)),
    ):
        known = Facts(size_m=None if size is None else nominal_size_m(size))
        assert (applies(small, known), applies(large, known)) == expected
    part = rule("installed", limits=Limits(months_below=6))
    whole = rule("installed", limits=Limits(months_from=6))
    for months, expected in ((5, (True, False)), (6, (False, True))):
        facts = Facts(months_used=months)
        assert (applies(part, facts), applies(whole, facts)) == expected


def test_an_assembly_on_irrigation_is_not_under_the_rule_for_other_uses():
    other = find_rule(RULES, "calgary-yearly")
    assert not applies(other, Facts())
    assert applies(other, Facts(use=parse_use("other")))
    assert not applies(other, replace(Facts(), use=Use()))


def test_uses_and_plain_intervals_are_read_as_offered():
    assert [parse_use(words) for words in USE_WORDS[:2]] == [
        Use(True, True, False),
        Use(True, True, True),
    ]
    assert parse_use(USE_WORDS[-1]) == Use(irrigation=False)
    for words in PLAIN_WORDS:
        found = plain_rule(words)
        assert found is not None
        assert RuleRef.parse(str(found.ref)) == found.ref
    assert plain_rule("every 0 months") is None
    assert plain_rule("every 1.5 years") is None


@pytest.mark.parametrize("text", ["", "0", "0 in", "1/0", "big", "2000 mm", "-1"])
def test_a_size_that_cannot_be_is_refused(text):
    with pytest.raises(InputError, match="no nominal size"):
        nominal_size_m(text)


def test_an_id_with_a_slip_is_answered_with_the_nearest():
    with pytest.raises(InputError, match="washington-yearly") as caught:
        find_rule(RULES, "washington-yearley")
    assert caught.value.input == "rule"
