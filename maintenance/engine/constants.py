"""Constants of nature and of convention, in SI; one place, one value each."""

from typing import Final

STANDARD_GRAVITY: Final = 9.80665
"""Acceleration of free fall [m/s2]; conventional value, CGPM 1901."""

GAS_CONSTANT_AIR: Final = 287.05
"""Specific gas constant of dry air [J/kg/K]; US Standard Atmosphere 1976 (rounded)."""

HEAT_RATIO_AIR: Final = 1.4
"""Ratio of the specific heats of air [-]."""

SPECIFIC_HEAT_AIR: Final = HEAT_RATIO_AIR * GAS_CONSTANT_AIR / (HEAT_RATIO_AIR - 1.0)
"""Specific heat of air at constant pressure [J/kg/K]; follows from the two above."""

STANDARD_PRESSURE_PA: Final = 101_325.0
"""Absolute pressure of standard air, and of the atmosphere at sea level [Pa]."""

STANDARD_TEMPERATURE_K: Final = 293.15
"""Temperature of standard air, 68 degF [K]; other bodies use 60 degF or 0 degC."""

STANDARD_AIR_DENSITY: Final = STANDARD_PRESSURE_PA / (
    GAS_CONSTANT_AIR * STANDARD_TEMPERATURE_K
)
"""Density of standard air, about 1.2041 [kg/m3]."""

WATER_DENSITY: Final = 1000.0
"""Density of water [kg/m3]."""

WATER_VISCOSITY: Final = 1.3e-3
"""Viscosity of water at about 10 degC [Pa s]; 1.306e-3 at 10 degC by IAPWS."""

SURFACE_TENSION: Final = 0.0742
"""Surface tension of water against air at about 10 degC [N/m]; IAPWS R1-76."""

PLASTIC_ROUGHNESS_M: Final = 1.5e-6
"""Roughness of drawn plastic pipe [m]; common practice, from memory."""
