"""What the worksheet on due dates makes of its inputs: rules, facts and events."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Final

from maintenance.engine.backflow.due.events import Event, EventKind
from maintenance.engine.backflow.due.facts import Facts, Use, nominal_size_m, parse_use
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.backflow.due.table import rules_of_place, shipped_rules
from maintenance.engine.backflow.readings import DEVICES
from maintenance.engine.backflow.verdict import Result
from maintenance.engine.errors import InputError

_YEARS: Final = (1900, 2199)


@dataclass(frozen=True, slots=True)
class Moment:
    """A test as written: its date, its instant, and whether it has an offset."""

    on: date
    at: datetime
    has_time: bool
    has_offset: bool


def with_siblings(named: Rule) -> tuple[Rule, ...]:
    """Return the rules of the same place and duty: the law asks for all of them.

    Parameters
    ----------
    named : Rule
        The rule that the person named [-].

    Returns
    -------
    tuple of Rule
        Without those whose interval was not read, unless one was named [rules].
    """
    others = rules_of_place(shipped_rules(), named.place) if named.place else ()
    return (
        *(
            each
            for each in others
            if each.duty == named.duty
            and each.id != named.id
            and each.trigger != "interval_not_known"
        ),
        named,
    )


def interval_not_known(named: Rule) -> bool:
    """Whether the place asks for tests at an interval that was not read.

    Parameters
    ----------
    named : Rule
        The rule that the person named [-].

    Returns
    -------
    bool
        False where that rule itself was named, or the rule has no place [-].
    """
    return any(
        each.trigger == "interval_not_known" and each.id != named.id
        for each in rules_of_place(shipped_rules(), named.place)
        if named.place
    )


def facts_of(named: Rule, size: str | None, use: str | None) -> Facts:
    """Take what cannot be given here as the rule that was named has it.

    Parameters
    ----------
    named : Rule
        The rule that the person named [-].
    size : str or None
        Nominal size as typed [text].
    use : str or None
        Use as typed [text].

    Returns
    -------
    Facts
        Of the assembly [-].

    Raises
    ------
    InputError
        If size or use cannot be read.
    """
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


def events_of(
    named: Rule, days: Mapping[str, str | None], moment: Moment | None, result: Result
) -> list[Event]:
    """Put the dates in order; on one day the test comes last.

    Parameters
    ----------
    named : Rule
        The rule that the person named [-].
    days : mapping of str to str or None
        Dates as typed, by the kind of event [text].
    moment : Moment or None
        The test [instant].
    result : str
        Its result [text].

    Returns
    -------
    list of Event
        Those that were given [events].

    Raises
    ------
    InputError
        If a date cannot be read.
    """
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
    return [*events, Event("tested", moment.on, moment.at, result)]


def _day(name: str, text: str) -> date:
    return read_moment(name, text, times=False).on


def read_moment(name: str, text: str, *, times: bool = True) -> Moment:
    """Read a date, or a date and a time.

    Parameters
    ----------
    name : str
        Name of the input [text].
    text : str
        ISO 8601, with or without an offset [text].
    times : bool
        Whether a time may follow the date [-].

    Returns
    -------
    Moment
        Without a time the start of the day; without an offset as if in UTC [instant].

    Raises
    ------
    InputError
        If it cannot be read, or the year is far off.
    """
    plain = text.strip()
    found: Moment | None
    try:
        day = date.fromisoformat(plain)
        found = Moment(day, datetime.combine(day, time(), UTC), False, False)
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


def _instant(text: str) -> Moment | None:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    # Without an offset the clocks are taken not to change before the deadline.
    aware = at if at.tzinfo else at.replace(tzinfo=UTC)
    return Moment(at.date(), aware, True, at.tzinfo is not None)
