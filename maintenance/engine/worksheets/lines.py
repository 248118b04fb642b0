"""Worksheets on air through a line with friction."""

import math

import numpy as np

from maintenance.engine.air.line_flow import (
    choke_ratio_isothermal,
    length_parameter_fanno,
    mass_flow_isothermal,
    mass_flow_line,
    pressure_out_isothermal,
)
from maintenance.engine.air.properties import (
    atmospheric_pressure,
    density,
    viscosity,
)
from maintenance.engine.constants import (
    STANDARD_PRESSURE_PA,
)
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.friction import darcy_churchill
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input, Pressure
from maintenance.engine.worksheets.site_inputs import (
    ELEVATION,
    ROUGHNESS,
    air_flow,
    bore,
    gauge_or_absolute,
    length,
    temperature,
)

_SOURCE = "Crane TP-410 (2009), equation 1-6, as given in the fluids documentation"
_FRICTION = "Churchill, Chemical Engineering 84(24), 91-92, 1977"

FRICTION_FACTOR = Input(
    name="friction_factor",
    label="Darcy friction factor",
    kind="number",
    low=1e-4,
    high=1.0,
    optional=True,
    help="Left out, it follows from the roughness.",
)
LOSSES = Input(
    name="losses",
    label="sum of loss coefficients of fittings",
    kind="number",
    low=0.0,
    high=1e6,
    default="0",
    default_origin="no fittings",
)


def _air_line(  # noqa: PLR0913  (one argument for each input)
    *,
    pressure_in: Pressure,
    pressure_out: Pressure,
    temperature: float,
    inside_diameter: float,
    length: float,
    friction_factor: float | None,
    roughness: float,
    losses: float,
    elevation: float,
) -> Outcome:
    site = float(atmospheric_pressure(elevation))
    p_in, p_out = pressure_in.absolute(site), pressure_out.absolute(site)
    unused = frozenset() if friction_factor is None else frozenset({"roughness"})
    if not p_in > 0.0:
        raise InputError(
            "pressure_in: there must be some pressure; give one above 0 abs",
            input="pressure_in",
            low=0.0,
        )
    if friction_factor is None:
        _, factor = mass_flow_line(
            p_in,
            p_out,
            temperature_k=temperature,
            inside_diameter_m=inside_diameter,
            length_m=length,
            roughness_m=roughness,
            losses=losses,
        )
        friction_factor = float(factor)
    resistance = friction_factor * length / inside_diameter + losses
    choke = p_in * float(choke_ratio_isothermal(resistance))
    flow = mass_flow_isothermal(
        p_in,
        p_out,
        temperature_k=temperature,
        inside_diameter_m=inside_diameter,
        resistance=resistance,
    )
    return Outcome(
        {
            "mass_flow_kg_per_s": float(flow),
            "choked": p_out <= choke,
            "choke_pressure_pa": choke,
        },
        warnings=() if p_in > p_out else (_NO_FLOW,),
        assumptions=(f"Darcy friction factor {friction_factor:.4f}",),
        unused=unused,
    )


_NO_FLOW = Warning(
    "no_flow",
    "The pressure at the inlet is not above the one at the outlet: nothing flows.",
    ("pressure_in", "pressure_out"),
)


def _air_line_drop(  # noqa: PLR0913  (one argument for each input)
    *,
    pressure_in: Pressure,
    standard_flow: float,
    reference_temperature: float,
    temperature: float,
    inside_diameter: float,
    length: float,
    roughness: float,
    losses: float,
    elevation: float,
) -> Outcome:
    site = float(atmospheric_pressure(elevation))
    p_in = pressure_in.absolute(site)
    mass = standard_flow * float(density(STANDARD_PRESSURE_PA, reference_temperature))
    area = 0.25 * math.pi * inside_diameter**2
    reynolds = mass * inside_diameter / (area * float(viscosity(temperature)))
    factor = float(darcy_churchill(reynolds, roughness / inside_diameter))
    p_out = float(
        pressure_out_isothermal(
            p_in,
            mass,
            temperature_k=temperature,
            inside_diameter_m=inside_diameter,
            resistance=factor * length / inside_diameter + losses,
        )
    )
    if math.isnan(p_out):
        raise InputError(
            "standard_flow: the line chokes before it passes so much; take a wider or "
            "shorter line, or more pressure",
            input="standard_flow",
        )
    speeds = mass / (area * density(np.array([p_in, p_out]), temperature))
    return Outcome(
        {
            "pressure_out_pa": p_out - site,
            "drop_pa": p_in - p_out,
            "velocity_in_m_per_s": float(speeds[0]),
            "velocity_out_m_per_s": float(speeds[1]),
        },
        assumptions=(f"Darcy friction factor {factor:.4f}",),
    )


WORKSHEETS = (
    Worksheet(
        name="air_line",
        title="Air through a hose or pipe",
        purpose="Mass of air that a line passes between two pressures, and its limit.",
        method=(
            "isothermal flow with friction; chokes where x - 1 - ln x = f L/D + K, "
            "x = (p in/p out)^2"
        ),
        inputs=(
            gauge_or_absolute("pressure_in", "pressure at the inlet"),
            gauge_or_absolute("pressure_out", "pressure beyond the outlet"),
            temperature(),
            bore(),
            length(),
            FRICTION_FACTOR,
            ROUGHNESS,
            LOSSES,
            ELEVATION,
        ),
        outputs=(
            Output(
                key="mass_flow_kg_per_s",
                label="mass flow",
                dimension="mass_flow",
                rounding="down",
            ),
            Output(key="choked", label="flow is choked", kind="flag"),
            Output(
                key="choke_pressure_pa",
                label="absolute outlet pressure at which it chokes",
                dimension="pressure",
            ),
        ),
        sources=(_SOURCE, _FRICTION),
        function=_air_line,
    ),
    Worksheet(
        name="air_line_drop",
        title="Pressure lost in a hose or pipe",
        purpose="Pressure and speed at the end of a line that carries a known flow.",
        method="isothermal flow with friction, solved for the outlet pressure",
        inputs=(
            gauge_or_absolute("pressure_in", "pressure at the inlet", low=1000.0),
            air_flow("standard_flow", "flow of standard air"),
            temperature(
                "reference_temperature",
                "temperature to which that standard refers",
                default="293.15 K",
                default_origin="standard air; some tables use 59 or 60 °F",
            ),
            temperature(),
            bore(),
            length(),
            ROUGHNESS,
            LOSSES,
            ELEVATION,
        ),
        outputs=(
            Output(
                key="pressure_out_pa",
                label="gauge pressure at the outlet",
                dimension="pressure",
                rounding="down",
            ),
            Output(
                key="drop_pa",
                label="pressure lost",
                dimension="pressure",
                rounding="up",
            ),
            Output(
                key="velocity_in_m_per_s",
                label="speed at the inlet",
                dimension="velocity",
            ),
            Output(
                key="velocity_out_m_per_s",
                label="speed at the outlet",
                dimension="velocity",
            ),
        ),
        sources=(_SOURCE, _FRICTION),
        function=_air_line_drop,
    ),
    Worksheet(
        name="fanno",
        title="Adiabatic flow with friction",
        purpose="Length of duct to the sonic end, as f L*/D, at a Mach number.",
        method="(1 - M^2)/(k M^2) + (k + 1)/(2k) ln[(k + 1) M^2/(2 + (k - 1) M^2)]",
        inputs=(
            Input(
                name="mach",
                label="Mach number at the inlet",
                kind="number",
                low=0.001,
                high=20.0,
            ),
            Input(
                name="heat_ratio",
                label="ratio of specific heats",
                kind="number",
                low=1.01,
                high=1.67,
                default="1.4",
                default_origin="air",
            ),
        ),
        outputs=(Output(key="length_parameter", label="f L*/D"),),
        sources=("standard gas dynamics (Shapiro 1953), from memory",),
        function=lambda *, mach, heat_ratio: Outcome(
            {"length_parameter": float(length_parameter_fanno(mach, heat_ratio))}
        ),
    ),
)
