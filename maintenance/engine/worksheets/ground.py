"""Worksheets on the frost and the temperature in the ground."""

from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.freezing.frost_depth import (
    lambda_neumann,
    soil_heat_capacity,
    soil_latent_heat,
    stefan_depth,
)
from maintenance.engine.freezing.soil_wave import soil_temperature_kusuda
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import temperature

_CHART_MU = 1.0


def _frost_depth(
    *,
    dry_density: float,
    water_content: float,
    conductivity: float,
    surface_index: float,
    duration: float,
    mean_temperature: float,
) -> Outcome:
    latent = soil_latent_heat(dry_density, water_content)
    capacity = soil_heat_capacity(dry_density, water_content)
    surface = surface_index / duration
    mu = capacity * surface / latent
    alpha = (mean_temperature - FREEZING_POINT_K) / surface
    share = lambda_neumann(mu, alpha)
    stefan = stefan_depth(conductivity, surface_index, latent)
    beyond = {"lambda_coefficient", "depth_m"} if mu > _CHART_MU else ()
    return Outcome(
        {
            "latent_heat_j_per_m3": latent,
            "mu": mu,
            "alpha": alpha,
            "lambda_coefficient": share,
            "depth_m": share * stefan,
            "stefan_depth_m": stefan,
        },
        doubtful=frozenset(beyond),
    )


def _soil_temperature(
    *,
    depth: float,
    day: float,
    mean_temperature: float,
    amplitude: float,
    coldest_day: float,
    diffusivity: float,
) -> Outcome:
    found = soil_temperature_kusuda(
        depth, day, mean_temperature, amplitude, coldest_day, diffusivity
    )
    return Outcome({"temperature_k": float(found)})


_FROST_DEPTH = Worksheet(
    name="frost_depth",
    title="Frost depth of a winter",
    purpose="How deep the ground freezes, by the modified Berggren formula.",
    method="X = lambda sqrt(2 k nF/L), lambda from the exact Neumann root",
    inputs=(
        Input(
            name="dry_density",
            label="dry density of the soil",
            dimension="density",
            low=300.0,
            high=2600.0,
            such_as="100 lb/ft3",
        ),
        Input(
            name="water_content",
            label="water, per cent of the dry mass",
            kind="number",
            low=1.0,
            high=300.0,
            such_as="15",
            help="15 for 15 %. The drier the soil, the deeper the frost.",
        ),
        Input(
            name="conductivity",
            label="conductivity of the soil, mean of frozen and thawed",
            dimension="conductivity",
            low=0.05,
            high=10.0,
            such_as="0.78 Btu/h/ft/degF",
        ),
        Input(
            name="surface_index",
            label="freezing index at the surface",
            dimension="degree_time",
            low=1e4,
            high=5e8,
            such_as="500 degF*d",
            help=(
                "Freezing index of the air times the n-factor of the surface: turf 0.5, "
                "bare soil 0.7, concrete 0.75, snow 1."
            ),
        ),
        Input(
            name="duration",
            label="length of the freezing season",
            dimension="time",
            low=86_400.0,
            high=3.2e7,
            such_as="120 d",
        ),
        Input(
            name="mean_temperature",
            label="mean temperature of the year",
            dimension="temperature",
            low=FREEZING_POINT_K,
            high=310.0,
            such_as="49 degF",
        ),
    ),
    outputs=(
        Output(
            key="latent_heat_j_per_m3",
            label="latent heat of the soil",
            dimension="latent_heat",
        ),
        Output(key="mu", label="mu"),
        Output(key="alpha", label="alpha"),
        Output(key="lambda_coefficient", label="lambda"),
        Output(key="depth_m", label="frost depth", dimension="depth", rounding="up"),
        Output(
            key="stefan_depth_m",
            label="upper bound (Stefan: latent heat alone)",
            dimension="depth",
            rounding="up",
        ),
    ),
    sources=(
        "TM 5-852-4 and TM 5-852-6 (US Army), as reprinted",
        "Neumann's two-phase solution, exact root",
    ),
    function=_frost_depth,
    cautions=(
        "Within about 30 % of the depth. Snow on the ground keeps frost far shallower.",
        "The manual's own worked example was not at hand; the root was checked instead.",
    ),
)

_SOIL_TEMPERATURE = Worksheet(
    name="soil_temperature",
    title="Temperature in the ground",
    purpose="Temperature at a depth on a day of the year, without latent heat.",
    method="Tm - A exp(-z/d) cos(2 pi (day - day0)/365 - z/d), d = sqrt(D 365 d/pi)",
    inputs=(
        Input(
            name="depth",
            label="depth below the surface",
            dimension="depth",
            low=0.0,
            high=30.0,
        ),
        Input(
            name="day",
            label="day of the year",
            kind="number",
            low=-366.0,
            high=732.0,
            such_as="335",
        ),
        temperature("mean_temperature", "mean temperature of the year", high=320.0),
        Input(
            name="amplitude",
            label="half of the yearly swing at the surface",
            dimension="temperature_difference",
            low=0.0,
            high=60.0,
        ),
        Input(
            name="coldest_day",
            label="day of the year on which the surface is coldest",
            kind="number",
            low=0.0,
            high=366.0,
            such_as="20",
        ),
        Input(
            name="diffusivity",
            label="thermal diffusivity of the soil",
            dimension="diffusivity",
            low=1e-8,
            high=1e-5,
            such_as="0.05 m2/d",
        ),
    ),
    outputs=(
        Output(
            key="temperature_k",
            label="temperature",
            dimension="temperature",
            rounding="down",
        ),
    ),
    sources=("Kusuda and Achenbach, NBS Report 8972 (1965), as given in public code",),
    function=_soil_temperature,
    cautions=(
        (
            "It knows no latent heat, so it freezes the ground too deep and too early: for "
            "cooling in autumn and warming in spring only."
        ),
    ),
)

WORKSHEETS = (_FROST_DEPTH, _SOIL_TEMPERATURE)
