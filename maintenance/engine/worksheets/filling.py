"""Worksheet on filling an empty main."""

from maintenance.engine.figure import Warning
from maintenance.engine.startup.fill import (
    DEFAULT_VELOCITY_M_PER_S,
    HARD_LIMIT_M_PER_S,
    fill_time,
    fill_volume,
    flow_at_velocity,
)
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import bore, length

_ROUND_OFF = 1.0 + 1e-9

_QUICK = Warning(
    "above_1_ft_per_s",
    "Faster than 1 ft/s (0.3 m/s): the water column hits harder when the last air "
    "leaves. 2 ft/s (0.6 m/s) is a published limit, not an aim.",
    ("velocity",),
)


def _fill(*, length: float, inside_diameter: float, velocity: float) -> Outcome:
    flow = float(flow_at_velocity(velocity, inside_diameter))
    volume = float(fill_volume(length, inside_diameter))
    quick = velocity > DEFAULT_VELOCITY_M_PER_S * _ROUND_OFF
    return Outcome(
        {
            "flow_m3_per_s": flow,
            "volume_m3": volume,
            "time_s": float(fill_time(volume, flow)),
        },
        warnings=(_QUICK,) if quick else (),
        assumptions=("the pipe is empty at the start and has one bore",),
    )


WORKSHEETS = (
    Worksheet(
        name="fill",
        title="Filling a main in spring",
        purpose="Flow that fills a pipe slowly, the water it takes, and how long.",
        method="flow = v pi D^2/4; volume = L pi D^2/4; time = volume/flow = L/v",
        inputs=(
            length(),
            bore(),
            Input(
                name="velocity",
                label="speed of the filling water",
                dimension="velocity",
                low=0.003048,
                high=HARD_LIMIT_M_PER_S,
                default="1 ft/s",
                default_origin="common practice; found in no source that was read",
                help="2 ft/s (0.6 m/s) is a published limit and the most taken here.",
            ),
        ),
        outputs=(
            Output(
                key="flow_m3_per_s",
                label="highest flow while it fills",
                dimension="flow",
                rounding="down",
            ),
            Output(
                key="volume_m3",
                label="water it takes",
                dimension="volume",
                rounding="up",
            ),
            Output(
                key="time_s",
                label="not full before",
                dimension="minutes",
                rounding="up",
            ),
        ),
        sources=(
            "geometry",
            (
                "Indian River County (Florida), specification for PE mains, p. 183 (under "
                "2 ft/s, air out at the highest points)"
            ),
            (
                "Clark, Smajstrla and Haman, UF/IFAS Circular 828, 1994 (fast escape of "
                "the last air makes water hammer)"
            ),
        ),
        function=_fill,
        cautions=(
            "Open an outlet at the highest point first and let the air out.",
            (
                "The flow through a half-open valve cannot be read without a meter: go by "
                "the time."
            ),
            (
                "Where sizes differ, the narrowest pipe sets the flow; add the volumes and "
                "divide."
            ),
        ),
    ),
)
