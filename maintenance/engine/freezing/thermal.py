"""The heat that a part holds and how it is wrapped, for each metre of it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.errors import InputError
from maintenance.engine.freezing.constants import (
    ICE_SPECIFIC_HEAT,
    LATENT_HEAT,
    WATER_SPECIFIC_HEAT,
)
from maintenance.engine.freezing.handbook import layer_resistance

Array = NDArray[np.float64]

METAL_EMISSIVITY: Final = 0.6
"""Of weathered copper, brass or iron [-]; assumed. Polished metal has far less."""

DULL_EMISSIVITY: Final = 0.9
"""Of plastic, foam, cloth and paint [-]; handbook value, from memory."""

COVER_CONDUCTIVITY: Final = 0.040
"""Of pipe foam, and of a cover of which only the R-value is known [W/m/K]; assumed."""

PVC_HEAT: Final = 1400.0 * 1000.0
PE_HEAT: Final = 950.0 * 1900.0
WALL_HEAT: Final[Mapping[str, float]] = MappingProxyType(
    {
        "copper": 8940.0 * 385.0,
        "brass": 8500.0 * 380.0,
        "bronze": 8800.0 * 380.0,
        "iron": 7200.0 * 460.0,
        "steel": 7850.0 * 470.0,
        "PVC": PVC_HEAT,
        "PE": PE_HEAT,
        "PE100": PE_HEAT,
        "unknown plastic": PVC_HEAT,
    }
)
"""Heat capacity of the wall, density times specific heat [J/m3/K]; from memory."""

_PLASTICS: Final = ("PVC", "PE", "PE100", "unknown plastic")


@dataclass(frozen=True, slots=True, kw_only=True)
class Insulation:
    """A layer around a part: thickness [m] and conductivity [W/m/K]."""

    thickness_m: float
    conductivity_w_per_m_k: float


@dataclass(frozen=True, slots=True)
class Thermal:
    """What one part, or an array of parts, holds and how it is wrapped.

    Each is a number or an array, for each metre of the part: heat capacity while the
    water is liquid and while it is ice [J/m/K], heat of fusion [J/m], resistance of
    the insulation [m K/W]; then the outside diameter [m] and emissivity [-] of the
    surface. The wall of the part itself resists nothing: a little too quick for
    plastic.
    """

    liquid_j_per_m_k: Array
    ice_j_per_m_k: Array
    latent_j_per_m: Array
    insulation_m_k_per_w: Array
    surface_diameter_m: Array
    emissivity: Array


def insulation_of_r_value(r_value_m2_k_per_w: float) -> Insulation | None:
    """Return the layer that stands for a cover known by its R-value.

    Parameters
    ----------
    r_value_m2_k_per_w : float
        R-value, at least 0; R-5 is 0.88 [m2 K/W].

    Returns
    -------
    Insulation or None
        Foam of that R-value, wrapped around the part; None for an R-value of 0 [SI].

    Examples
    --------
    >>> round(insulation_of_r_value(0.8806).thickness_m, 4)
    0.0352
    """
    _refuse_negative("insulation_r", r_value_m2_k_per_w, "0.9 m2*K/W")
    if r_value_m2_k_per_w == 0.0:
        return None
    return Insulation(
        thickness_m=r_value_m2_k_per_w * COVER_CONDUCTIVITY,
        conductivity_w_per_m_k=COVER_CONDUCTIVITY,
    )


def thermal_part(
    inside_diameter_m: float,
    outside_diameter_m: float,
    material: str,
    insulation: Insulation | None = None,
) -> Thermal:
    """Work out the heat that a round part holds, full of water.

    Parameters
    ----------
    inside_diameter_m : float
        Bore, above 0 [m].
    outside_diameter_m : float
        Outside of the bare part, above the bore [m].
    material : str
        A key of `WALL_HEAT` [text].
    insulation : Insulation, optional
        Layer around it; none if left out [SI].

    Returns
    -------
    Thermal
        For each metre [SI].

    Raises
    ------
    InputError
        For an unknown material, a size that is not possible or not finite.
    """
    if material not in WALL_HEAT:
        known = ", ".join(WALL_HEAT)
        raise InputError(
            f'material: "{material}" is not known here; write one of {known}',
            input="material",
        )
    if not (math.isfinite(inside_diameter_m) and inside_diameter_m > 0.0):
        raise InputError(
            "inside_diameter: give a finite diameter above 0", input="inside_diameter"
        )
    if not (
        math.isfinite(outside_diameter_m) and outside_diameter_m > inside_diameter_m
    ):
        raise InputError(
            "outside_diameter: it must be larger than the inside diameter",
            input="outside_diameter",
        )
    water = WATER_DENSITY * _disc(inside_diameter_m)
    wall = _disc(outside_diameter_m) - _disc(inside_diameter_m)
    wall *= WALL_HEAT[material]
    surface, resistance = outside_diameter_m, 0.0
    if insulation is not None:
        _refuse_negative("insulation_thickness", insulation.thickness_m, "13 mm")
        k = insulation.conductivity_w_per_m_k
        if not (math.isfinite(k) and k > 0.0):
            raise InputError(
                "insulation_conductivity: give a finite number above 0",
                input="insulation_conductivity",
            )
        surface += 2.0 * insulation.thickness_m
        resistance = float(layer_resistance(outside_diameter_m, surface, k))
    bare_metal = resistance == 0.0 and material not in _PLASTICS
    return Thermal(
        liquid_j_per_m_k=np.array(water * WATER_SPECIFIC_HEAT + wall),
        ice_j_per_m_k=np.array(water * ICE_SPECIFIC_HEAT + wall),
        latent_j_per_m=np.array(water * LATENT_HEAT),
        insulation_m_k_per_w=np.array(resistance),
        surface_diameter_m=np.array(surface),
        emissivity=np.array(METAL_EMISSIVITY if bare_metal else DULL_EMISSIVITY),
    )


def stack_parts(parts: Sequence[Thermal]) -> Thermal:
    """Put parts side by side, so that they are computed together.

    Parameters
    ----------
    parts : sequence of Thermal
        Parts of equal shape [SI].

    Returns
    -------
    Thermal
        The same with the parts along the last axis [SI].
    """
    return Thermal(
        *(
            np.stack([np.asarray(getattr(part, name)) for part in parts], axis=-1)
            for name in Thermal.__dataclass_fields__
        )
    )


def _disc(diameter_m: float) -> float:
    return 0.25 * math.pi * diameter_m**2


def _refuse_negative(name: str, value: float, example: str) -> None:
    if not (math.isfinite(value) and value >= 0.0):
        raise InputError(
            f"{name}: give a finite number, 0 or more, such as {example}", input=name
        )
