"""When a season is to be planned, and when the heads are to be looked at."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS, plain_rule
from maintenance.engine.calendar.anchors import Period, occurrence
from maintenance.engine.errors import InputError

SHUTDOWN_LEAD_DAYS: Final = 21
"""Time to book a crew and a compressor (common practice, no source)."""
STARTUP_LEAD_DAYS: Final = 14
"""The same in spring, when nothing freezes if it is late (common practice, no source)."""
MOST_LEAD_DAYS: Final = 365
_A_YEAR: Final = Period(1, "years")


@dataclass(frozen=True, slots=True)
class PlanBy:
    """The day by which to plan something, and how it was found."""

    on: date
    why: str


def plan_shutdown_by(harm: date, *, crew_days: int, lead_days: int) -> PlanBy:
    """Return when the shutdown is to be planned.

    Parameters
    ----------
    harm : date
        The day before which the first part comes to harm in one year of ten [date].
    crew_days : int
        From calling a crew to the work done [d].
    lead_days : int
        To find one [d].

    Returns
    -------
    PlanBy
        The date less both [date].

    Raises
    ------
    InputError
        If a number of days is outside 0 to 365.

    Examples
    --------
    >>> str(plan_shutdown_by(date(2026, 10, 20), crew_days=5, lead_days=21).on)
    '2026-09-24'
    """
    _refuse_days(crew_days, lead_days)
    return PlanBy(
        harm - timedelta(days=crew_days + lead_days),
        f"Frost harms the first part before {harm} in one year of ten (freeze outlook);"
        f" {crew_days} days for the work and {lead_days} to plan it come off.",
    )


def plan_startup_by(
    start: date, *, lead_days: int, last_year: date | None = None
) -> PlanBy:
    """Return when the start-up is to be planned.

    Parameters
    ----------
    start : date
        When the water may come back [date].
    lead_days : int
        To find a crew [d].
    last_year : date or None
        The day of last year's start-up, if ``start`` is only that a year on [date].

    Returns
    -------
    PlanBy
        The date less the lead [date].

    Raises
    ------
    InputError
        If the lead is outside 0 to 365 days.
    """
    _refuse_days(lead_days)
    told = (
        f"Last started up on {last_year}, and nothing better is known: a year on is "
        f"{start}"
        if last_year is not None
        else f"The last freeze of nine years in ten is over by {start} (station)"
    )
    return PlanBy(
        start - timedelta(days=lead_days),
        f"{told}; {lead_days} days to plan it come off.",
    )


def a_year_on(day: date, *, after: date) -> date:
    """Return the first anniversary of a day that is not before another.

    Parameters
    ----------
    day : date
        The day counted from [date].
    after : date
        The earliest answer [date].

    Returns
    -------
    date
        Counted from ``day`` itself, so that 29 February comes back [date].

    Examples
    --------
    >>> str(a_year_on(date(2024, 2, 29), after=date(2028, 1, 1)))
    '2028-02-29'
    """
    n = max(1, after.year - day.year)
    found = occurrence(day, _A_YEAR, n)
    return found if found >= after else occurrence(day, _A_YEAR, n + 1)


def next_audit(rule: str, *, last: date | None, first: date) -> PlanBy:
    """Return when the heads are to be audited next.

    Parameters
    ----------
    rule : str
        The owner's rule: ``yearly``, ``every N months``, ``even years`` and so on [text].
    last : date or None
        The last audit done [date].
    first : date
        When the first is due, where there was none [date].

    Returns
    -------
    PlanBy
        One period after the last; the last day of the next even or odd year [date].

    Raises
    ------
    InputError
        If the rule cannot be read.

    Examples
    --------
    >>> str(next_audit("yearly", last=date(2026, 5, 2), first=date(2020, 1, 1)).on)
    '2027-05-02'
    """
    read = plain_rule(rule)
    if read is None:
        raise InputError(
            f'"{rule[:40]}" is no interval; write one such as "{PLAIN_WORDS[0]}" or '
            f'"{PLAIN_WORDS[2]}"',
            input="rule",
        )
    if last is None:
        return PlanBy(first, f"The first by the owner's rule: {read.id}.")
    if read.period is not None:
        why = f"Last audited on {last}; the owner's rule: {read.id}."
        return PlanBy(occurrence(last, read.period, 1), why)
    odd = int(read.trigger == "odd_years")
    year = last.year + 1 + (last.year + 1 + odd) % 2
    why = f"Last audited on {last}; the owner's rule: {read.id}, no day is named."
    return PlanBy(date(year, 12, 31), why)


def _refuse_days(*counts: int) -> None:
    for count in counts:
        if not 0 <= count <= MOST_LEAD_DAYS:
            raise InputError(
                f"{count} days of lead are out of range; give 0 to {MOST_LEAD_DAYS}",
                low=0,
                high=MOST_LEAD_DAYS,
            )
