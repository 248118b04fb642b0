"""Acting on a forecast: the chance of a cold night, and the last chance to work."""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from maintenance.engine.climate.degrees import DEGF_PER_K, Array
from maintenance.engine.errors import InputError

HALF_DEGF_K: Final = 0.5 / DEGF_PER_K
"""Half a whole °F: an observed 28 °F stands for all below 28.5 °F [K]."""


def chance_at_or_below(
    forecast_k: ArrayLike,
    threshold_k: ArrayLike,
    sigma_k: ArrayLike,
    *,
    bias_k: ArrayLike = 0.0,
    continuity_k: float = HALF_DEGF_K,
) -> Array:
    """Return the chance that a night's minimum is at or below a threshold.

    Parameters
    ----------
    forecast_k : array_like
        Forecast minimum. [K]
    threshold_k : array_like
        Threshold. [K]
    sigma_k : array_like
        Standard deviation of the forecast's error, above 0. [K]
    bias_k : array_like
        Mean of forecast less observed. [K]
    continuity_k : float
        Half a step of the observations, 0 where these are not rounded. [K]

    Returns
    -------
    ndarray
        Chance, NaN where the forecast is unknown. [-]

    Notes
    -----
    Φ((threshold + continuity - forecast + bias)/σ): errors follow a normal law.

    Examples
    --------
    >>> round(float(chance_at_or_below(0.0, 0.0, 1.0, continuity_k=0.0)), 2)
    0.5
    """
    score = (
        np.asarray(threshold_k, dtype=np.float64)
        + continuity_k
        - np.asarray(forecast_k, dtype=np.float64)
        + np.asarray(bias_k, dtype=np.float64)
    ) / np.asarray(sigma_k, dtype=np.float64)
    result: Array = ndtr(score)
    return result


def chance_worth_acting_on(
    value_of_a_day: float, cost_of_damage: float, share_saved: float
) -> float:
    """Return the chance of a damaging night from which on acting costs less.

    Parameters
    ----------
    value_of_a_day : float
        What one more day of watering is worth. [money]
    cost_of_damage : float
        Cost of damage if the freeze finds the parts full. [money]
    share_saved : float
        Share of that damage that somebody who hurries out still prevents, at least 0
        and below 1. [-]

    Returns
    -------
    float
        Chance; above 1 where watering is worth more than any damage. [-]

    Raises
    ------
    InputError
        If an amount is not above 0 or the share not below 1.

    Notes
    -----
    v/(C (1 - a)), the cost-loss ratio (Murphy's model, as told in encyclopaedias; FAO,
    Snyder et al. 2005, Frost Protection, vol. 2, ch. 1, sets the same choice as
    probability and risk).

    Examples
    --------
    >>> round(chance_worth_acting_on(5.0, 400.0, 0.8), 4)
    0.0625
    """
    for name, amount in (
        ("value of a day", value_of_a_day),
        ("cost of damage", cost_of_damage),
    ):
        if not 0.0 < amount < np.inf:
            raise InputError(f"The {name} is {amount:g}; write an amount above 0")
    if not 0.0 <= share_saved < 1.0:
        raise InputError(
            f"The share of damage that is saved is {share_saved:g}; write at least 0 "
            "and less than 1",
            low=0.0,
            high=1.0,
        )
    return value_of_a_day / (cost_of_damage * (1.0 - share_saved))


def is_last_chance(chances: ArrayLike, act_at: float) -> NDArray[np.bool_]:
    """Tell whether planned work must be called now.

    Parameters
    ----------
    chances : array_like
        Chance of a damaging night at each lead from tonight to the first night that
        a crew called now still protects (leads 1 to crew days + 1), along the last
        axis; NaN where there is no forecast. [-]
    act_at : float
        Chance from which on acting costs less. [-]

    Returns
    -------
    ndarray of bool
        True where one of these nights reaches it. [-]

    Notes
    -----
    Nights further ahead do not count: they can still be protected tomorrow, when
    more is known. Looking at all seven days wastes weeks of watering.

    Examples
    --------
    >>> bool(is_last_chance([0.01, 0.04, 0.12], 0.10))
    True
    """
    known = np.nan_to_num(np.asarray(chances, dtype=np.float64), nan=0.0)
    result: NDArray[np.bool_] = np.asarray((known >= act_at).any(axis=-1))
    return result
