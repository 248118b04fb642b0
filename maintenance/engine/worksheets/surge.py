"""Worksheet on the surge when moving water is stopped."""

from maintenance.engine.errors import InputError
from maintenance.engine.startup.surge import (
    MODULUS_RATIOS,
    surge_head_joukowsky,
    wave_speed_korteweg,
)
from maintenance.engine.water import pressure_of_head
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input

_MATERIALS = " or ".join(MODULUS_RATIOS)


def _surge(
    *,
    material: str | None,
    modulus_ratio: float | None,
    dimension_ratio: float,
    velocity_change: float,
) -> Outcome:
    ratio, assumption = _modulus_ratio(material, modulus_ratio)
    speed = float(wave_speed_korteweg(dimension_ratio, ratio))
    head = surge_head_joukowsky(speed, velocity_change)
    return Outcome(
        {
            "wave_speed_m_per_s": speed,
            "surge_pa": float(pressure_of_head(head)),
        },
        assumptions=(assumption, "the water stops faster than the wave comes back"),
    )


def _modulus_ratio(
    material: str | None, modulus_ratio: float | None
) -> tuple[float, str]:
    if material is None:
        if modulus_ratio is None:
            raise InputError(
                f"material is missing; give {_MATERIALS}, or modulus_ratio "
                "for other pipe",
                input="material",
            )
        return modulus_ratio, f"modulus ratio {modulus_ratio:g} as given"
    ratio = MODULUS_RATIOS.get(material.upper())
    if ratio is None:
        raise InputError(
            f'material: no modulus is known here for "{material}"; give {_MATERIALS}, '
            "or leave it out and give modulus_ratio",
            input="material",
        )
    if modulus_ratio is not None:
        raise InputError(
            "modulus_ratio: give either the material or modulus_ratio, not both",
            input="modulus_ratio",
        )
    return ratio, f"modulus ratio {ratio:g} for {material.upper()} (from memory)"


WORKSHEETS = (
    Worksheet(
        name="surge",
        title="Surge when water stops",
        purpose="Speed of the pressure wave, and the surge of a sudden stop.",
        method="a = 4660 ft/s/sqrt(1 + (K/E)(DR - 2)); surge = rho a dv",
        inputs=(
            Input(
                name="material",
                label="material of the pipe",
                kind="text",
                choices=tuple(MODULUS_RATIOS),
                optional=True,
                help="Give this or modulus_ratio.",
            ),
            Input(
                name="modulus_ratio",
                label="bulk modulus of water over modulus of the pipe",
                kind="number",
                low=0.0,
                high=100.0,
                optional=True,
                such_as="0.75",
                help="300,000 psi over the pipe's: PVC 0.75, PE 2. 0 is rigid pipe.",
            ),
            Input(
                name="dimension_ratio",
                label="outside diameter over wall",
                kind="number",
                low=3.0,
                high=200.0,
                help="The number of its SDR or DR. For pipe sold by SIDR add 2.",
                such_as="21",
            ),
            Input(
                name="velocity_change",
                label="change of the water's speed",
                dimension="velocity",
                low=0.0,
                high=20.0,
            ),
        ),
        outputs=(
            Output(
                key="wave_speed_m_per_s",
                label="speed of the pressure wave",
                dimension="velocity",
            ),
            Output(
                key="surge_pa",
                label="surge on top of the working pressure",
                dimension="pressure",
                rounding="up",
            ),
        ),
        sources=(
            "wave-speed form for plastic pipe and moduli, from memory",
            "AWWA M55 (2006), p. 47 (11.3 psi per ft/s for PE DR 17)",
            "Moser, Buried Pipe Design, table 4.2 and example 4.2, p. 220",
            "US Army TM 5-813-9 (1992), figure 4-5 (surge)",
            (
                "Missouri Livestock Watering Systems Handbook (USDA-NRCS series), 5.1 "
                "(0.72 of the rating)"
            ),
        ),
        function=_surge,
        cautions=(
            (
                "The whole surge comes where a valve closes within 2 L/a, 0.84 s for 500 ft "
                "(152 m) of SDR-21; a slower valve gives less."
            ),
            (
                "The factor 1.60 for occasional surge is for AWWA C900 pipe; do not use it "
                "for ASTM D2241 pipe. Where no surge is worked out, keep to 0.72 of the "
                "rating."
            ),
            "Print knows two constants for the wave speed, 1.5 % apart.",
        ),
    ),
)
