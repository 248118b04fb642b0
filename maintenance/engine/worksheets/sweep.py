"""Worksheet on the air speed that carries water out of a pipe."""

import math

import numpy as np

from maintenance.engine.air.carry_out import (
    COLEMAN_FIELD_CONSTANT,
    TURNER_FIELD_CONSTANT,
    droplet_velocity,
    kutateladze_velocity,
    taitel_dukler_velocity,
    wallis_number,
    wallis_velocity,
)
from maintenance.engine.air.properties import atmospheric_pressure, density
from maintenance.engine.constants import STANDARD_AIR_DENSITY
from maintenance.engine.figure import Warning
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import (
    ELEVATION,
    HIGHEST_PRESSURE_PA,
    air_flow,
    bore,
    temperature,
)

_NEARLY_LEVEL_DEG = 10.0
_LARGEST_WALLIS_BORE_M = 0.05


def _sweep(
    *,
    inside_diameter: float,
    pressure: float,
    temperature: float,
    slope: float | None,
    depth_ratio: float,
    standard_flow: float | None,
    elevation: float,
) -> Outcome:
    rho = density(atmospheric_pressure(elevation) + pressure, temperature)
    climb = math.radians(90.0 if slope is None else slope)
    level = 0.0 if slope is None else math.radians(slope)
    wallis = float(wallis_velocity(inside_diameter, rho, climb))
    upright = float(wallis_velocity(inside_diameter, rho))
    kutateladze = float(kutateladze_velocity(rho))
    # From superficial speed to flow of standard air.
    scale = 0.25 * math.pi * inside_diameter**2 * float(rho) / STANDARD_AIR_DENSITY
    steepest = (
        None
        if standard_flow is None
        else _steepest_rise(standard_flow / scale, float(rho), inside_diameter)
    )
    return Outcome(
        {
            "wallis_m_per_s": wallis,
            "kutateladze_m_per_s": kutateladze,
            "turner_m_per_s": float(droplet_velocity(rho, TURNER_FIELD_CONSTANT)),
            "coleman_m_per_s": float(droplet_velocity(rho, COLEMAN_FIELD_CONSTANT)),
            "taitel_dukler_m_per_s": float(
                taitel_dukler_velocity(inside_diameter, rho, level, depth_ratio)
            ),
            "standard_m3_per_s_needed": wallis * scale,
            "standard_m3_per_s_safe": max(upright, kutateladze) * scale,
            "steepest_rise_deg": steepest,
        },
        warnings=_warnings(slope, inside_diameter),
        missing={"steepest_rise_deg": "give standard_flow"},
        doubtful=_doubtful(slope, inside_diameter),
    )


def _steepest_rise(velocity: float, rho: float, inside_diameter: float) -> float:
    number = float(wallis_number(velocity, rho, inside_diameter))
    return float(np.degrees(np.arcsin(min(number**2, 1.0))))


def _doubtful(slope: float | None, inside_diameter: float) -> frozenset[str]:
    keys = set()
    if slope is not None and slope > _NEARLY_LEVEL_DEG:
        keys.add("taitel_dukler_m_per_s")
    if inside_diameter > _LARGEST_WALLIS_BORE_M:
        keys |= {"wallis_m_per_s", "standard_m3_per_s_needed", "steepest_rise_deg"}
    return frozenset(keys)


def _warnings(slope: float | None, inside_diameter: float) -> tuple[Warning, ...]:
    warnings = []
    if slope is not None and slope > _NEARLY_LEVEL_DEG:
        warnings.append(
            Warning(
                "too_steep",
                "The Taitel-Dukler speed is made for pipe within 10° of level; do not "
                "use it on this slope.",
                ("taitel_dukler_m_per_s",),
            )
        )
    if inside_diameter > _LARGEST_WALLIS_BORE_M:
        warnings.append(
            Warning(
                "wide_pipe",
                "Wallis' criterion is made for bores up to 2 in (50 mm) and asks too "
                "much in wider pipe.",
                ("wallis_m_per_s",),
            )
        )
    return tuple(warnings)


def _speed(key: str, label: str) -> Output:
    return Output(key=key, label=label, dimension="velocity", rounding="up")


WORKSHEETS = (
    Worksheet(
        name="sweep",
        title="Air that sweeps a pipe",
        purpose="Air speed and standard air that carry water up a climb or along.",
        method=(
            "Wallis j* = 1 with g sin(slope); Kutateladze 3.2; Turner 1.912; Coleman "
            "1.593; Taitel-Dukler at a depth ratio; all as superficial speeds"
        ),
        inputs=(
            bore(),
            Input(
                name="pressure",
                label="gauge pressure in the pipe",
                dimension="pressure",
                low=0.0,
                high=HIGHEST_PRESSURE_PA,
            ),
            temperature(),
            Input(
                name="slope",
                label="climb of the pipe",
                dimension="angle",
                low=0.0,
                high=90.0,
                optional=True,
                such_as="5 deg",
                help="Left out: 90 deg for the film, level for Taitel-Dukler.",
            ),
            Input(
                name="depth_ratio",
                label="depth of lying water over the bore",
                kind="number",
                low=0.01,
                high=0.99,
                default="0.2",
                default_origin="worksheet convention",
            ),
            air_flow("standard_flow", "flow of standard air at hand", optional=True),
            ELEVATION,
        ),
        outputs=(
            _speed("wallis_m_per_s", "speed by Wallis, on the slope"),
            _speed("kutateladze_m_per_s", "speed by Kutateladze, upright"),
            _speed("turner_m_per_s", "speed by Turner, upright"),
            _speed("coleman_m_per_s", "speed by Coleman, upright"),
            _speed("taitel_dukler_m_per_s", "speed by Taitel-Dukler, nearly level"),
            Output(
                key="standard_m3_per_s_needed",
                label="standard air by Wallis, on the slope",
                dimension="air_flow",
                rounding="up",
            ),
            Output(
                key="standard_m3_per_s_safe",
                label="standard air, larger of Wallis and Kutateladze, upright",
                dimension="air_flow",
                rounding="up",
            ),
            Output(
                key="steepest_rise_deg",
                label="steepest climb that the air at hand sweeps (90: any)",
                dimension="angle",
                rounding="down",
            ),
        ),
        sources=(
            (
                "Wallis 1969 (from memory); Pushkina and Sorokin 1969, Taitel, Barnea and "
                "Dukler 1980 (constant from memory)"
            ),
            "Turner, Coleman: constants as listed at peteng.com/jmm/gwl01.html",
            "Taitel and Dukler, AIChE J. 22(1), 47, 1976",
        ),
        function=_sweep,
        cautions=(
            "j* = 1 is a design value; reversal is seen from 0.8 to 1.",
            "The droplet criteria come from high-pressure gas wells.",
        ),
    ),
)
