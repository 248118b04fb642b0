"""Worksheets on the water column ahead of the air and the film behind it."""

from maintenance.engine.air.carry_out import fraction_left, front_velocity
from maintenance.engine.air.emptying import (
    emptying_time_closed,
    emptying_with_inertia,
)
from maintenance.engine.air.film import film_holdup
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import bore, length


def _emptying_time(
    *,
    length: float,
    inside_diameter: float,
    friction_factor: float,
    end_loss: float,
    pressure: float,
    left: float,
) -> Outcome:
    case = (length, inside_diameter, friction_factor, end_loss, pressure)
    time, peak = emptying_with_inertia(*case, left)
    return Outcome(
        {
            "time_s": emptying_time_closed(*case),
            "time_with_inertia_s": time,
            "peak_velocity_m_per_s": peak,
        }
    )


def _left_behind(*, inside_diameter: float, velocity: float) -> Outcome:
    return Outcome(
        {
            "front_velocity_m_per_s": float(front_velocity(velocity, inside_diameter)),
            "fraction": float(fraction_left(velocity, inside_diameter)),
        }
    )


def _film_drag(
    *,
    length: float,
    inside_diameter: float,
    shear: float,
    duration: float,
    viscosity: float,
) -> Outcome:
    holdup = film_holdup(length, inside_diameter, shear, duration, viscosity)
    thick = float(holdup) > _THIN
    return Outcome(
        {"holdup": float(holdup)}, doubtful=frozenset({"holdup"} if thick else ())
    )


_THIN = 0.2

WORKSHEETS = (
    Worksheet(
        name="emptying_time",
        title="Driving the water out of one pipe",
        purpose="Time and speed of a water column pushed by air at one pressure.",
        method=(
            "sqrt(rho/2p) (2D/3f) [(f L/D + K)^1.5 - K^1.5]; with inertia by "
            "integrating rho x dv/dt = p - (f x/D + K) rho v^2/2"
        ),
        inputs=(
            length("length of the level pipe, full at the start"),
            bore(),
            Input(
                name="friction_factor",
                label="Darcy friction factor of the water",
                kind="number",
                low=1e-4,
                high=1.0,
            ),
            Input(
                name="end_loss",
                label="loss coefficient of the opening at the end",
                kind="number",
                low=0.0,
                high=1e6,
                help="(pipe area/effective area of the opening) squared.",
            ),
            Input(
                name="pressure",
                label="gauge pressure of the air",
                dimension="pressure",
                low=100.0,
                high=2e6,
            ),
            Input(
                name="left",
                label="share of the length still full at the end, with inertia",
                kind="number",
                low=0.001,
                high=0.99,
                default="0.02",
                default_origin="worksheet convention",
            ),
        ),
        outputs=(
            Output(
                key="time_s",
                label="time to the last drop, without inertia",
                dimension="time",
            ),
            Output(
                key="time_with_inertia_s",
                label="time to the share left, from rest",
                dimension="time",
            ),
            Output(
                key="peak_velocity_m_per_s",
                label="highest speed until then",
                dimension="velocity",
                rounding="up",
            ),
        ),
        sources=(
            (
                "rigid column; derived; equations as in Coronado-Hernandez et al., Water "
                "2017, 9(2), 98"
            ),
        ),
        function=_emptying_time,
        cautions=(
            "No measurement of an emptying lateral was at hand to compare with.",
        ),
    ),
    Worksheet(
        name="left_behind",
        title="Water left behind by the air front",
        purpose="Share of the water over which the front rides.",
        method=(
            "front 1.05 v + 0.54 sqrt(g D) below v/sqrt(g D) = 3.5, 1.2 v above; left "
            "= 1 - v/front"
        ),
        inputs=(
            bore(),
            Input(
                name="velocity",
                label="speed of the water",
                dimension="velocity",
                low=0.0,
                high=50.0,
            ),
        ),
        outputs=(
            Output(
                key="front_velocity_m_per_s",
                label="speed of the front",
                dimension="velocity",
            ),
            Output(key="fraction", label="share left behind", rounding="up"),
        ),
        sources=(
            "Bendiksen, Int. J. Multiphase Flow 10, 467, 1984 (constants from memory)",
        ),
        function=_left_behind,
        cautions=("For nearly level pipe; constants from memory.",),
    ),
    Worksheet(
        name="film_drag",
        title="Dragging the film out",
        purpose="Share of the bore that a water film takes after blowing for a while.",
        method="2 mu L/(D tau t), similarity solution of a thin film under shear",
        inputs=(
            length(),
            bore(),
            Input(
                name="shear",
                label="shear of the air on the film",
                dimension="stress",
                low=1e-4,
                high=1e4,
            ),
            Input(
                name="duration",
                label="how long the air has blown",
                dimension="time",
                low=0.1,
                high=86_400.0,
            ),
            Input(
                name="viscosity",
                label="viscosity of the water",
                dimension="viscosity",
                low=1e-4,
                high=0.1,
                help="1.3 mPa*s at 50 °F (10 °C).",
            ),
        ),
        outputs=(Output(key="holdup", label="share of the bore", rounding="up"),),
        sources=("derived; a numerical solution lies 2 to 3 % above it",),
        function=_film_drag,
        cautions=(
            "A thin-film result: doubtful above 0.2. Twice the time, half left.",
        ),
    ),
)
