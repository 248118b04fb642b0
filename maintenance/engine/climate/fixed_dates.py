"""Dates fixed by their chance, tried on each season with the others' fit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from maintenance.engine.climate.mixed_law import day_at_chance, fit_mixed_law
from maintenance.engine.climate.seasons import Season


@dataclass(frozen=True, slots=True)
class Trial:
    """One setting of a rule over all seasons.

    ``at`` is the chance that the rule takes; ``days`` the mean over seasons without
    failure: watering days lost in fall, days waited in spring; None where there are
    none.
    """

    at: float
    seasons: int
    failures: int
    days: float | None

    @property
    def failure_share(self) -> float:
        """Share of the seasons that failed."""
        return self.failures / self.seasons


def try_fixed_dates(
    numbers: Sequence[int | None], season: Season, chances: Sequence[float]
) -> tuple[Trial, ...]:
    """Try a date fixed by its chance, fitted to all seasons but the one judged.

    Parameters
    ----------
    numbers : sequence of int or None
        Day number of each valid season, None where it had no freeze. [d]
    season : str
        ``fall`` or ``spring``. [-]
    chances : sequence of float
        Chances to try. [-]

    Returns
    -------
    tuple of Trial
        One for each chance. [d]

    Notes
    -----
    Fall: failure if the first damaging freeze comes on or before the work day (work
    protects later nights); days lost lie between the work day and that freeze.
    Spring: failure if the last one comes on or after the start; days waited lie
    between it and the start. A chance that is never reached gives no date, and then
    every freeze is a failure.
    """
    return tuple(_fixed_trial(numbers, season, chance) for chance in chances)


def _fixed_trial(numbers: Sequence[int | None], season: Season, chance: float) -> Trial:
    failures = 0
    days: list[int] = []
    for index, number in enumerate(numbers):
        if number is None:
            continue
        law = fit_mixed_law([*numbers[:index], *numbers[index + 1 :]])
        planned = day_at_chance(law, chance, season)
        if planned is None:
            failures += 1
            continue
        between = number - math.floor(planned + 0.5)
        if season == "spring":
            between = -between
        if between <= 0:
            failures += 1
        else:
            days.append(between - 1)
    mean = sum(days) / len(days) if days else None
    return Trial(chance, len(numbers), failures, mean)
