"""Worksheets on free air: what a compressor gives and what displacement takes."""

from maintenance.engine.air.outlets import (
    effective_area_from_k,
    mass_flow_nozzle,
    outlet_coefficient,
)
from maintenance.engine.air.properties import (
    atmospheric_pressure,
    mass_flow_of_free_air,
    standard_flow,
)
from maintenance.engine.constants import STANDARD_TEMPERATURE_K
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import (
    ELEVATION,
    HIGHEST_PRESSURE_PA,
    STANDARD_AIR,
    air_flow,
    temperature,
)


def _free_air(
    *, free_air_delivery: float, elevation: float, inlet_temperature: float
) -> Outcome:
    site = atmospheric_pressure(elevation)
    mass = mass_flow_of_free_air(free_air_delivery, site, inlet_temperature)
    return Outcome(
        {
            "mass_flow_kg_per_s": float(mass),
            "standard_m3_per_s": float(standard_flow(mass)),
        }
    )


def _displacement_air(*, flow: float, pressure: float, elevation: float) -> Outcome:
    site = float(atmospheric_pressure(elevation))
    area = effective_area_from_k(outlet_coefficient(flow, pressure))
    dry = mass_flow_nozzle(area, site + pressure, site, STANDARD_TEMPERATURE_K)
    return Outcome(
        {
            "actual_m3_per_s": flow,
            "free_m3_per_s": flow * (site + pressure) / site,
            "standard_m3_per_s_heads_dry": float(standard_flow(dry)),
        },
        assumptions=(
            (
                "all the water leaves through heads that pass air as nozzles of the same "
                "effective area, at 68 °F (20 °C)"
            ),
        ),
    )


WORKSHEETS = (
    Worksheet(
        name="free_air",
        title="Air a compressor delivers here",
        purpose="Mass and standard volume from the free air delivery of a compressor.",
        method="mass = free air delivery x site air pressure/(R x inlet temperature)",
        inputs=(
            air_flow("free_air_delivery", "free air delivery, at inlet conditions"),
            ELEVATION,
            temperature("inlet_temperature", "temperature of the air taken in"),
        ),
        outputs=(
            Output(
                key="mass_flow_kg_per_s",
                label="mass flow",
                dimension="mass_flow",
                rounding="down",
            ),
            Output(
                key="standard_m3_per_s",
                label="flow of standard air",
                dimension="air_flow",
                rounding="down",
            ),
        ),
        sources=(
            "US Standard Atmosphere 1976",
            "ideal gas, R = 287.05 J/kg/K",
            (
                "Plant Services, Inlet temperature, outlet pressure and storage, 2009 "
                "(what free air delivery means)"
            ),
        ),
        function=_free_air,
        cautions=(
            f"Here {STANDARD_AIR}; other bodies use 60 °F or 0 °C.",
            "A plate often shows swept volume or peak power, not free air delivery.",
        ),
    ),
    Worksheet(
        name="displacement_air",
        title="Air that replaces water, and air that dry heads pass",
        purpose="What the rule gallons a minute over 7.5 means, and where it ends.",
        method=(
            "actual = water flow; free = actual x absolute/air pressure; dry: nozzle "
            "law with the water's effective area"
        ),
        inputs=(
            Input(
                name="flow",
                label="water flow of the zone",
                dimension="flow",
                low=1e-7,
                high=0.5,
            ),
            Input(
                name="pressure",
                label="gauge pressure at which it flows",
                dimension="pressure",
                low=1000.0,
                high=HIGHEST_PRESSURE_PA,
            ),
            ELEVATION,
        ),
        outputs=(
            Output(
                key="actual_m3_per_s",
                label="air at line pressure while water flows",
                dimension="air_flow",
                rounding="up",
            ),
            Output(
                key="free_m3_per_s",
                label="free air while water flows",
                dimension="air_flow",
                rounding="up",
            ),
            Output(
                key="standard_m3_per_s_heads_dry",
                label="standard air to hold the pressure with all heads dry",
                dimension="air_flow",
                rounding="up",
            ),
        ),
        sources=(
            (
                "7.48052 gal/ft3, behind the rule in Colorado State University Extension, "
                "fact sheet 4.719"
            ),
            "isentropic nozzle law",
        ),
        function=_displacement_air,
        cautions=(
            "The rule keeps water moving; it is a lower bound and does not sweep.",
        ),
    ),
)
