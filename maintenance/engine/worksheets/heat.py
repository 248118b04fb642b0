"""Worksheets on the heat of compression and what reaches the pipe."""

import math

from maintenance.engine.air.heat import (
    CAUTION_TEMPERATURE_K,
    STOP_TEMPERATURE_K,
    discharge_temperature as temperature_after_compression,
    hose_outlet_temperature,
    pipe_time_constant,
    seconds_to_wall_temperature,
)
from maintenance.engine.constants import STANDARD_AIR_DENSITY
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.pipes.catalogue import pipe_names, pipe_row
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input, Pressure
from maintenance.engine.worksheets.site_inputs import (
    ATMOSPHERIC,
    STANDARD_AIR,
    bore,
    gauge_or_absolute,
    length,
    temperature,
)

_PIPES_OF_PLASTIC = ("PVC", "PE", "PE100", "unknown plastic")
_MEMORY = "common practice, from memory"


def _compression(
    *,
    inlet_temperature: float,
    pressure: Pressure,
    atmospheric: float,
    efficiency: float,
    exponent: float,
) -> Outcome:
    ratio = pressure.absolute(atmospheric) / atmospheric
    if not ratio >= 1.0:
        raise InputError(
            "pressure: it must not lie below the air pressure; give a gauge pressure "
            "of 0 or more",
            input="pressure",
            low=atmospheric,
        )
    hot = temperature_after_compression(inlet_temperature, ratio, efficiency, exponent)
    return Outcome({"discharge_temperature_k": float(hot)})


def _hose_temperature(  # noqa: PLR0913  (one argument for each input)
    *,
    discharge_temperature: float,
    ambient_temperature: float,
    standard_flow: float,
    inside_diameter: float,
    length: float,
    wall: float,
    conductivity: float,
    pipe: str,
    size: str,
) -> Outcome:
    row = pipe_row(pipe, size)
    mass = standard_flow * STANDARD_AIR_DENSITY
    outlet = float(
        hose_outlet_temperature(
            discharge_temperature,
            ambient_temperature,
            mass,
            inside_diameter,
            length,
            wall_m=wall,
            conductivity_w_per_m_k=conductivity,
        )
    )
    constant = float(
        pipe_time_constant(mass, row.inside_diameter_m, row.outside_diameter_m, outlet)
    )
    caution, stop = (
        _finite(
            float(
                seconds_to_wall_temperature(
                    target, ambient_temperature, outlet, constant
                )
            )
        )
        for target in (CAUTION_TEMPERATURE_K, STOP_TEMPERATURE_K)
    )
    never = "never: the air is not hot enough"
    return Outcome(
        {
            "outlet_temperature_k": outlet,
            "pipe_time_constant_s": constant,
            "seconds_to_37_8_c": caution,
            "seconds_to_60_c": stop,
        },
        warnings=_metal(row.pipe, row.material),
        assumptions=(
            "dry wall that starts at the temperature around it; soil and water left out",
            (
                "outside of the hose 12 W/m2/K, wall of the pipe 1400 kg/m3 and "
                f"1000 J/kg/K ({_MEMORY})"
            ),
        ),
        missing={"seconds_to_37_8_c": never, "seconds_to_60_c": never},
    )


def _metal(pipe: str, material: str) -> tuple[Warning, ...]:
    if material in _PIPES_OF_PLASTIC:
        return ()
    text = f"{pipe} is metal; the clock is for a plastic wall of the same size."
    return (Warning("not_plastic", text, ("pipe",)),)


def _finite(seconds: float) -> float | None:
    return seconds if math.isfinite(seconds) else None


WORKSHEETS = (
    Worksheet(
        name="compression",
        title="Heat of compression",
        purpose="Temperature of the air as it leaves the compressor, before cooling.",
        method="T1 {1 + [r^((n-1)/n) - 1]/efficiency}",
        inputs=(
            temperature("inlet_temperature", "temperature of the air taken in"),
            gauge_or_absolute("pressure", "pressure after the compressor"),
            ATMOSPHERIC,
            Input(
                name="efficiency",
                label="isentropic efficiency",
                kind="number",
                low=0.2,
                high=1.0,
                default="1",
                default_origin="ideal: real air is hotter",
            ),
            Input(
                name="exponent",
                label="exponent of the compression",
                kind="number",
                low=1.0,
                high=1.67,
                default="1.4",
                default_origin="adiabatic, air",
            ),
        ),
        outputs=(
            Output(
                key="discharge_temperature_k",
                label="temperature at discharge",
                dimension="temperature",
                rounding="up",
            ),
        ),
        sources=(
            (
                "Couper et al., Chemical Process Equipment, as given in the fluids "
                "documentation"
            ),
        ),
        function=_compression,
        cautions=(
            "An aftercooler or an oil-flooded screw delivers far cooler air: read it.",
        ),
    ),
    Worksheet(
        name="hose_temperature",
        title="Air temperature after the hose",
        purpose="How hot the air enters the pipe, and how soon a dry wall gets there.",
        method=(
            "exponential cooling along the hose (Dittus-Boelter inside, wall, outside "
            "film); wall of the pipe as one lump"
        ),
        inputs=(
            temperature(
                "discharge_temperature", "temperature entering the hose", high=620.0
            ),
            temperature("ambient_temperature", "temperature around", high=330.0),
            Input(
                name="standard_flow",
                label=f"flow of {STANDARD_AIR}",
                dimension="air_flow",
                low=1e-6,
                high=10.0,
            ),
            bore("inside diameter of the hose"),
            length("length of the hose"),
            Input(
                name="wall",
                label="wall of the hose",
                dimension="diameter",
                low=1e-4,
                high=0.05,
                default="5 mm",
                default_origin=_MEMORY,
            ),
            Input(
                name="conductivity",
                label="conductivity of the hose",
                dimension="conductivity",
                low=0.01,
                high=500.0,
                default="0.2 W/m/K",
                default_origin=f"rubber; {_MEMORY}",
            ),
            Input(
                name="pipe",
                label="first pipe after the hose",
                kind="text",
                choices=pipe_names(),
                default="PVC Sch 40",
                default_origin="worksheet convention",
            ),
            Input(
                name="size",
                label="its nominal size",
                kind="text",
                default="1",
                default_origin="worksheet convention",
            ),
        ),
        outputs=(
            Output(
                key="outlet_temperature_k",
                label="temperature entering the pipe",
                dimension="temperature",
                rounding="up",
            ),
            Output(
                key="pipe_time_constant_s",
                label="time constant of a dry wall",
                dimension="time",
                rounding="down",
            ),
            Output(
                key="seconds_to_37_8_c",
                label="time to 100 °F (caution)",
                dimension="time",
                rounding="down",
            ),
            Output(
                key="seconds_to_60_c",
                label="time to 140 °F (stop)",
                dimension="time",
                rounding="down",
            ),
        ),
        sources=(
            "heat-exchanger form with Dittus-Boelter; properties from memory",
            "Plastic Pipe and Fittings Association (no PE stress rating above 140 °F)",
        ),
        function=_hose_temperature,
        cautions=("An estimate within about 20 °F (10 K), on the fast side.",),
    ),
)
