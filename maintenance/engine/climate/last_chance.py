"""The last-chance rule, tried on forecasts drawn around what the nights brought."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from maintenance.engine.climate.advice import (
    HALF_DEGF_K,
    chance_at_or_below,
    is_last_chance,
)
from maintenance.engine.climate.degrees import Array, kelvin_of, whole_degf
from maintenance.engine.climate.fixed_dates import Trial
from maintenance.engine.climate.forecast_errors import DEFAULT_SIGMA_K
from maintenance.engine.climate.seasons import SeasonEvent, season_days
from maintenance.engine.climate.series import DailySeries

SEASON_NIGHTS: Final = 365

Told = Callable[[int, int], None]
"""Called with seasons done and seasons in all."""


@dataclass(frozen=True, slots=True)
class Nights:
    """What a forecaster would have had to forecast, and for whom."""

    series: DailySeries
    threshold_k: float
    crew_days: int
    exact: bool

    @property
    def leads(self) -> int:
        """Days ahead that the rule looks at."""
        return self.crew_days + 1

    def of_season(self, year: int) -> Array:
        """Return minima from 1 August on, as observed, NaN where unknown."""
        begin = self.series.index(season_days(year, "fall")[0])
        wanted = np.arange(begin, begin + SEASON_NIGHTS + self.leads)
        inside = (wanted >= 0) & (wanted < len(self.series.tmin_k))
        minima = np.full(len(wanted), np.nan)
        minima[inside] = self.series.tmin_k[wanted[inside]]
        return minima if self.exact else kelvin_of(whole_degf(minima), "degF")


def try_last_chance(
    nights: Nights,
    events: Sequence[SeasonEvent],
    settings: Sequence[float],
    *,
    repeats: int,
    rng: np.random.Generator,
    told: Told | None = None,
) -> tuple[Trial, ...]:
    """Try the rule on drawn forecasts, all settings on the same ones.

    Parameters
    ----------
    nights : Nights
        What there is to forecast, and for whom. [K]
    events : sequence of SeasonEvent
        First damaging freeze of each valid season. [d]
    settings : sequence of float
        Chances to act at. [-]
    repeats : int
        How often forecasts are drawn for each season. [-]
    rng : numpy.random.Generator
        Where their errors are drawn from. [-]
    told : callable, optional
        Called with seasons done and seasons in all. [-]

    Returns
    -------
    tuple of Trial
        One for each setting, over seasons times repeats. [d]

    Notes
    -----
    The crew is called on the first day on which any night at leads 1 to crew days + 1
    reaches the chance, and works crew days later; failures and days lost as for fixed
    dates. A season that never calls fails if it freezes.
    """
    failures = [0] * len(settings)
    lost: list[list[int]] = [[] for _ in settings]
    for done, event in enumerate(events, start=1):
        if event.number is not None:
            chances = _chances(nights, event.season, repeats, rng)
            for which, act_at in enumerate(settings):
                called = is_last_chance(chances, act_at)
                work_day = called.argmax(axis=1) + nights.crew_days
                kept = called.any(axis=1) & (event.number > work_day)
                failures[which] += repeats - int(kept.sum())
                lost[which] += (event.number - work_day[kept] - 1).tolist()
        if told is not None:
            told(done, len(events))
    return tuple(
        Trial(
            act_at,
            len(events) * repeats,
            failures[which],
            sum(days) / len(days) if (days := lost[which]) else None,
        )
        for which, act_at in enumerate(settings)
    )


def _chances(
    nights: Nights, year: int, repeats: int, rng: np.random.Generator
) -> Array:
    """Forecast a season: chances by repeat, day of issue and lead.

    The forecasts of one night differ from it by errors that shrink as it comes nearer
    by steps that nobody could foretell: so their variances add up from lead to lead.
    """
    minima = nights.of_season(year)
    sigma_k = np.array(DEFAULT_SIGMA_K[: nights.leads])
    steps_k = np.sqrt(np.diff(sigma_k**2, prepend=0.0))
    drawn = rng.standard_normal((repeats, nights.leads, len(minima)))
    errors_k = np.cumsum(drawn * steps_k[:, np.newaxis], axis=1)
    issued = np.arange(SEASON_NIGHTS)[:, np.newaxis]
    leads = np.arange(1, nights.leads + 1)
    forecast_k = minima[issued + leads] + errors_k[:, leads - 1, issued + leads]
    return chance_at_or_below(
        forecast_k,
        nights.threshold_k,
        sigma_k,
        continuity_k=0.0 if nights.exact else HALF_DEGF_K,
    )
