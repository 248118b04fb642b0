"""Constants of freezing, in SI; one place, one value each."""

from typing import Final

FREEZING_POINT_K: Final = 273.15
"""Melting point of ice at one atmosphere, 32 degF [K]."""

LATENT_HEAT: Final = 333.6e3
"""Heat of fusion of ice [J/kg]; handbook value."""

WATER_SPECIFIC_HEAT: Final = 4217.0
"""Specific heat of water at 0 degC [J/kg/K]; handbook value."""

ICE_SPECIFIC_HEAT: Final = 2100.0
"""Specific heat of ice near 0 degC [J/kg/K]; from memory."""

HEAT_OF_ONE_BTU_PER_LB_DEGF: Final = 4186.8
"""1 Btu/(lb degF), the water of the American formulas [J/kg/K]; exact."""

STEFAN_BOLTZMANN: Final = 5.670374e-8
"""Stefan-Boltzmann constant [W/m2/K4]; CODATA 2018, rounded."""

SECONDS_PER_DAY: Final = 86_400.0
SECONDS_PER_HOUR: Final = 3600.0
DAYS_PER_YEAR: Final = 365.0
"""Length of the year in the soil formulas [d]."""
