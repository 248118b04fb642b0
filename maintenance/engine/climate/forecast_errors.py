"""How far forecasts of a night's minimum miss: assumed at first, then a site's own."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.engine.climate.degrees import DEGF_PER_K
from maintenance.engine.climate.forecast import LEADS, LESS_TRUST_AFTER_S
from maintenance.engine.climate.series import check_offset

DEFAULT_SIGMA_K: Final = tuple(
    degf / DEGF_PER_K for degf in (3.0, 3.3, 3.8, 4.4, 5.0, 5.6, 6.2)
)
"""Standard deviation of a forecast minimum at leads 1 to 7 [K].

Assumed until a site has learnt its own: no published table by lead was found.
"""

FEWEST_NIGHTS: Final = 60
"""Nights that a lead needs before its own errors replace the assumed ones; project
choice: then the deviation is known to about a tenth of itself."""

LEAST_SIGMA_K: Final = 1.0 / DEGF_PER_K
"""No learnt deviation counts as smaller [K]: observations come in whole °F from a
thermometer that is itself good to about 1 °F, and sixty nights of one calm season
resemble each other; assumed."""

FURTHEST_OFF_K: Final = 30.0
"""A forecast further than this from what was observed is no error but a mistake [K];
project choice."""

COLDEST_K: Final = 200.0
WARMEST_K: Final = 330.0
"""Outside these a night's minimum is absurd [K]; about -100 and +135 °F."""


@dataclass(frozen=True, slots=True)
class NightPair:
    """A night's minimum as forecast some days ahead and as it came at the site [K].

    Where a station observed it, the site's offset has been added to ``observed_k``.
    """

    lead: int
    forecast_k: float
    observed_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastErrors:
    """Errors of forecast minima at leads 1 to 7.

    ``bias_k`` is the mean of forecast less observed, ``sigma_k`` the deviation [K];
    ``nights`` how many pairs each lead has, ``learnt`` whether these are its errors;
    ``left_out`` counts pairs that could not be.
    """

    bias_k: tuple[float, ...]
    sigma_k: tuple[float, ...]
    nights: tuple[int, ...]
    learnt: tuple[bool, ...]
    left_out: int = 0


def default_errors(offset_k: float = 0.0) -> ForecastErrors:
    """Return the errors that are assumed for a site that has learnt none.

    Parameters
    ----------
    offset_k : float
        What the person says of the site against the forecast, negative in a hollow
        that is colder: there the forecast runs as much too warm. [K]

    Returns
    -------
    ForecastErrors
        The assumed deviations, and the offset with its sign turned as bias. [K]

    Raises
    ------
    InputError
        For an offset that is not possible.

    Examples
    --------
    >>> default_errors(-1.0).bias_k[0]
    1.0
    """
    check_offset(offset_k)
    bias = 0.0 - offset_k
    return ForecastErrors(
        bias_k=(bias,) * LEADS,
        sigma_k=DEFAULT_SIGMA_K,
        nights=(0,) * LEADS,
        learnt=(False,) * LEADS,
    )


def learn_errors(pairs: Sequence[NightPair], offset_k: float = 0.0) -> ForecastErrors:
    """Learn the errors of a site's forecasts from nights that have come.

    Parameters
    ----------
    pairs : sequence of NightPair
        Forecasts with what was observed later. [K]
    offset_k : float
        As for `default_errors`; it holds for leads that have not learnt. [K]

    Returns
    -------
    ForecastErrors
        A lead with at least `FEWEST_NIGHTS` has its own mean and sample deviation
        (n - 1), and the offset is not added to it: the nights hold it already. [K]

    Raises
    ------
    InputError
        For an offset that is not possible.
    """
    errors: dict[int, list[float]] = {lead: [] for lead in range(1, LEADS + 1)}
    for pair in pairs:
        if _possible(pair):
            errors[pair.lead].append(pair.forecast_k - pair.observed_k)
    assumed = default_errors(offset_k)
    bias, sigma = list(assumed.bias_k), list(assumed.sigma_k)
    nights = tuple(len(each) for each in errors.values())
    learnt = tuple(count >= FEWEST_NIGHTS for count in nights)
    for at, own in enumerate(errors.values()):
        if learnt[at]:
            bias[at], sigma[at] = _law_of(own)
    return ForecastErrors(
        bias_k=tuple(bias),
        sigma_k=tuple(sigma),
        nights=nights,
        learnt=learnt,
        left_out=len(pairs) - sum(nights),
    )


def at_age(errors: ForecastErrors, age_s: float) -> ForecastErrors:
    """Return the errors to reckon with where the forecast is no longer young.

    Parameters
    ----------
    errors : ForecastErrors
        Those of a young forecast. [K]
    age_s : float
        Age of the forecast, at least 0. [s]

    Returns
    -------
    ForecastErrors
        Those of a day further ahead where the forecast is old; the last lead keeps
        its own. [K]
    """
    if age_s <= LESS_TRUST_AFTER_S:
        return errors
    later = [min(at + 1, LEADS - 1) for at in range(LEADS)]
    return ForecastErrors(
        bias_k=tuple(errors.bias_k[at] for at in later),
        sigma_k=tuple(errors.sigma_k[at] for at in later),
        nights=tuple(errors.nights[at] for at in later),
        learnt=tuple(errors.learnt[at] for at in later),
        left_out=errors.left_out,
    )


def _possible(pair: NightPair) -> bool:
    both = (pair.forecast_k, pair.observed_k)
    return (
        pair.lead in range(1, LEADS + 1)
        and all(math.isfinite(each) and COLDEST_K < each < WARMEST_K for each in both)
        and abs(pair.forecast_k - pair.observed_k) <= FURTHEST_OFF_K
    )


def _law_of(own: Sequence[float]) -> tuple[float, float]:
    mean = sum(own) / len(own)
    squares = sum((each - mean) ** 2 for each in own)
    return mean, max(math.sqrt(squares / (len(own) - 1)), LEAST_SIGMA_K)
