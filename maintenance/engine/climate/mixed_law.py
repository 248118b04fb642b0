"""The mixed law of freeze dates: a share of seasons with a freeze, and a normal law."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.seasons import Season
from maintenance.engine.errors import EngineError


@dataclass(frozen=True, slots=True)
class MixedLaw:
    """What is fitted: valid seasons, those with a freeze, mean and deviation of these.

    The mean is None without a freeze, the deviation with fewer than two.
    """

    n: int
    n_with: int
    mean_day: float | None
    sd_day: float | None


def fit_mixed_law(numbers: Iterable[int | None]) -> MixedLaw:
    """Fit the mixed law to the day numbers of the valid seasons.

    Parameters
    ----------
    numbers : iterable of int or None
        Day number of each season, None where it had no freeze. [d]

    Returns
    -------
    MixedLaw
        The law; the deviation is that of a sample (n - 1). [d]

    Notes
    -----
    Thom's mixed law (1959, from memory) as the national freeze tables use it: see
    `day_at_chance`.

    Examples
    --------
    >>> fit_mixed_law([60, 70, None])
    MixedLaw(n=3, n_with=2, mean_day=65.0, sd_day=7.07)
    """
    every = list(numbers)
    days = [number for number in every if number is not None]
    mean = sum(days) / len(days) if days else None
    deviation = None
    if mean is not None and len(days) > 1:
        squares = sum((day - mean) ** 2 for day in days)
        deviation = math.sqrt(squares / (len(days) - 1))
    return MixedLaw(len(every), len(days), mean, deviation)


def day_at_chance(law: MixedLaw, chance: float, season: Season) -> float | None:
    """Return the day that a freeze comes before (fall) or after (spring) by chance.

    Parameters
    ----------
    law : MixedLaw
        Fitted law. [d]
    chance : float
        Above 0, below 1. [-]
    season : str
        ``fall``: the first freeze comes earlier; ``spring``: the last comes later. [-]

    Returns
    -------
    float or None
        Day number, not rounded; None where so many seasons have no freeze that the
        chance is never reached, or where fewer than two had one. [d]

    Notes
    -----
    m + s z(p/q) in fall, m + s z(1 - p/q) in spring, q the share of seasons with a
    freeze. Mind the words: the 10 % date is early in fall and late in spring.

    Examples
    --------
    >>> round(day_at_chance(MixedLaw(36, 36, 67.06, 8.50), 0.1, "fall"), 2)
    56.17
    """
    score = _score(law, chance)
    if score is None or law.mean_day is None or law.sd_day is None:
        return None
    return law.mean_day + law.sd_day * (score if season == "fall" else -score)


def chance_by(law: MixedLaw, day: ArrayLike) -> Array:
    """Return the chance that the freeze of a season comes on or before a day.

    Parameters
    ----------
    law : MixedLaw
        Fitted law with at least two freezes. [d]
    day : array_like
        Day number. [d]

    Returns
    -------
    ndarray
        q Φ((d - m)/s). [-]

    Raises
    ------
    EngineError
        If fewer than two seasons had a freeze.

    Examples
    --------
    >>> round(float(chance_by(MixedLaw(30, 30, 71.3, 11.0), 61)), 3)
    0.175
    """
    mean, deviation = _moments(law)
    over = np.asarray(day, dtype=np.float64) - mean
    # All on one day: a step there.
    score = over / deviation if deviation else np.where(over < 0.0, -np.inf, np.inf)
    result: Array = law.n_with / law.n * ndtr(score)
    return result


def day_at_score(law: MixedLaw, score: float) -> float:
    """Return the day some deviations after the mean freeze.

    Parameters
    ----------
    law : MixedLaw
        Fitted law with at least two freezes. [d]
    score : float
        Deviations. [-]

    Returns
    -------
    float
        Day number, not rounded. [d]

    Raises
    ------
    EngineError
        If fewer than two seasons had a freeze.

    Examples
    --------
    >>> day_at_score(MixedLaw(30, 30, 70.0, 12.0), -0.5)
    64.0
    """
    mean, deviation = _moments(law)
    return mean + score * deviation


def standard_error(law: MixedLaw, chance: float) -> float | None:
    """Return the standard error of `day_at_chance`.

    Parameters
    ----------
    law : MixedLaw
        Fitted law. [d]
    chance : float
        Above 0, below 1. [-]

    Returns
    -------
    float or None
        Standard error; None where there is no such day. [d]

    Notes
    -----
    s sqrt((1 + z²/2)/n), the large-sample error of a quantile of a normal law; the
    error of q is left out.

    Examples
    --------
    >>> round(standard_error(MixedLaw(30, 30, 70.0, 12.0), 0.1), 2)
    2.96
    """
    score = _score(law, chance)
    if score is None or law.sd_day is None:
        return None
    return law.sd_day * math.sqrt((1.0 + score**2 / 2.0) / law.n_with)


def ranked_day(
    numbers: Sequence[float | None], chance: float, season: Season
) -> float | None:
    """Return the empirical quantile: what the seasons themselves say, without a law.

    Parameters
    ----------
    numbers : sequence of float or None
        Day number of each valid season, None where it had no freeze. [d]
    chance : float
        Above 0, below 1. [-]
    season : str
        ``fall`` or ``spring``. [-]

    Returns
    -------
    float or None
        Day number, interpolated; None beyond the earliest or latest season seen, and
        among those without a freeze. [d]

    Notes
    -----
    Weibull's plotting position i/(n + 1); seasons without a freeze rank last.

    Examples
    --------
    >>> ranked_day([70, None, 60], 0.25, "fall"), ranked_day([70, None, 60], 0.9, "fall")
    (60.0, None)
    """
    days = sorted(
        (number for number in numbers if number is not None),
        reverse=season == "spring",
    )
    position = chance * (len(numbers) + 1)
    whole = math.floor(position + 1e-9)
    part = max(position - whole, 0.0)
    part = 0.0 if part < 1e-9 else part
    if whole < 1 or whole + (part > 0.0) > len(days):
        return None
    below = days[whole - 1]
    return below + part * (days[whole] - below) if part else float(below)


def _score(law: MixedLaw, chance: float) -> float | None:
    """Return z(p/q), None where the chance is not reached."""
    if not law.n_with or chance * law.n >= law.n_with * (1.0 - 1e-12):
        return None
    return float(ndtri(chance * law.n / law.n_with))


def _moments(law: MixedLaw) -> tuple[float, float]:
    if law.mean_day is None or law.sd_day is None:
        raise EngineError(
            f"{law.n_with} seasons with a freeze make no law of its dates: give a "
            "longer record"
        )
    return law.mean_day, law.sd_day
