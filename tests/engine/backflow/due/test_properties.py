"""What holds for any rules and any events."""

from datetime import date, timedelta

from hypothesis import given, settings, strategies as st

from maintenance.engine.backflow.due.events import Event, in_order
from maintenance.engine.backflow.due.facts import Facts, Use
from maintenance.engine.backflow.due.next_due import all_due, next_due
from maintenance.engine.backflow.due.table import shipped_rules
from tests.engine.backflow.due.made_rules import rule

SOME_RULES = (
    *shipped_rules(),
    rule("frozen", "frozen"),
    rule("removed", "removed"),
    rule("odd_years", "odd"),
    rule("fixed_dates", "leap", dates=((2, 29), (10, 15)), counts_from_days=40),
    rule("reinstalled", "bench", before_service=True),
)
KINDS = (
    "installed",
    "inspected",
    "overhauled",
    "repaired",
    "relocated",
    "removed",
    "reinstalled",
    "frozen",
    "incident",
    "last_used",
    "in_service",
)
DAYS = st.dates(date(2019, 1, 1), date(2029, 12, 31))
YES_NO = st.sampled_from((None, True, False))
RESULTS = st.sampled_from(("passed", "failed", "incomplete", "not_tested"))
EVENTS = st.lists(
    st.builds(Event, st.sampled_from(KINDS), DAYS)
    | st.builds(lambda on, result: Event("tested", on, None, result), DAYS, RESULTS),
    max_size=8,
)
RULES = st.lists(st.sampled_from(SOME_RULES), min_size=1, max_size=5, unique=True)
FACTS = st.builds(
    Facts,
    kind=st.sampled_from((None, "RP", "DC", "PVB", "AVB")),
    hazard=st.sampled_from((None, "low", "moderate", "high")),
    size_m=st.sampled_from((None, 0.019, 0.0254, 0.03175)),
    use=st.builds(Use, YES_NO, YES_NO, YES_NO),
    months_used=st.sampled_from((None, 5, 6, 12)),
)
TODAY = st.none() | DAYS


def end(found):
    return found.due or date.max


def passed(on):
    return Event("tested", on, result="passed")


@settings(max_examples=300, deadline=None)
@given(RULES, FACTS, EVENTS, DAYS, st.integers(1, 900), TODAY)
def test_a_later_pass_never_gives_an_earlier_date(
    rules, facts, events, on, later, today
):
    early = next_due(rules, facts, [*events, passed(on)], today)
    after = next_due(rules, facts, [*events, passed(on + timedelta(days=later))], today)
    assert end(after) >= end(early)


@settings(max_examples=200, deadline=None)
@given(RULES, st.sampled_from(SOME_RULES), FACTS, EVENTS, TODAY)
def test_one_rule_more_never_puts_the_date_off(rules, more, facts, events, today):
    with_it = next_due([*rules, more], facts, events, today)
    assert end(with_it) <= end(next_due(rules, facts, events, today))


@settings(max_examples=200, deadline=None)
@given(RULES, FACTS, EVENTS, TODAY)
def test_what_is_not_required_has_no_date_and_every_answer_a_reason(
    rules, facts, events, today
):
    for found in all_due(rules, facts, events, today):
        assert found.state != "not_required" or found.due is None
        assert found.why.endswith(".")
        assert found.rule is None or found.rule in {each.ref for each in rules}


@settings(max_examples=150, deadline=None)
@given(RULES, FACTS, EVENTS, TODAY)
def test_what_is_not_known_never_puts_the_date_off(rules, facts, events, today):
    unknown = Facts(use=Use(None, None, None))
    found = next_due(rules, unknown, events, today)
    assert end(found) <= end(next_due(rules, facts, events, today))


@settings(max_examples=300, deadline=None)
@given(RULES, FACTS, EVENTS, TODAY, st.randoms(use_true_random=False))
def test_the_order_in_which_days_are_entered_does_not_matter(
    rules, facts, events, today, chance
):
    days = {event.on: event for event in events}
    kept = list(in_order(days.values()))
    mixed = list(kept)
    chance.shuffle(mixed)
    first = all_due(rules, facts, kept, today)
    assert first == all_due(rules, facts, mixed, today)


@settings(max_examples=200, deadline=None)
@given(RULES, FACTS, EVENTS, TODAY)
def test_the_winner_is_one_of_all_answers_and_no_date_is_earlier(
    rules, facts, events, today
):
    winner = next_due(rules, facts, events, today)
    answers = all_due(rules, facts, events, today)
    assert end(winner) == min(end(each) for each in answers)
    assert (winner.rule, winner.why) in {(each.rule, each.why) for each in answers}
