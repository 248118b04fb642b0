"""Water: its viscosity, and the pressure that a head of it makes."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY

Array = NDArray[np.float64]

_FACTORS = np.array([280.68, 511.45, 61.131, 0.45903])
_POWERS = np.array([-1.9, -7.7, -19.6, -40.0])


def viscosity_iapws(temperature_k: ArrayLike) -> Array:
    """Dynamic viscosity of liquid water near atmospheric pressure.

    Parameters
    ----------
    temperature_k : array_like
        Temperature, 253.15 to 383.15 [K].

    Returns
    -------
    ndarray
        Dynamic viscosity [Pa s].

    Notes
    -----
    10^-6 sum a_i (T/300 K)^b_i, four terms. Source: IAPWS SR6-08(2011), liquid water
    at 0.1 MPa (range read, coefficients from memory; a test compares them with the
    full formulation in CoolProp).

    Examples
    --------
    >>> round(float(viscosity_iapws(293.15)) * 1e6)
    1002
    """
    scaled = np.asarray(temperature_k, dtype=np.float64)[..., np.newaxis] / 300.0
    result: Array = 1e-6 * np.sum(_FACTORS * scaled**_POWERS, axis=-1)
    return result


def pressure_of_head(head_m: ArrayLike) -> Array:
    """Pressure at the foot of a column of water.

    Parameters
    ----------
    head_m : array_like
        Height of the column [m].

    Returns
    -------
    ndarray
        Pressure above that at its top [Pa].

    Notes
    -----
    rho g h with 1000 kg/m3. The trade's 2.31 ft to the psi is B. Boman, UF/IFAS,
    Chapter 21 Hydraulics, equation 21-1; this is 0.14 % from it.

    Examples
    --------
    >>> round(float(pressure_of_head(10.0)))
    98066
    """
    result: Array = (
        WATER_DENSITY * STANDARD_GRAVITY * np.asarray(head_m, dtype=np.float64)
    )
    return result
