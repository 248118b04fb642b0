"""Filling when a last freeze comes later by so much: each spring judged by the others.

The numbers were worked out apart, by a prototype, for Champion 1982-2018: failures per
cent (the last night at or below 28 degF on the day of filling or later) and mean days
waited after it. Asked: 1.5 points and 1.0 day.
"""

from statistics import mean

import pytest

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.part_dates import SPRING_THRESHOLD_K
from maintenance.engine.climate.seasons import month_day
from maintenance.engine.climate.spring_start import start_after
from tests.engine.climate.test_part_dates import dates
from tests.reference.climate_records import record

pytestmark = pytest.mark.reference

YARDSTICK = {0.50: (56.8, 9.6), 0.20: (24.3, 13.4), 0.10: (8.1, 15.5), 0.05: (2.7, 18.5)}  # fmt: skip


def start(numbers, chance):
    return start_after(numbers, chance)


def every_spring():
    """Last nights of the springs; that of 1982, of which half is recorded, counts."""
    found = freeze_dates(
        record("champion").series, SPRING_THRESHOLD_K, "spring", years=(1982, 2018)
    )
    return tuple(event.number for event in found.events if event.valid)


@pytest.mark.parametrize("chance", YARDSTICK)
def test_failures_and_days_waited_at_champion(chance):
    every = every_spring()
    failed, waited = 0, []
    for at, last in enumerate(every):
        first = start((*every[:at], *every[at + 1 :]), chance)
        if last >= first:
            failed += 1
        else:
            waited.append(first - last - 1)
    failures, days = YARDSTICK[chance]
    assert len(every) == 37
    assert 100.0 * failed / len(every) == pytest.approx(failures, abs=1.5)
    assert mean(waited) == pytest.approx(days, abs=1.0)


def test_the_day_of_all_springs_is_the_published_way_of_the_freeze_table():
    """Champion 1983-2018: May 14, Apr 29, Apr 14 at 10, 50 and 90 %."""
    numbers = dates().last_freezes
    days = [month_day(start(numbers, c), "spring") for c in (0.1, 0.5, 0.9)]
    assert days == ["05-14", "04-29", "04-14"]
