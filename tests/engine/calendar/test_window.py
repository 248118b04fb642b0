"""Where a day stands towards a due date, at each edge."""

from datetime import date, timedelta

import pytest

from maintenance.engine.calendar.window import Window, window_state
from maintenance.engine.errors import InputError

DUE = date(2027, 4, 1)
WINDOW = Window(open_days=30, soon_days=7)


@pytest.mark.parametrize(
    ("days_left", "state"),
    [
        (31, "early"),
        (30, "open"),
        (29, "open"),
        (8, "open"),
        (7, "due_soon"),
        (6, "due_soon"),
        (1, "due_soon"),
        (0, "due"),
        (-1, "overdue"),
    ],
)
def test_each_edge_belongs_to_the_later_state(days_left, state):
    assert window_state(DUE - timedelta(days=days_left), DUE, WINDOW) == state


def test_states_follow_each_other_in_one_order():
    order = ["early", "open", "due_soon", "due", "overdue"]
    found = [
        order.index(window_state(DUE + timedelta(days=n), DUE, WINDOW))
        for n in range(-60, 60)
    ]
    assert found == sorted(found)
    assert set(found) == set(range(5))


def test_a_window_may_be_one_day():
    day_before = DUE - timedelta(days=1)
    assert window_state(day_before, DUE, Window(1, 1)) == "due_soon"


@pytest.mark.parametrize(("open_days", "soon_days"), [(7, 30), (0, 0), (10, 0)])
def test_a_window_that_cannot_be_is_refused(open_days, soon_days):
    with pytest.raises(InputError, match="a window of"):
        Window(open_days, soon_days)
