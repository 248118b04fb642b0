"""When to remind of something: so many days before, and weekly once it is overdue."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from maintenance.engine.errors import InputError

MOST_DAYS: Final = 730
MOST_STEPS: Final = 12
MOST_WEEKS: Final = 52
"""After a year of weekly reminders more of them help nobody (project choice)."""
_WEEK: Final = 7


@dataclass(frozen=True, slots=True)
class Steps:
    """Days before the due date, the longest first; 0 is the day itself.

    ``weekly`` goes on every seven days after it.
    """

    days: tuple[int, ...]
    weekly: bool = True

    def __post_init__(self) -> None:
        ordered = tuple(sorted(set(self.days), reverse=True))
        if len(ordered) > MOST_STEPS:
            raise InputError(
                f"there may be at most {MOST_STEPS} reminders of one thing"
            )
        if any(not 0 <= day <= MOST_DAYS for day in ordered):
            raise InputError(
                f"a reminder comes 0 to {MOST_DAYS} days before; write whole days "
                'such as "60, 30, 7, 0"'
            )
        object.__setattr__(self, "days", ordered)

    @property
    def words(self) -> str:
        """The steps as a person reads them [text]."""
        told = [_days_before(day) for day in self.days]
        if self.weekly:
            told.append("every week when overdue")
        return ", ".join(told) or "never"


USUAL: Final = Steps((60, 30, 7, 0))
SHORT: Final = Steps((7, 2, 0))
_SHORT_KINDS: Final = {"backflow_report", "backflow_repair", "promised_call"}


def usual_steps(kind: str) -> Steps:
    """Return the steps of a kind for which none were stated.

    Parameters
    ----------
    kind : str
        Key of the kind [text].

    Returns
    -------
    Steps
        60, 30, 7 and 0 days before; 7, 2 and 0 for deadlines of days (project choice)
        [d].
    """
    return SHORT if kind in _SHORT_KINDS else USUAL


def read_steps(text: str, *, weekly: bool) -> Steps:
    """Read steps as a person writes them.

    Parameters
    ----------
    text : str
        Whole days with commas or spaces between; empty for none [d].
    weekly : bool
        Whether to go on every week once overdue [-].

    Returns
    -------
    Steps
        The steps, the longest first [d].

    Raises
    ------
    InputError
        If something is no whole number of days, or out of range.

    Examples
    --------
    >>> read_steps("7, 60 30,0", weekly=False).days
    (60, 30, 7, 0)
    """
    days = []
    for word in text.replace(",", " ").replace(";", " ").split():
        if not (word.isascii() and word.isdigit() and len(word) < 5):
            raise InputError(
                f'"{word[:20]}" is no number of days; write whole days such as '
                '"60, 30, 7, 0"'
            )
        days.append(int(word))
    return Steps(tuple(days), weekly)


def steps_of(kind: str, record: Mapping[str, Any] | None) -> Steps:
    """Return the steps of a kind from the record that was kept of them.

    Parameters
    ----------
    kind : str
        Key of the kind [text].
    record : mapping or None
        ``days`` and ``weekly`` as kept; None or without days for the usual ones [-].

    Returns
    -------
    Steps
        The steps [d].
    """
    if not record or "days" not in record:
        return usual_steps(kind)
    return Steps(tuple(record["days"]), bool(record.get("weekly", True)))


def step_days(steps: Steps, due_on: date, *, until: date) -> Iterator[tuple[int, date]]:
    """Give each step with its day, in the order of time.

    Parameters
    ----------
    steps : Steps
        The steps [d].
    due_on : date
        Date at the site [date].
    until : date
        Weekly steps end there, and after 52 of them [date].

    Yields
    ------
    tuple
        Days before the due date, negative after it [d], and the day [date].

    Examples
    --------
    >>> steps = Steps((7, 0))
    >>> [step for step, _ in step_days(steps, date(2027, 3, 1), until=date(2027, 3, 9))]
    [7, 0, -7]
    """
    for step in steps.days:
        day = _days_later(due_on, -step)
        if day is not None and day <= until:
            yield step, day
    if steps.weekly:
        for week in range(1, MOST_WEEKS + 1):
            day = _days_later(due_on, _WEEK * week)
            if day is None or day > until:
                return
            yield -_WEEK * week, day


def _days_later(day: date, days: int) -> date | None:
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None


def step_words(step: int) -> str:
    """Return what a step is, in words.

    Parameters
    ----------
    step : int
        Days before the due date, negative after it [d].

    Returns
    -------
    str
        Such as "7 days before" [text].

    Examples
    --------
    >>> step_words(7), step_words(0), step_words(-1)
    ('7 days before', 'on the day', '1 day after')
    """
    if step >= 0:
        return _days_before(step)
    return f"{-step} day{'' if step == -1 else 's'} after"


def _days_before(days: int) -> str:
    if days == 0:
        return "on the day"
    return f"{days} day{'' if days == 1 else 's'} before"
