"""Where a day stands towards a due date."""

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from maintenance.engine.errors import InputError

WindowState = Literal["early", "open", "due_soon", "due", "overdue"]


@dataclass(frozen=True, slots=True)
class Window:
    """How many days before the due date its window opens, and when it is soon."""

    open_days: int
    soon_days: int

    def __post_init__(self) -> None:
        if not 1 <= self.soon_days <= self.open_days:
            raise InputError(
                f"a window of {self.open_days} days with {self.soon_days} days of "
                "notice cannot be; give at least 1 day, and the notice within the window"
            )


DEFAULT_WINDOW: Final = Window(open_days=60, soon_days=14)
"""Project choice: two months to find a day in spring, two weeks to be reminded."""


def window_state(
    today: date, due: date, window: Window = DEFAULT_WINDOW
) -> WindowState:
    """Return where a day stands towards a due date.

    Parameters
    ----------
    today : date
        Date at the site [date].
    due : date
        The last day on which it may be done [date].
    window : Window
        When it opens and when it is soon [d].

    Returns
    -------
    str
        ``early``, ``open`` from the first day of the window, ``due_soon`` from the first
        day of notice, ``due`` on the day itself, ``overdue`` after it [-].

    Examples
    --------
    >>> [window_state(date(2027, 4, day), date(2027, 4, 2)) for day in (1, 2, 3)]
    ['due_soon', 'due', 'overdue']
    """
    left = (due - today).days
    if left < 0:
        return "overdue"
    if left == 0:
        return "due"
    if left <= window.soon_days:
        return "due_soon"
    return "open" if left <= window.open_days else "early"
