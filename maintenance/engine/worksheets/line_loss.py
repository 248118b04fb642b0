"""Worksheet on the head that water loses in a full pipe."""

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.friction import darcy_churchill, reynolds_number
from maintenance.engine.line_loss import (
    head_loss_darcy_weisbach,
    head_loss_hazen_williams,
    mean_velocity,
    outlet_factor_christiansen,
)
from maintenance.engine.units import display
from maintenance.engine.water import pressure_of_head, viscosity_iapws
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import ROUGHNESS, bore, length

_HAZEN_WILLIAMS = "hazen_williams"
_TURBULENT = 4000.0
_HABIT_M_PER_S = 5.0 * 0.3048
_ROUGHEST = 0.05

_FAST = Warning(
    "above_5_ft_per_s",
    "Faster than 5 ft/s (1.5 m/s), under which most irrigation systems are designed: "
    "friction and surge grow quickly.",
    ("flow",),
)


def _line_loss(
    *,
    method: str,
    flow: float,
    inside_diameter: float,
    length: float,
    c: float,
    roughness: float,
    temperature: float,
    outlets: float,
) -> Outcome:
    if outlets != int(outlets):
        raise InputError(
            f"outlets: {outlets:g} is not a whole number; give one such as 8",
            input="outlets",
        )
    speed = float(mean_velocity(flow, inside_diameter))
    viscosity = float(viscosity_iapws(temperature)) / WATER_DENSITY
    reynolds = float(reynolds_number(speed, inside_diameter, viscosity))
    if method == _HAZEN_WILLIAMS:
        whole = float(head_loss_hazen_williams(flow, inside_diameter, length, c))
        one = head_loss_darcy_weisbach(1.0, speed, inside_diameter, length)
        factor = whole / float(one)
        in_range = reynolds >= _TURBULENT
    else:
        relative = roughness / inside_diameter
        factor = float(darcy_churchill(reynolds, relative))
        loss = head_loss_darcy_weisbach(factor, speed, inside_diameter, length)
        whole = float(loss)
        # The share that outlets leave is made for turbulent flow.
        in_range = relative <= _ROUGHEST and (outlets == 1 or reynolds >= _TURBULENT)
    share = float(outlet_factor_christiansen(outlets))
    head = share * whole
    return Outcome(
        {
            "head_loss_m": head,
            "velocity_m_per_s": speed,
            "reynolds": reynolds,
            "friction_factor": factor,
        },
        warnings=(_FAST,) if speed > _HABIT_M_PER_S else (),
        assumptions=(_as_pressure(head), *_spread(outlets, share)),
        doubtful=frozenset(() if in_range else ("head_loss_m", "friction_factor")),
        unused=frozenset({"roughness" if method == _HAZEN_WILLIAMS else "c"}),
    )


def _as_pressure(head_m: float) -> str:
    pressure = float(pressure_of_head(head_m))
    us = display(pressure, "pressure", "us", "up", digits=1)
    si = display(pressure, "pressure", "si", "up", digits=1)
    return f"as pressure, that head is {us} ({si})"


def _spread(outlets: float, share: float) -> tuple[str, ...]:
    if outlets == 1:
        return ()
    text = (
        f"{outlets:g} outlets of equal flow, the first one spacing in: {share:.3f} of "
        "the loss with the whole flow to the end"
    )
    return (text,)


WORKSHEETS = (
    Worksheet(
        name="line_loss",
        title="Head lost in a water pipe",
        purpose="Head that friction takes from water in a full pipe, and its speed.",
        method=(
            "Hazen-Williams 10.67 L Q^1.852/(C^1.852 D^4.8704), or Darcy-Weisbach f (L/D) "
            "v^2/2g with f by Churchill; times 1/2.852 + 1/(2N) + sqrt(0.852)/(6N^2) for "
            "N outlets"
        ),
        inputs=(
            Input(
                name="method",
                label="formula",
                kind="choice",
                choices=(_HAZEN_WILLIAMS, "darcy_weisbach"),
                help="With darcy_weisbach the temperature counts.",
            ),
            Input(
                name="flow",
                label="water flow into the pipe",
                dimension="flow",
                low=1e-7,
                high=0.5,
            ),
            bore(),
            length(),
            Input(
                name="c",
                label="Hazen-Williams coefficient",
                kind="number",
                low=40.0,
                high=160.0,
                default="150",
                default_origin="new plastic",
                help="Steel 130, old steel 100. Not used with darcy_weisbach.",
            ),
            ROUGHNESS,
            Input(
                name="temperature",
                label="temperature of the water",
                dimension="temperature",
                low=273.15,
                high=333.15,
                default="68 degF",
                default_origin="printed tables; spring water is colder",
            ),
            Input(
                name="outlets",
                label="number of outlets along the pipe",
                kind="number",
                low=1.0,
                high=1000.0,
                default="1",
                default_origin="the whole flow runs to the end",
                help="Equal flow and spacing, the first one spacing in.",
            ),
        ),
        outputs=(
            Output(
                key="head_loss_m",
                label="head lost",
                dimension="head_loss",
                rounding="up",
            ),
            Output(
                key="velocity_m_per_s",
                label="speed at the inlet",
                dimension="velocity",
            ),
            Output(
                key="reynolds",
                label="Reynolds number at the inlet",
                dimension="reynolds",
            ),
            Output(
                key="friction_factor",
                label="Darcy friction factor that gives this loss",
                dimension="friction_factor",
            ),
        ),
        sources=(
            "EPANET, Hazen-Williams form (OpenWaterAnalytics, discussion 9)",
            "Churchill, Chemical Engineering 84(24), 91-92, 1977",
            "IAPWS SR6-08(2011), viscosity of water",
            (
                "Christiansen, University of California bulletin 670, 1942 (equation "
                "from memory)"
            ),
            "B. Boman, UF/IFAS, Chapter 21 Hydraulics (5 ft/s)",
            "USDA-NRCS 430HH, May 2002 (C of plastic)",
        ),
        function=_line_loss,
        cautions=(
            "Fittings and valves are not counted.",
            (
                "Hazen-Williams holds for turbulent water near 60 °F (16 °C); constants in "
                "print differ by 1 %. At 50 °F (10 °C) friction is about 6 % more than at "
                "68 °F (20 °C)."
            ),
        ),
    ),
)
