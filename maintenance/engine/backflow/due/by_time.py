"""Rules on time alone: so long after the last pass, certain years, certain dates."""

from datetime import date
from typing import Final

from maintenance.engine.backflow.due.answer import DONE_WORDS, Answer
from maintenance.engine.backflow.due.history import History
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.calendar.anchors import Period, occurrence
from maintenance.engine.calendar.window import DEFAULT_WINDOW

_A_YEAR: Final = Period(1, "years")
_LEAP_YEAR: Final = 2024


def anniversary(rule: Rule, history: History) -> Answer:
    """Answer for a rule on the time since the last pass.

    Parameters
    ----------
    rule : Rule
        With its period [-].
    history : History
        The events [-].

    Returns
    -------
    Answer
        One period after the last pass, or after the installation without one [date].

    Raises
    ------
    InputError
        If the date leaves the calendar.
    """
    period = rule.period or _A_YEAR
    anchor = history.done or history.last("installed")
    if anchor is None:
        why = (
            f"No {rule.duty} passed and no day of installation is on record: "
            "enter one, and the date follows."
        )
        return Answer("due", None, why)
    done = DONE_WORDS[rule.duty] if anchor is history.done else "installed"
    due = occurrence(anchor.on, period, 1)
    return Answer(
        "due", due, f"{done.capitalize()} on {anchor.on}, then every {_each(period)}."
    )


def parity(rule: Rule, history: History, today: date | None) -> Answer:
    """Answer for a rule on even or odd years.

    Parameters
    ----------
    rule : Rule
        With ``even_years`` or ``odd_years`` as its trigger [-].
    history : History
        The events [-].
    today : date or None
        Date at the site [date].

    Returns
    -------
    Answer
        The last day of the next such year without a pass; not required in a year of the
        other kind unless one was missed [date].
    """
    odd = int(rule.trigger == "odd_years")
    kind = "odd" if odd else "even"
    start = _first_year(history, today)
    if start is None:
        return Answer("due", None, _NOTHING_ON_RECORD)
    year = start + (start + odd) % 2
    if today is not None and today.year < year and (today.year + odd) % 2:
        why = f"{today.year} is not an {kind} year; the next is {year}."
        return Answer("not_required", None, why)
    why = (
        f"{year} is the next {kind} year without a pass; the rule names no day, so its "
        "last day is taken."
    )
    return Answer("due", date(year, 12, 31), why)


_NOTHING_ON_RECORD: Final = (
    "Nothing is on record from which to count: enter the last test or the day of "
    "installation."
)


def _first_year(history: History, today: date | None) -> int | None:
    if history.done:
        return history.done.on.year + 1
    installed = history.last("installed")
    if installed:
        return installed.on.year
    return today.year if today else None


def fixed_dates(rule: Rule, history: History, today: date | None) -> Answer:
    """Answer for a rule on the same dates of every year.

    Parameters
    ----------
    rule : Rule
        With its dates, and how long before a date a test counts for it [d].
    history : History
        The events [-].
    today : date or None
        Date at the site [date].

    Returns
    -------
    Answer
        The first date for which no pass counts [date].

    Notes
    -----
    A pass counts for the first date on or after it, if it is not earlier than the rule
    says, or else than the usual window opens (project choice): a late pass then serves
    the date that it missed and not the next.
    """
    done = history.done
    start = done or history.last("installed")
    day = start.on if start else today
    if day is None:
        return Answer("due", None, _NOTHING_ON_RECORD)
    coming = _dates_from(rule, day)
    due = coming[0]
    if done is None:
        return Answer("due", due, f"{due} is the first date of this rule.")
    span = rule.counts_from_days or DEFAULT_WINDOW.open_days
    if (due - done.on).days > span:
        why = f"Passed on {done.on}, more than {span} days before {due}: not for it."
        return Answer("due", due, why)
    why = f"Passed on {done.on} for {due}; {coming[1]} is the next date of this rule."
    return Answer("due", coming[1], why)


def _dates_from(rule: Rule, day: date) -> list[date]:
    """Return the dates of a rule on or after a day, at least two of them."""
    found = [
        occurrence(date(_LEAP_YEAR, month, number), _A_YEAR, year - _LEAP_YEAR)
        for year in range(day.year, min(day.year + 3, 10_000))
        for month, number in rule.dates
    ]
    return [each for each in sorted(found) if each >= day]


def _each(period: Period) -> str:
    return period.unit.removesuffix("s") if period.count == 1 else period.words
