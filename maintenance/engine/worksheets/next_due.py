"""Worksheet on the next due date of a backflow assembly."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Final, get_args

from maintenance.engine.backflow.due.facts import USE_WORDS
from maintenance.engine.backflow.due.next_due import Due, next_due
from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS, plain_rule
from maintenance.engine.backflow.due.rule import Rule, applies
from maintenance.engine.backflow.due.table import find_rule, in_force, shipped_rules
from maintenance.engine.backflow.verdict import Result
from maintenance.engine.calendar.regions import read_holidays
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.next_due_inputs import (
    Moment,
    events_of,
    facts_of,
    interval_not_known,
    read_moment,
    with_siblings,
)
from maintenance.engine.worksheets.next_due_notes import Case, notes

_RESULTS: Final = tuple(word for word in get_args(Result) if word != "not_tested")


def _next_due(  # noqa: PLR0913  (one argument for each input)
    *,
    rule: str,
    tested: str | None,
    result: Result,
    installed: str | None,
    reinstalled: str | None,
    last_used: str | None,
    in_service: str | None,
    size: str | None,
    use: str | None,
    holidays: str | None,
) -> Outcome:
    named = plain_rule(rule) or find_rule(shipped_rules(), rule)
    siblings = with_siblings(named)
    moment = None if tested is None else read_moment("tested", tested)
    days = {
        "installed": installed,
        "last_used": last_used,
        "reinstalled": reinstalled,
        "in_service": in_service,
    }
    facts = facts_of(named, size, use)
    due = next_due(
        siblings,
        facts,
        events_of(named, days, moment, result),
        None,
        read_holidays(holidays or ""),
    )
    winner = next((each for each in siblings if each.ref == due.rule), named)
    if _lacks_a_start(due, winner):
        raise InputError(
            f'tested is missing for "{named.id}"; give the last test that was passed, '
            'such as tested="2025-04-15", or the day of installation',
            input="tested",
        )
    given = {name for name, text in days.items() if text is not None}
    given |= {
        name
        for name, text in (("size", size), ("use", use), ("holidays", holidays))
        if text is not None
    }
    case = Case(
        named=named,
        winner=winner,
        rules=tuple(each for each in siblings if applies(each, facts)),
        candidates=siblings,
        due=due,
        given=frozenset(given),
        facts=facts,
        use_text=use or "",
        result=result if moment else "",
        interval_not_known=interval_not_known(named),
        has_time=moment is not None and moment.has_time,
        has_offset=moment is not None and moment.has_offset,
    )
    return Outcome(
        _outputs(due, winner, moment),
        warnings=notes(case),
        unused=frozenset() if moment else frozenset({"result"}),
    )


def _lacks_a_start(due: Due, winner: Rule) -> bool:
    return (
        due.state == "due"
        and due.due is None
        and due.rule is not None
        and winner.trigger != "interval_not_known"
    )


def _outputs(due: Due, winner: Rule, moment: Moment | None) -> dict[str, str | None]:
    def text(by: date | datetime | None) -> str | None:
        if isinstance(by, datetime):
            plain = by if moment and moment.has_offset else by.replace(tzinfo=None)
            return plain.isoformat(timespec="minutes")
        return by.isoformat() if by else None

    place = f"{winner.place_name}: " if winner.place_name else ""
    return {
        "state": due.state,
        "due": text(due.due),
        "report_by": text(due.report_by),
        "repair_by": text(due.repair_by),
        "rule": winner.id,
        "why": f"{place}{due.why}",
    }


def _ids() -> Iterable[str]:
    return (rule.id for rule in in_force(shipped_rules()))


def _date_input(name: str, label: str) -> Input:
    return Input(
        name=name, label=label, kind="text", optional=True, such_as="2025-04-15"
    )


_NEXT_DUE = Worksheet(
    name="next_due",
    title="Next test of a backflow assembly",
    purpose="Next due date of a test, its reason, and the deadlines for report and repair.",
    method=(
        "the rule and the others of its place; each counts from its own anchor, never "
        "chained, clamped to the month's end; the earliest date wins; day after the test "
        "is day 1"
    ),
    inputs=(
        Input(
            name="rule",
            label="an interval, or the id of a rule",
            kind="text",
            choices=(*PLAIN_WORDS, *_ids()),
            help="Every N months, every N years, odd years too. An id brings in the other "
            "rules of its place.",
        ),
        Input(
            name="tested",
            label="date of the last test, or its date and time",
            kind="text",
            optional=True,
            such_as="2025-04-15 14:30",
            help="The time counts where a deadline runs in hours.",
        ),
        Input(
            name="result",
            label="its result",
            kind="choice",
            choices=_RESULTS,
            default="passed",
            default_origin="worksheet convention",
        ),
        _date_input("installed", "date of installation"),
        _date_input("reinstalled", "date on which it was put back"),
        _date_input("last_used", "last day of use"),
        _date_input("in_service", "date on which it is turned on again"),
        Input(
            name="size",
            label="nominal size",
            kind="text",
            optional=True,
            such_as="1-1/4",
            help="In inches, or with mm.",
        ),
        Input(
            name="use",
            label="what the water is used for",
            kind="text",
            optional=True,
            choices=USE_WORDS,
            help="Chemicals are those fed into the water.",
        ),
        Input(
            name="holidays",
            label="holidays between: dates or regions",
            kind="text",
            optional=True,
            such_as="2025-05-26, US-CO",
            help="For deadlines in business days.",
        ),
    ),
    outputs=(
        Output(key="state", label="state", kind="text"),
        Output(key="due", label="due", kind="text"),
        Output(key="report_by", label="report by", kind="text"),
        Output(key="repair_by", label="repair by", kind="text"),
        Output(key="rule", label="by rule", kind="text"),
        Output(key="why", label="why", kind="text"),
    ),
    sources=(
        "rules of states, towns and utilities, each with its own source",
        "clamping at the month's end and counting of business days: project choices",
    ),
    function=_next_due,
    cautions=(
        "Rules change, and those that ship are a selection: the local authority decides.",
    ),
)

WORKSHEETS = (_NEXT_DUE,)
