"""Worksheet on the handbook formula for an insulated pipe."""

import math

from maintenance.engine.errors import InputError
from maintenance.engine.freezing.handbook import cooling_time_ashrae, layer_resistance
from maintenance.engine.worksheets.declaration import Outcome, Worksheet
from maintenance.engine.worksheets.freezing_inputs import (
    NEVER,
    diameter,
    hours_output,
    start_water,
)
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import temperature


def _pipe_freeze_time(
    *,
    water_diameter: float,
    pipe_diameter: float,
    insulated_diameter: float,
    conductivity: float,
    water_temperature: float,
    air_temperature: float,
) -> Outcome:
    if not pipe_diameter >= water_diameter:
        raise InputError(
            "pipe_diameter: it must not be smaller than water_diameter; give the "
            "outside of the pipe",
            input="pipe_diameter",
            low=water_diameter,
        )
    if not insulated_diameter > pipe_diameter:
        raise InputError(
            "insulated_diameter: it must be larger than pipe_diameter, since this "
            "formula knows insulation only; for a bare pipe use part_freeze",
            input="insulated_diameter",
            low=pipe_diameter,
        )
    resistance = layer_resistance(pipe_diameter, insulated_diameter, conductivity)
    time = float(
        cooling_time_ashrae(
            water_diameter, resistance, water_temperature, air_temperature
        )
    )
    return Outcome(
        {"to_freezing_point_s": time if math.isfinite(time) else None},
        missing={"to_freezing_point_s": NEVER},
    )


WORKSHEETS = (
    Worksheet(
        name="pipe_freeze_time",
        title="Insulated pipe to the freezing point",
        purpose="Time for still water in an insulated pipe to reach 32 °F: a lower bound.",
        method="rho cp pi (D1/2)^2 R ln[(ti - ta)/(tf - ta)], R = ln(D3/D2)/(2 pi k)",
        inputs=(
            diameter("water_diameter", "inside diameter of the pipe", "2.067 in"),
            diameter("pipe_diameter", "outside diameter of the pipe", "2.375 in"),
            diameter("insulated_diameter", "diameter over the insulation", "5.375 in"),
            Input(
                name="conductivity",
                label="conductivity of the insulation",
                dimension="conductivity",
                low=0.005,
                high=5.0,
                such_as="0.04 W/m/K",
            ),
            start_water("water_temperature"),
            temperature("air_temperature", "temperature of the air", high=323.15),
        ),
        outputs=(hours_output("to_freezing_point_s", "time to the freezing point"),),
        sources=(
            "ASHRAE Handbook Fundamentals 2009, chapter 23, equation 1, as reprinted",
        ),
        function=_pipe_freeze_time,
        cautions=(
            (
                "Air film, pipe wall and latent heat are left out, so ice comes later than "
                "this; part_freeze works them in."
            ),
        ),
    ),
)
