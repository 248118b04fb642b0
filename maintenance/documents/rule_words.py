"""Rules on tests in words: when, for which assemblies, and what follows from a test."""

import re
from datetime import date, datetime
from typing import Final

from maintenance.engine.backflow.due.rule import Limits, Rule
from maintenance.engine.calendar.anchors import Period

_EVENTS: Final = {
    "installed": "after it was put in",
    "repaired": "after a repair",
    "relocated": "after it was moved to another place",
    "removed": "after it was taken out",
    "reinstalled": "after it was put back",
    "frozen": "after it froze",
    "incident": "after a backflow incident",
}
_FIRST: Final = {
    "installed": "before its first use",
    "reinstalled": "before it is put back into service",
    "turned_on": "before it is turned on for the season",
}
_ALWAYS: Final = {
    "even_years": "in even-numbered years",
    "odd_years": "in odd-numbered years",
    "turned_on": "when it is turned on for the season",
    "interval_not_known": "at an interval that is not known",
}
_MARKS: Final = {
    "read": "read at the source",
    "secondary": "from a secondary source",
    "from memory": "from memory, not confirmed",
}
_ISO_DAY: Final = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)\b", re.ASCII)


def short_day(day: date) -> str:
    """Write a day without its weekday, such as ``4 Oct 2026``.

    Examples
    --------
    >>> short_day(date(2026, 10, 4))
    '4 Oct 2026'
    """
    return f"{day.day} {day:%b} {day.year}"


def in_days(text: str) -> str:
    """Write the days of a sentence of the engine as people write them.

    Examples
    --------
    >>> in_days("Passed on 2026-10-04, then every year.")
    'Passed on 4 Oct 2026, then every year.'
    """
    return _ISO_DAY.sub(_as_day, text)


def by_words(by: date | datetime) -> str:
    """Write the end of a deadline: an hour where it runs in hours."""
    if isinstance(by, datetime):
        return f"{by:%a} {short_day(by.date())}, {by:%H:%M}"
    return f"{by:%a} {short_day(by)}"


def rule_words(rule: Rule) -> str:
    """Name a rule: its place and when it asks for what.

    Examples
    --------
    >>> rule_words(Rule(id="a", place="b", place_name="B (city)", trigger="even_years",
    ...     source="made up"))
    'B (city): test in even-numbered years'
    """
    place = rule.place_name or rule.place or "Own interval"
    return f"{place}: {rule.duty} {when_words(rule)}"


def when_words(rule: Rule) -> str:
    """Say when a rule asks for it."""
    if rule.before_service and rule.trigger in _FIRST:
        return _FIRST[rule.trigger]
    if rule.trigger in _ALWAYS:
        return _ALWAYS[rule.trigger]
    if rule.trigger in _EVENTS:
        within = f", within {rule.within.words}" if rule.within else ""
        return f"{_EVENTS[rule.trigger]}{within}"
    if rule.trigger == "fixed_dates":
        return f"by {' and '.join(_of_year(m, d) for m, d in rule.dates)}"
    if rule.trigger == "idle":
        return f"before use after more than {_each(rule.period)} without use"
    return f"every {_each(rule.period)}"


def limits_words(limits: Limits) -> str:
    """Say for which assemblies a rule is; empty where it is for all."""
    said = [
        ", ".join(sorted(limits.kinds)),
        f"{' or '.join(sorted(limits.hazards))} hazard" if limits.hazards else "",
        _choice(limits.irrigation, "irrigation", "not irrigation"),
        _choice(limits.residential, "residential", "not residential"),
        _choice(limits.chemicals, "with chemicals", "without chemicals"),
        f"up to {_size(limits.size_up_to_m)}" if limits.size_up_to_m else "",
        f"above {_size(limits.size_above_m)}" if limits.size_above_m else "",
        f"used less than {limits.months_below} months a year"
        if limits.months_below
        else "",
        f"used {limits.months_from} months a year or more"
        if limits.months_from
        else "",
    ]
    return ", ".join(filter(None, said))


def deadlines_words(rule: Rule) -> str:
    """Say by when a test is reported and a failure repaired; empty where it does not."""
    passed, failed = rule.report_passed, rule.report_failed
    said = []
    if passed and passed == failed:
        said.append(f"report within {passed.words}")
    else:
        said += [f"report a pass within {passed.words}"] if passed else []
        said += [f"report a failure within {failed.words}"] if failed else []
    if rule.repair_failed:
        said.append(f"repair within {rule.repair_failed.words}")
    return ", ".join(said)


def mark_words(rule: Rule) -> str:
    """Say how well the source is known."""
    return _MARKS[rule.mark]


def _as_day(match: re.Match[str]) -> str:
    try:
        return short_day(date(int(match[1]), int(match[2]), int(match[3])))
    except ValueError:
        return match[0]


def _each(period: Period | None) -> str:
    if period is None:
        return "time"
    if (period.count, period.unit) in ((12, "months"), (1, "years")):
        return "year"
    return period.unit.removesuffix("s") if period.count == 1 else period.words


def _of_year(month: int, day: int) -> str:
    return f"{day} {date(2024, month, 1):%b}"


def _choice(value: bool | None, yes: str, no: str) -> str:
    return "" if value is None else yes if value else no


def _size(size_m: float) -> str:
    return f"{size_m / 0.0254:.3g} in ({size_m * 1000:.3g} mm)"
