"""Own rules are added and superseded, never edited; history keeps its versions."""

from datetime import UTC, date, datetime, timedelta

import pytest

from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.engine.errors import InputError
from maintenance.models import OwnRule
from maintenance.services.backflow.assembly_page import assembly_record
from maintenance.services.backflow.own_rules import (
    add_rule,
    place_key,
    supersede_rule,
)
from maintenance.services.backflow.rule_table import rule_table
from maintenance.services.errors import ConflictError, NotFoundError
from tests.services.backflow.field_tests import SITE, signed
from tests.services.backflow.register_cases import NOON, due_of, state

ZONE = "America/Denver"
CELLS = {
    "place": "washington",
    "place_name": "Washington (state)",
    "trigger": "anniversary",
    "period": "6 months",
    "source": "letter of the water office, 3 Nov 2026",
    "checked": "2026-11-19",
}
YEARLY = RuleRef("washington-yearly", 1)


def add(account, name="Twice a year", now=NOON, **cells):
    return add_rule(account, name=name, cells=CELLS | cells, now=now, actor="Ada")


def supersede(account, ref, now=NOON, *, ended=False, **cells):
    return supersede_rule(
        account, ref=ref, cells=CELLS | cells, ended=ended, now=now, actor="Ada"
    )


def counting(account, day):
    rules = rule_table(account).of_assembly("washington", "", day, ZONE)
    return [str(rule.ref) for rule in rules if rule.trigger == "anniversary"]


def test_an_added_rule_counts_from_its_day_and_decides_by_name(office):
    state(office, place="washington")
    signed(office)
    assert str(add(office)) == "own-twice-a-year/1"
    today = date(2026, 11, 20)
    assert counting(office, today) == ["washington-yearly/1", "own-twice-a-year/1"]
    assert counting(office, today - timedelta(days=1)) == ["washington-yearly/1"]
    line = due_of(office)
    assert (str(line.rule.ref), line.due) == (
        "own-twice-a-year/1",
        date(2026, 10, 15),
    )


def test_a_shipped_rule_is_superseded_by_one_of_the_account(office, stranger):
    ref = supersede(office, YEARLY, period="3 years")
    assert str(ref) == "own-washington-yearly/1"
    assert counting(office, date(2026, 11, 20)) == ["own-washington-yearly/1"]
    assert counting(office, date(2026, 11, 19)) == ["washington-yearly/1"]
    assert counting(stranger, date(2026, 11, 20)) == ["washington-yearly/1"]
    shown = rule_table(office).versions("washington-yearly")
    assert [str(line.rule.ref) for line in shown] == [str(YEARLY), str(ref)]
    assert shown[0].rule.superseded_by == ref


def test_versions_follow_each_other_and_stand_side_by_side(office):
    first = add(office, now=NOON - timedelta(days=10))
    second = supersede(office, first, period="4 months")
    assert str(second) == "own-twice-a-year/2"
    shown = rule_table(office).versions("own-twice-a-year")
    assert [line.rule.period and line.rule.period.words for line in shown] == [
        "6 months",
        "4 months",
    ]
    assert counting(office, date(2026, 11, 15))[-1] == "own-twice-a-year/1"
    assert counting(office, date(2026, 11, 20))[-1] == "own-twice-a-year/2"


def test_a_rule_can_end_and_come_back(office):
    ended = supersede(office, YEARLY, ended=True, note="by-law repealed")
    assert counting(office, date(2026, 11, 20)) == []
    supersede(office, ended)
    assert counting(office, date(2026, 11, 20)) == ["own-washington-yearly/2"]


def test_a_version_is_superseded_once(office):
    supersede(office, YEARLY, period="2 years")
    with pytest.raises(ConflictError, match="own-washington-yearly/1"):
        supersede(office, YEARLY, period="3 years")
    assert OwnRule.objects.count() == 1


def test_a_name_is_given_once(office, stranger):
    add(office)
    with pytest.raises(ConflictError, match="already"):
        add(office, name="Twice  a YEAR!")
    add(stranger)


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"period": "often"}, "period"),
        ({"period": ""}, "period"),
        ({"trigger": "full moon"}, "trigger"),
        ({"source": ""}, "source"),
        ({"checked": "yesterday"}, "checked"),
        ({"report_failed": "soon"}, "report_failed"),
        ({"size_up_to_m": "big"}, "size_up_to_m"),
        ({"note": "two\nlines"}, "note"),
        ({"note": "x" * 501}, "note"),
    ],
)
def test_what_cannot_be_read_is_refused_at_its_column(office, cells, column):
    with pytest.raises(InputError) as refusal:
        add(office, **cells)
    assert refusal.value.input == column
    assert "line" not in str(refusal.value).split(":")[0]
    assert not OwnRule.objects.exists()


def test_a_rule_that_is_not_there_is_not_superseded(office, stranger):
    ref = add(office)
    with pytest.raises(NotFoundError):
        supersede(stranger, ref)
    with pytest.raises(NotFoundError):
        supersede(office, RuleRef("washington-yearly", 7))


def test_a_place_of_ones_own_is_offered_once_a_rule_names_it(office):
    key = place_key("Quillbend (town)")
    add(office, place=key, place_name="Quillbend (town)")
    assert (key, "Quillbend (town)") in rule_table(office).places
    state(office, place=key)
    assert due_of(office).rule.place == key


def test_a_test_keeps_the_version_that_asked_for_it_in_its_time(office):
    state(office, place="washington")
    first = signed(office)
    supersede(office, YEARLY, now=datetime(2027, 1, 10, tzinfo=UTC), period="1 month")
    second = signed(office, now=datetime(2027, 4, 20, 16, tzinfo=UTC))
    record = assembly_record(
        office, site_key=SITE, link="B1", now=datetime(2027, 5, 1, tzinfo=UTC)
    )
    then = record.decided
    assert str(then[first.pk].due.rule) == "washington-installed/1"
    assert str(then[second.pk].due.rule) == "own-washington-yearly/1"
    assert then[second.pk].due.due == date(2026, 5, 15)
    supersede(
        office,
        RuleRef("own-washington-yearly", 1),
        now=datetime(2027, 5, 2, tzinfo=UTC),
        period="9 years",
    )
    again = assembly_record(
        office, site_key=SITE, link="B1", now=datetime(2027, 5, 3, tzinfo=UTC)
    )
    assert _dues(again) == _dues(record)
    assert again.due.due == date(2036, 4, 20)


def _dues(record):
    return {test: decision.due for test, decision in record.decided.items()}
