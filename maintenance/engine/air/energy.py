"""Energy stored in compressed air."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from maintenance.engine.constants import HEAT_RATIO_AIR

Array = NDArray[np.float64]

AMBIENT_PRESSURE_PCC2_PA = 101_000.0
TNT_J_PER_KG = 4_266_920.0
HIGHLY_HAZARDOUS_J = 100_000.0


def stored_energy_pcc2(volume_m3: ArrayLike, pressure_abs_pa: ArrayLike) -> Array:
    """Energy that air gives when it bursts out to the atmosphere.

    Parameters
    ----------
    volume_m3 : array_like
        Volume filled with air [m3].
    pressure_abs_pa : array_like
        Absolute pressure, above 0 [Pa].

    Returns
    -------
    ndarray
        Energy, 0 at or below ambient pressure [J].

    Notes
    -----
    E = p V/(k - 1) [1 - (p_a/p)^((k-1)/k)] with p_a = 101,000 Pa. Source: ASME
    PCC-2-2008, article 5.1, mandatory appendix II, equations II-1 and II-2. A
    worked example on the web (400 gal at 404.7 psia, 27,574,000 ft lb) carries a
    wrong exponent and is not used.

    Examples
    --------
    >>> round(float(stored_energy_pcc2(1.0, 650e3)))
    670388
    """
    p = np.asarray(pressure_abs_pa, dtype=np.float64)
    exponent = (HEAT_RATIO_AIR - 1.0) / HEAT_RATIO_AIR
    release = 1.0 - np.minimum(AMBIENT_PRESSURE_PCC2_PA / p, 1.0) ** exponent
    result: Array = p * np.asarray(volume_m3) / (HEAT_RATIO_AIR - 1.0) * release
    return result


def tnt_mass_pcc2(energy_j: ArrayLike) -> Array:
    """Mass of TNT of the same energy.

    Parameters
    ----------
    energy_j : array_like
        Energy [J].

    Returns
    -------
    ndarray
        Mass [kg].

    Notes
    -----
    E/4,266,920 J. Source: ASME PCC-2-2008, equation II-3. The University of
    California, Berkeley, counts 4.62 kJ a gram, 8 % more.

    Examples
    --------
    >>> round(float(tnt_mass_pcc2(670388.0)), 4)
    0.1571
    """
    result: Array = np.asarray(energy_j, dtype=np.float64) / TNT_J_PER_KG
    return result
