"""How deep the frost goes in a winter: Stefan, modified Berggren, soil properties."""

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import erf, erfcx

from maintenance.engine.errors import InputError
from maintenance.engine.freezing.constants import HEAT_OF_ONE_BTU_PER_LB_DEGF

Array = NDArray[np.float64]

_HEAT: Final = HEAT_OF_ONE_BTU_PER_LB_DEGF
_BTU_PER_LB: Final = _HEAT / 1.8
_LB_PER_FT3: Final = 16.018463373960142
_KERSTEN_UNIT: Final = 0.1442278934
"""1 Btu in/(h ft2 degF) [W/m/K]."""


def soil_latent_heat(dry_density_kg_per_m3: float, water_percent: float) -> float:
    """Heat that freezing the water of a soil sets free.

    Parameters
    ----------
    dry_density_kg_per_m3 : float
        Dry density of the soil [kg/m3].
    water_percent : float
        Water, per cent of the dry mass [%].

    Returns
    -------
    float
        Latent heat [J/m3].

    Notes
    -----
    L = 144 gd w/100 in Btu/ft3. Source: TM 5-852-4 (US Army), as reprinted.

    Examples
    --------
    >>> round(soil_latent_heat(1601.846, 15.0) / 1e6, 2)
    80.48
    """
    return 144.0 * _BTU_PER_LB * dry_density_kg_per_m3 * water_percent / 100.0


def soil_heat_capacity(dry_density_kg_per_m3: float, water_percent: float) -> float:
    """Mean heat capacity of a soil, half frozen.

    Parameters
    ----------
    dry_density_kg_per_m3 : float
        Dry density of the soil [kg/m3].
    water_percent : float
        Water, per cent of the dry mass [%].

    Returns
    -------
    float
        Heat capacity [J/m3/K].

    Notes
    -----
    C = gd (0.17 + 0.75 w/100) in Btu/ft3/degF. Source: TM 5-852-4, as reprinted.

    Examples
    --------
    >>> round(soil_heat_capacity(1601.846, 15.0) / 1e6, 3)
    1.895
    """
    return dry_density_kg_per_m3 * _HEAT * (0.17 + 0.75 * water_percent / 100.0)


def stefan_depth(
    conductivity_w_per_m_k: float, index_k_s: float, latent_heat_j_per_m3: float
) -> float:
    """Depth of frost if only the latent heat counts: an upper bound.

    Parameters
    ----------
    conductivity_w_per_m_k : float
        Of the frozen soil [W/m/K].
    index_k_s : float
        Freezing index at the surface [K s].
    latent_heat_j_per_m3 : float
        Latent heat of the soil, above 0 [J/m3].

    Returns
    -------
    float
        Depth [m].

    Notes
    -----
    X = sqrt(2 k I/L). Source: Stefan 1891, as in TM 5-852-6.

    Examples
    --------
    >>> round(stefan_depth(1.5, 5.0 * 30 * 86400, 0.25 * 333.6e6), 4)
    0.6828
    """
    return math.sqrt(2.0 * conductivity_w_per_m_k * index_k_s / latent_heat_j_per_m3)


def lambda_neumann(mu: float, alpha: float) -> float:
    """Coefficient of the modified Berggren formula, exact.

    Parameters
    ----------
    mu : float
        Heat capacity times surface frost over the latent heat, above 0 [-].
    alpha : float
        How far the ground starts above freezing, over the mean surface frost, at
        least 0 [-].

    Returns
    -------
    float
        Coefficient, above 0, at most 1 [-].

    Raises
    ------
    InputError
        If mu is not above 0, alpha below 0, or either not finite.

    Notes
    -----
    Root b of exp(-b^2)/erf b - alpha exp(-b^2)/erfc b = b sqrt(pi)/mu (two-phase
    Neumann solution, equal k and C in both phases), lambda = b sqrt(2/mu). The
    manuals print it as a chart. The short cut 1/sqrt(1 + mu (alpha + 0.5)) gives far
    too deep a frost where the ground is warm; it is not used.

    Examples
    --------
    >>> round(lambda_neumann(0.2, 0.5), 4)
    0.8641
    """
    if not (math.isfinite(mu) and mu > 0.0):
        raise InputError(f"mu is {mu:g}; give a finite number above 0", input="mu")
    if not (math.isfinite(alpha) and alpha >= 0.0):
        raise InputError(
            f"alpha is {alpha:g}; give a finite number, 0 or more", input="alpha"
        )

    def fault(b: float) -> float:
        gained = math.exp(-b * b) / erf(b) - alpha / erfcx(b)
        return float(gained - b * math.sqrt(math.pi) / mu)

    # The coefficient never exceeds 1: the root lies below sqrt(mu/2).
    root = float(brentq(fault, 1e-12, math.sqrt(0.5 * mu) * 1.000001, xtol=1e-14))
    return root * math.sqrt(2.0 / mu)


def conductivity_kersten(
    dry_density_kg_per_m3: ArrayLike,
    water_percent: ArrayLike,
    *,
    frozen: bool,
    sand: bool = False,
) -> Array:
    """Thermal conductivity of soil.

    Parameters
    ----------
    dry_density_kg_per_m3 : array_like
        Dry density of the soil, about 1300 to 2100 [kg/m3].
    water_percent : array_like
        Water, per cent of the dry mass; above about 7 in fine soil, 1 in sand [%].
    frozen : bool
        Whether the soil is frozen [-].
    sand : bool
        Whether it is sand or gravel, else silt or clay [-].

    Returns
    -------
    ndarray
        Conductivity, within about 25 % [W/m/K].

    Notes
    -----
    Source: Kersten, Bulletin 28, University of Minnesota, 1949; coefficients from
    memory, in agreement with a published reading for silt.

    Examples
    --------
    >>> round(float(conductivity_kersten(1601.846, 15.0, frozen=True)), 3)
    1.389
    """
    g = np.asarray(dry_density_kg_per_m3, dtype=np.float64) / _LB_PER_FT3
    w = np.asarray(water_percent, dtype=np.float64)
    if frozen and sand:
        k = 0.076 * 10.0 ** (0.013 * g) + 0.032 * 10.0 ** (0.0146 * g) * w
    elif frozen:
        k = 0.01 * 10.0 ** (0.022 * g) + 0.085 * 10.0 ** (0.008 * g) * w
    elif sand:
        k = (0.7 * np.log10(w) + 0.4) * 10.0 ** (0.01 * g)
    else:
        k = (0.9 * np.log10(w) - 0.2) * 10.0 ** (0.01 * g)
    result: Array = k * _KERSTEN_UNIT
    return result
