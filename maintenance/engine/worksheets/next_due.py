"""Worksheet on the next due date of a backflow assembly."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Final, get_args

from maintenance.engine.backflow.due.events import Event, EventKind
from maintenance.engine.backflow.due.facts import (
    USE_WORDS,
    Facts,
    Use,
    nominal_size_m,
    parse_use,
)
from maintenance.engine.backflow.due.next_due import Due, next_due
from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS, plain_rule
from maintenance.engine.backflow.due.rule import Rule, applies
from maintenance.engine.backflow.due.table import (
    find_rule,
    in_force,
    rules_of_place,
    shipped_rules,
)
from maintenance.engine.backflow.readings import DEVICES
from maintenance.engine.backflow.verdict import Result
from maintenance.engine.calendar.regions import read_holidays
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.next_due_notes import Case, notes

_YEARS: Final = (1900, 2199)
_RESULTS: Final = tuple(word for word in get_args(Result) if word != "not_tested")


@dataclass(frozen=True, slots=True)
class _Moment:
    """A test as written: its date, its instant, and whether it has an offset."""

    on: date
    at: datetime
    has_time: bool
    has_offset: bool


def _next_due(  # noqa: PLR0913  (one argument for each input)
    *,
    rule: str,
    tested: str | None,
    result: str,
    installed: str | None,
    reinstalled: str | None,
    last_used: str | None,
    in_service: str | None,
    size: str | None,
    use: str | None,
    holidays: str | None,
) -> Outcome:
    named = plain_rule(rule) or find_rule(shipped_rules(), rule)
    siblings = _with_siblings(named)
    moment = None if tested is None else _moment("tested", tested)
    days = {
        "installed": installed,
        "last_used": last_used,
        "reinstalled": reinstalled,
        "in_service": in_service,
    }
    facts = _facts(named, size, use)
    due = next_due(
        siblings,
        facts,
        _events(named, days, moment, result),
        None,
        read_holidays(holidays or ""),
    )
    winner = next((each for each in siblings if each.ref == due.rule), named)
    if (
        due.state == "due"
        and due.due is None
        and winner.trigger != "interval_not_known"
    ):
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
        has_time=moment is not None and moment.has_time,
        has_offset=moment is not None and moment.has_offset,
    )
    return Outcome(
        _outputs(due, winner, moment),
        warnings=notes(case),
        unused=frozenset() if moment else frozenset({"result"}),
    )


def _with_siblings(named: Rule) -> tuple[Rule, ...]:
    """Return the rules of the same place and duty: the law asks for all of them."""
    others = rules_of_place(shipped_rules(), named.place) if named.place else ()
    return (
        *(each for each in others if each.duty == named.duty and each.id != named.id),
        named,
    )


def _facts(named: Rule, size: str | None, use: str | None) -> Facts:
    """Take what cannot be given here as the rule that was named has it."""
    limits = named.limits
    months = limits.months_from
    if limits.months_below is not None:
        months = limits.months_below - 1
    irrigation = limits.irrigation is not False
    return Facts(
        kind=next((kind for kind in DEVICES if kind in limits.kinds), None),
        hazard=min(limits.hazards, default=None),
        size_m=None if size is None else nominal_size_m(size),
        use=Use(irrigation=irrigation) if use is None else parse_use(use),
        months_used=months,
    )


def _events(
    named: Rule, days: dict[str, str | None], moment: _Moment | None, result: str
) -> list[Event]:
    # A test of the same day comes after what it is asked for.
    kinds: tuple[EventKind, ...] = (
        "installed",
        "last_used",
        "reinstalled",
        "in_service",
    )
    events = [
        Event(kind, _day(kind, text))
        for kind in kinds
        if (text := days[kind]) is not None
    ]
    if moment is None:
        return events
    if named.duty == "overhaul":
        return [*events, Event("overhauled", moment.on)]
    judged: Result = result  # type: ignore[assignment]
    return [*events, Event("tested", moment.on, moment.at, judged)]


def _day(name: str, text: str) -> date:
    return _moment(name, text, times=False).on


def _moment(name: str, text: str, *, times: bool = True) -> _Moment:
    plain = text.strip()
    found: _Moment | None
    try:
        day = date.fromisoformat(plain)
        found = _Moment(day, datetime.combine(day, time(), UTC), False, False)
    except ValueError:
        found = _instant(plain) if times else None
    if found is None or not _YEARS[0] <= found.on.year <= _YEARS[1]:
        or_time = ' or "2025-04-15 14:30"' if times else ""
        raise InputError(
            f'{name}: "{plain[:40]}" is no date from {_YEARS[0]} to {_YEARS[1]}; write '
            f'one like "2025-04-15"{or_time}',
            input=name,
        )
    return found


def _instant(text: str) -> _Moment | None:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    # Without an offset the clocks are taken not to change before the deadline.
    aware = at if at.tzinfo else at.replace(tzinfo=UTC)
    return _Moment(at.date(), aware, True, at.tzinfo is not None)


def _outputs(due: Due, winner: Rule, moment: _Moment | None) -> dict[str, str | None]:
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
