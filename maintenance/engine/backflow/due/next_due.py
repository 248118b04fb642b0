"""The next due date of an assembly: the earliest of all rules that apply, by name.

Nothing here says that an assembly meets a law: the dates follow from the rules given,
and the local authority decides.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final

from maintenance.engine.backflow.due.answer import Answer, State
from maintenance.engine.backflow.due.by_event import after_event, idle, turned_on
from maintenance.engine.backflow.due.by_time import anniversary, fixed_dates, parity
from maintenance.engine.backflow.due.deadline import Deadline, deadline_after
from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.history import History, history_of
from maintenance.engine.backflow.due.rule import (
    AFTER_EVENT,
    Duty,
    Rule,
    RuleRef,
    applies,
)
from maintenance.engine.calendar.business_days import Holidays


@dataclass(frozen=True, slots=True)
class Due:
    """What is due next, by which version of which rule, and why.

    ``due`` is a date at the site, never given for ``not_required``, and not for
    ``before_service`` until the day of return is known. ``report_by`` and ``repair_by``
    follow from the last test; each names its own rule.
    """

    state: State
    due: date | None
    report_by: date | datetime | None
    repair_by: date | datetime | None
    rule: RuleRef | None
    why: str
    duty: Duty = "test"
    report_rule: RuleRef | None = None
    repair_rule: RuleRef | None = None


def next_due(
    rules: Iterable[Rule],
    facts: Facts,
    events: Iterable[Event],
    today: date | None,
    holidays: Holidays = frozenset(),
) -> Due:
    """Return what is due next.

    Parameters
    ----------
    rules : iterable of Rule
        The rules of the place, in the versions to be used [rules].
    facts : Facts
        What is known of the assembly [-].
    events : iterable of Event
        What happened to it and what is planned [events].
    today : date or None
        Date at the site; None asks about no year, only for the next date [date].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    Due
        The earliest date of all rules that apply, with the rule that gave it; the
        earliest deadlines for report and repair, whichever rule gave them [date].

    Raises
    ------
    InputError
        If a date leaves the calendar.

    Examples
    --------
    >>> from maintenance.engine.backflow.due.plain_rules import plain_rule
    >>> passed = Event("tested", date(2024, 2, 29), result="passed")
    >>> found = next_due([plain_rule("yearly")], Facts(), [passed], None)
    >>> str(found.due), str(found.rule)
    ('2025-02-28', 'yearly/1')
    """
    found = all_due(rules, facts, events, today, holidays)
    report = min((due for due in found if due.report_by), key=_report, default=None)
    repair = min((due for due in found if due.repair_by), key=_repair, default=None)
    return replace(
        found[0],
        report_by=report.report_by if report else None,
        report_rule=report.rule if report else None,
        repair_by=repair.repair_by if repair else None,
        repair_rule=repair.rule if repair else None,
    )


def all_due(
    rules: Iterable[Rule],
    facts: Facts,
    events: Iterable[Event],
    today: date | None,
    holidays: Holidays = frozenset(),
) -> tuple[Due, ...]:
    """Return what each rule that applies says, the earliest date first.

    Parameters
    ----------
    rules : iterable of Rule
        The rules of the place, in the versions to be used [rules].
    facts : Facts
        What is known of the assembly [-].
    events : iterable of Event
        What happened to it and what is planned [events].
    today : date or None
        Date at the site; None asks about no year, only for the next date [date].
    holidays : container of date
        Holidays of the place [dates].

    Returns
    -------
    tuple of Due
        At least one: after the dated ones come those before service without a day, those
        whose date is not known, and what is not required [dates].

    Raises
    ------
    InputError
        If a date leaves the calendar.
    """
    given, happened = tuple(rules), tuple(events)
    if not given:
        why = "No rule is chosen for this assembly: choose those of its place."
        return (Due("due", None, None, None, None, why),)
    found = [
        _due(rule, history_of(happened, rule.duty), today, holidays)
        for rule in given
        if applies(rule, facts)
    ]
    if not found:
        why = "None of the rules given speaks of such an assembly: ask the authority."
        return (Due("due", None, None, None, None, why),)
    return tuple(sorted(found, key=_earliest_first))


def _due(rule: Rule, history: History, today: date | None, holidays: Holidays) -> Due:
    answer = _answer(rule, history, today, holidays)
    report = repair = None
    last = _last_judged(history) if rule.duty == "test" else None
    if last is not None:
        passed = last.result == "passed"
        report = _after(
            rule.report_passed if passed else rule.report_failed, last, holidays
        )
        if not passed and history.repaired is None:
            repair = _after(rule.repair_failed, last, holidays)
    return Due(
        answer.state,
        answer.due,
        report,
        repair,
        rule.ref,
        answer.why,
        rule.duty,
        rule.ref if report else None,
        rule.ref if repair else None,
    )


def _answer(
    rule: Rule, history: History, today: date | None, holidays: Holidays
) -> Answer:
    if rule.trigger in AFTER_EVENT:
        return after_event(rule, history, holidays)
    if rule.trigger == "idle":
        return idle(rule, history, today)
    if history.removed is not None:
        return _resting(rule, history, history.removed)
    answer = _by_calendar(rule, history, today)
    failed = history.failed
    if failed is None or (
        rule.trigger == "turned_on" and not _this_year(failed, today)
    ):
        return answer
    return _earlier(answer, _again(rule, history, failed, holidays))


def _by_calendar(rule: Rule, history: History, today: date | None) -> Answer:
    match rule.trigger:
        case "anniversary":
            return anniversary(rule, history)
        case "even_years" | "odd_years":
            return parity(rule, history, today)
        case "fixed_dates":
            return fixed_dates(rule, history, today)
        case "turned_on":
            return turned_on(rule, history, today)
        case _:
            why = "How often is not known from the source read: ask the authority."
            return Answer("due", None, why)


def _resting(rule: Rule, history: History, removed: Event) -> Answer:
    why = f"Removed on {removed.on} and not put back: no date of this rule runs out."
    if rule.trigger == "anniversary":
        kept = anniversary(rule, history).due
        why += f" Put back, {kept} holds again." if kept else ""
    return Answer("not_required", None, why)


def _again(rule: Rule, history: History, failed: Event, holidays: Holidays) -> Answer:
    """After a failure another test is owed, whatever the calendar says."""
    repaired = history.repaired
    if repaired is not None:
        why = f"Failed on {failed.on}, repaired on {repaired.on}: test again."
        return Answer("due", repaired.on, why)
    due, by = failed.on, ""
    if rule.repair_failed is not None:
        end = _after(rule.repair_failed, failed, holidays)
        due = end.date() if isinstance(end, datetime) else end or due
        by = f" within {rule.repair_failed.words}"
    why = f"Failed on {failed.on}: repair it{by} and test again."
    return Answer("due", due, why)


def _earlier(one: Answer, other: Answer) -> Answer:
    if one.due is not None and other.due is not None and one.due <= other.due:
        return one
    return other


def _this_year(event: Event, today: date | None) -> bool:
    return today is None or event.on.year == today.year


def _last_judged(history: History) -> Event | None:
    judged = [
        event
        for event in history.events
        if event.kind == "tested" and event.result in ("passed", "failed")
    ]
    return judged[-1] if judged else None


def _after(
    deadline: Deadline | None, test: Event, holidays: Holidays
) -> date | datetime | None:
    if deadline is None:
        return None
    return deadline_after(deadline, test.on, test.at, holidays)


_RANK: Final[dict[State, int]] = {"before_service": 0, "due": 1, "not_required": 2}


def _earliest_first(due: Due) -> tuple[int, date, int]:
    if due.due is not None:
        return (0, due.due, _RANK[due.state])
    return (1, date.max, _RANK[due.state])


def _report(due: Due) -> tuple[date, bool, str]:
    return _end(due.report_by)


def _repair(due: Due) -> tuple[date, bool, str]:
    return _end(due.repair_by)


def _end(by: date | datetime | None) -> tuple[date, bool, str]:
    # A date ends after every instant of its day.
    if isinstance(by, datetime):
        return (by.date(), False, by.isoformat())
    return (by or date.max, True, "")
