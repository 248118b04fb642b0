"""The law reproduces a published freeze table, and only with its share of seasons.

Last spring freezes at Clemson, South Carolina, 1971-2000: from the national table (NOAA,
Climatography of the United States No. 20, Supplement 1), read in a secondary copy. The
daily record behind it is in no package that may be shipped, so the two numbers of the
normal law are found from the row itself: nine printed dates against two numbers.
"""

import numpy as np
import pytest
from scipy.special import ndtri

from maintenance.engine.climate.mixed_law import MixedLaw, day_at_chance
from maintenance.engine.climate.seasons import month_day

pytestmark = pytest.mark.reference

SEASONS = 30
ROWS = {
    36: (30, "05-04 04-28 04-24 04-21 04-18 04-15 04-11 04-07 04-02"),
    32: (30, "04-21 04-15 04-11 04-07 04-03 03-31 03-27 03-23 03-17"),
    16: (25, "02-28 02-18 02-12 02-06 01-31 01-24 01-16 01-01 --"),
}


def told_by(law: MixedLaw) -> list[str]:
    days = [day_at_chance(law, chance / 10, "spring") for chance in range(1, 10)]
    return ["--" if day is None else month_day(day, "spring") or "" for day in days]


def most_told(printed: list[str], n_with: int) -> int:
    """Count the printed dates that some normal law gives, with this share of seasons.

    The law is looked for around the line through the printed dates, each of which is
    off by rounding.
    """
    number = {month_day(day, "spring"): day for day in range(-151, 213)}
    rows = [(n / 10, number[day]) for n, day in enumerate(printed, 1) if day != "--"]
    scores = np.array([-ndtri(chance * SEASONS / n_with) for chance, _ in rows])
    deviation, mean = np.polyfit(scores, [day for _, day in rows], 1)
    near = np.linspace(-1.0, 1.0, 21)
    laws = (
        MixedLaw(SEASONS, n_with, float(mean + more), float(deviation + wider))
        for more in near
        for wider in near
    )
    return max(sum(map(str.__eq__, told_by(law), printed)) for law in laws)


@pytest.mark.parametrize("threshold", ROWS)
def test_one_law_gives_all_nine_printed_cells(threshold):
    n_with, row = ROWS[threshold]
    assert most_told(row.split(), n_with) == 9


@pytest.mark.parametrize("n_with", [30, 28, 27, 26])
def test_with_another_share_of_seasons_none_does(n_with):
    assert most_told(ROWS[16][1].split(), n_with) < 8
