"""Worksheet on a part in the open that freezes."""

import math

from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.freezing.kinds import NAMED_SHAPES, Shape
from maintenance.engine.freezing.lumped import (
    Loss,
    forced_film,
    heat_loss,
    times_in_steady_weather,
)
from maintenance.engine.freezing.outlook import SKY_SHARE
from maintenance.engine.freezing.thermal import (
    WALL_HEAT,
    Insulation,
    Thermal,
    insulation_of_r_value,
    thermal_part,
)
from maintenance.engine.worksheets.declaration import Outcome, Worksheet
from maintenance.engine.worksheets.freezing_inputs import (
    NEVER,
    diameter,
    hours_output,
    start_water,
)
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import temperature


def _part_freeze(  # noqa: PLR0913  (one argument for each input)
    *,
    part: str | None,
    inside_diameter: float | None,
    outside_diameter: float | None,
    material: str | None,
    insulation_thickness: float | None,
    insulation_conductivity: float | None,
    insulation_r: float | None,
    air_temperature: float,
    start_temperature: float,
    wind: float,
    sky_depression: float,
    film: float | None,
) -> Outcome:
    shape = _shape(part, inside_diameter, outside_diameter, material)
    wrap = _insulation(insulation_thickness, insulation_conductivity, insulation_r)
    body = thermal_part(
        shape.inside_diameter_m, shape.outside_diameter_m, shape.material, wrap
    )
    air = air_temperature - FREEZING_POINT_K
    if film is None:
        blown, sky = forced_film(body, wind), SKY_SHARE * sky_depression
        warmth = 0.5 * (start_temperature - FREEZING_POINT_K)
        cooling = heat_loss(body, air, blown, sky, warmth_k=warmth)
        freezing = heat_loss(body, air, blown, sky)
    else:
        cooling = freezing = _steady_film(body, air, film)
    times = times_in_steady_weather(body, start_temperature, cooling, freezing)
    values = {
        "first_ice_s": float(times.first_ice_s),
        "half_frozen_s": float(times.half_frozen_s),
        "frozen_s": float(times.frozen_s),
    }
    return Outcome(
        {k: v if math.isfinite(v) else None for k, v in values.items()},
        warnings=() if film is None else _left_out(wind, sky_depression),
        assumptions=(
            (
                f"{shape.material}, bore {shape.inside_diameter_m * 1e3:.1f} mm, "
                f"outside {shape.outside_diameter_m * 1e3:.1f} mm"
            ),
            f"surface emissivity {float(body.emissivity):g} (assumed)",
            "still water, no supercooling, no heat from the ground",
        ),
        missing=dict.fromkeys(values, NEVER),
        unused=frozenset() if film is None else frozenset({"wind", "sky_depression"}),
    )


def _steady_film(body: Thermal, air_c: float, film: float) -> Loss:
    outside = 1.0 / (math.pi * body.surface_diameter_m * film)
    return Loss(
        1.0 / (body.insulation_m_k_per_w + outside), body.latent_j_per_m * 0 + air_c
    )


def _left_out(wind: float, sky_depression: float) -> tuple[Warning, ...]:
    if wind == 0.0 and sky_depression == 0.0:
        return ()
    text = "The film given takes the place of wind and sky; these were left out."
    return (Warning("film_given", text, ("film",)),)


def _shape(
    part: str | None, inside: float | None, outside: float | None, material: str | None
) -> Shape:
    own = {
        "inside_diameter": inside,
        "outside_diameter": outside,
        "material": material,
    }
    given = [name for name, value in own.items() if value is not None]
    if part is not None:
        if given:
            raise InputError(
                f"{given[0]}: give either the part or its diameters and material, "
                "not both",
                input=given[0],
            )
        return NAMED_SHAPES[part]
    if inside is None or outside is None or material is None:
        lacking = next(name for name in own if name not in given)
        name = lacking if given else "part"
        raise InputError(
            f"{name} is missing; give part, or inside_diameter, outside_diameter and "
            "material",
            input=name,
        )
    if not outside > inside:
        raise InputError(
            "outside_diameter: it must be larger than inside_diameter",
            input="outside_diameter",
            low=inside,
        )
    return Shape(inside, outside, material)


def _insulation(
    thickness: float | None, conductivity: float | None, r_value: float | None
) -> Insulation | None:
    if r_value is not None:
        if thickness is not None or conductivity is not None:
            raise InputError(
                "insulation_r: give either the R-value or thickness and conductivity, "
                "not both",
                input="insulation_r",
            )
        return insulation_of_r_value(r_value)
    if thickness is None and conductivity is None:
        return None
    if thickness is None or conductivity is None:
        name = (
            "insulation_thickness" if thickness is None else "insulation_conductivity"
        )
        raise InputError(
            f"{name} is missing; thickness and conductivity go together", input=name
        )
    return Insulation(thickness_m=thickness, conductivity_w_per_m_k=conductivity)


_PART_FREEZE = Worksheet(
    name="part_freeze",
    title="Part in the open freezing",
    purpose="Time to first ice, half ice and all ice of a part above ground.",
    method=(
        "one lump for each metre: q = (T - Teff)/(R + 1/(pi D (h + hr))), h the larger of "
        "Churchill-Chu and Churchill-Bernstein, Teff = Tair - hr F dTsky/(h + hr)"
    ),
    inputs=(
        Input(
            name="part",
            label="the part",
            kind="choice",
            choices=tuple(NAMED_SHAPES),
            optional=True,
            such_as="1 in copper",
            help="Give this, or its diameters and material.",
        ),
        diameter("inside_diameter", "bore of the part", "1.025 in", optional=True),
        diameter("outside_diameter", "outside of the part", "1.125 in", optional=True),
        Input(
            name="material",
            label="what it is made of",
            kind="choice",
            choices=tuple(WALL_HEAT),
            optional=True,
        ),
        Input(
            name="insulation_thickness",
            label="thickness of the insulation",
            dimension="diameter",
            low=0.0,
            high=0.5,
            optional=True,
            such_as="0.5 in",
        ),
        Input(
            name="insulation_conductivity",
            label="conductivity of the insulation",
            dimension="conductivity",
            low=0.005,
            high=5.0,
            optional=True,
            such_as="0.04 W/m/K",
        ),
        Input(
            name="insulation_r",
            label="R-value of a cover",
            dimension="insulance",
            low=0.0,
            high=10.0,
            optional=True,
            such_as="5 h*ft2*degF/Btu",
            help="Wet insulation insulates far less.",
        ),
        temperature("air_temperature", "temperature of the air", high=323.15),
        start_water("start_temperature"),
        Input(
            name="wind",
            label="wind at the part",
            dimension="velocity",
            low=0.0,
            high=60.0,
            default="0 m/s",
            default_origin="worksheet convention",
            help="It cools faster, never below the air.",
        ),
        Input(
            name="sky_depression",
            label="how much colder the sky radiates than the air",
            dimension="temperature_difference",
            low=0.0,
            high=50.0,
            default="0 K",
            default_origin="worksheet convention: overcast",
            help="On a clear night 10 to 20 K (18 to 36 °F).",
        ),
        Input(
            name="film",
            label="film coefficient in place of wind, still air and radiation",
            dimension="film_coefficient",
            low=0.1,
            high=1000.0,
            optional=True,
        ),
    ),
    outputs=(
        hours_output("first_ice_s", "first ice"),
        hours_output("half_frozen_s", "half frozen: damage possible"),
        hours_output("frozen_s", "frozen: damage to be expected"),
    ),
    sources=(
        "Churchill and Chu (1975)",
        "Churchill and Bernstein (1977)",
        "enthalpy balance with latent heat, derived",
    ),
    function=_part_freeze,
    cautions=(
        (
            "No published freezing time of an irrigation part was found. Small passages, "
            "test cocks and check valves block before half of the water is ice."
        ),
        "A cover buys time; it does not replace draining.",
    ),
)

WORKSHEETS = (_PART_FREEZE,)
