"""The best day to shut down, against days worked out apart by a prototype.

Mean 71.3 days after 1 August, deviation 11, each day of watering worth the same:
value of a day, cost of damage, share saved -> day and chance before it. The model is
the cost-loss model (Murphy), the days are computed; nobody has published such a table.
"""

import numpy as np
import pytest

from maintenance.engine.climate.mixed_law import MixedLaw, chance_by
from maintenance.engine.climate.seasons import month_day
from maintenance.engine.climate.waiting import expected_costs

pytestmark = pytest.mark.reference

LAW = MixedLaw(30, 30, 71.3, 11.0)
CHANCES = chance_by(LAW, np.arange(-1, 200))


@pytest.mark.parametrize(
    ("worth", "day", "chance"),
    [
        ((5.0, 400.0, 0.0), "09-26", 0.069),
        ((5.0, 400.0, 0.8), "10-10", 0.417),
        ((5.0, 900.0, 0.8), "10-02", 0.175),
        ((12.0, 900.0, 0.9), "10-21", 0.786),
        ((2.0, 1500.0, 0.5), "09-17", 0.011),
    ],
)
def test_the_best_day(worth, day, chance):
    costs = expected_costs(CHANCES, worth, np.ones(200))
    best = int(costs.argmin())
    assert month_day(best, "fall") == day
    assert CHANCES[best] == pytest.approx(chance, abs=0.0005)


def test_on_the_best_day_the_hazard_reaches_value_over_cost():
    """First-order rule: keep watering while h(d) < v/(C (1 - a))."""
    worth = (5.0, 900.0, 0.8)
    best = int(expected_costs(CHANCES, worth, np.ones(200)).argmin())
    by = CHANCES[:120]
    hazard = np.diff(by) / (1.0 - by[1:])
    at = 5.0 / (900.0 * 0.2)
    assert hazard[best - 1] < at <= hazard[best]


def test_costs_are_the_sum_written_out():
    value, damage, saved = 5.0, 900.0, 0.8
    shares = np.linspace(1.0, 0.2, 200)
    costs = expected_costs(CHANCES, (value, damage, saved), shares)
    for day in (0, 1, 50, 120):
        kept = sum(
            value * shares[t] * (1.0 - float(chance_by(LAW, t))) for t in range(day)
        )
        harm = damage * (1.0 - saved) * float(chance_by(LAW, day - 1))
        assert costs[day] == pytest.approx(harm - kept, abs=1e-9)
