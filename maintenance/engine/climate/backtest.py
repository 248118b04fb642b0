"""What dates and rules would have done in past seasons, each judged by the others."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from maintenance.engine.climate.fixed_dates import Trial, try_fixed_dates
from maintenance.engine.climate.forecast import LEADS
from maintenance.engine.climate.last_chance import Nights, Told, try_last_chance
from maintenance.engine.climate.seasons import (
    Season,
    SeasonEvent,
    season_events,
    touched_seasons,
)
from maintenance.engine.climate.series import DailySeries
from maintenance.engine.errors import InputError

FALL_CHANCES: Final = (0.02, 0.05, 0.10, 0.20, 0.30, 0.50)
SPRING_CHANCES: Final = (0.50, 0.20, 0.10, 0.05)
FEWEST_SEASONS: Final = 5
"""With fewer, leaving one out leaves nothing to fit."""


@dataclass(frozen=True, slots=True)
class BackTest:
    """All trials of one record and threshold."""

    threshold_k: float
    crew_days: int
    repeats: int
    exact: bool
    fall: tuple[int, ...]
    spring: tuple[int, ...]
    fixed_fall: tuple[Trial, ...]
    last_chance: tuple[Trial, ...]
    fixed_spring: tuple[Trial, ...]


def back_test(
    series: DailySeries,
    threshold_k: float,
    *,
    crew_days: int,
    repeats: int,
    rng: np.random.Generator,
    exact: bool = False,
    told: Told | None = None,
) -> BackTest:
    """Try fixed dates and the last-chance rule on every valid season of a record.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]
    threshold_k : float
        A night at or below it does damage. [K]
    crew_days : int
        Days from the call to the work, 0 to 6. [d]
    repeats : int
        How often forecasts are drawn for each season. [-]
    rng : numpy.random.Generator
        Where the forecasts' errors are drawn from. [-]
    exact : bool
        Compare as recorded instead of in whole °F. [-]
    told : callable, optional
        Called with seasons done and seasons in all. [-]

    Returns
    -------
    BackTest
        Failures and days, rule by rule. [d]

    Raises
    ------
    InputError
        If the record has fewer than five valid seasons, or the crew's days are out of
        the forecast's reach.
    """
    most = LEADS - 1
    if not 0 <= crew_days <= most:
        raise InputError(
            f"The crew needs {crew_days} days; write 0 to {most}, as far as the "
            "forecast reaches",
            input="crew",
            low=0,
            high=most,
        )
    fall = _valid(series, threshold_k, "fall", exact)
    spring = _valid(series, threshold_k, "spring", exact)
    return BackTest(
        threshold_k=threshold_k,
        crew_days=crew_days,
        repeats=repeats,
        exact=exact,
        fall=tuple(event.season for event in fall),
        spring=tuple(event.season for event in spring),
        fixed_fall=try_fixed_dates([e.number for e in fall], "fall", FALL_CHANCES),
        last_chance=try_last_chance(
            Nights(series, threshold_k, crew_days, exact),
            fall,
            FALL_CHANCES,
            repeats=repeats,
            rng=rng,
            told=told,
        ),
        fixed_spring=try_fixed_dates(
            [e.number for e in spring], "spring", SPRING_CHANCES
        ),
    )


def _valid(
    series: DailySeries, threshold_k: float, season: Season, exact: bool
) -> tuple[SeasonEvent, ...]:
    years = touched_seasons(series, season)
    events = season_events(series, threshold_k, season, years, exact=exact)
    valid = tuple(event for event in events if event.valid)
    if len(valid) < FEWEST_SEASONS:
        raise InputError(
            f"The record has {len(valid)} {season} seasons with enough days; a "
            f"back-test needs {FEWEST_SEASONS}, so give a longer record"
        )
    return valid


def back_test_as_json(result: BackTest) -> dict[str, object]:
    """Return the object of ``backtest_freeze --json``, format ``freeze_backtest/1``.

    Parameters
    ----------
    result : BackTest
        All trials. [d]

    Returns
    -------
    dict
        Shares and days, unrounded. [-]
    """

    def listed(trials: tuple[Trial, ...]) -> list[dict[str, object]]:
        return [
            {
                "at": trial.at,
                "seasons": trial.seasons,
                "failures": trial.failures,
                "failure_share": trial.failure_share,
                "mean_days": trial.days,
            }
            for trial in trials
        ]

    return {
        "format": "freeze_backtest/1",
        "threshold_k": result.threshold_k,
        "crew_days": result.crew_days,
        "repeats": result.repeats,
        "seasons": {"fall": list(result.fall), "spring": list(result.spring)},
        "fixed_fall": listed(result.fixed_fall),
        "last_chance": listed(result.last_chance),
        "fixed_spring": listed(result.fixed_spring),
    }
