"""Ten thousand sites of six parts on a week of hours, in three tracks."""

import numpy as np
from numpy.typing import NDArray

from maintenance.engine.freezing.kinds import NAMED_SHAPES
from maintenance.engine.freezing.outlook import (
    BOX_AIR_SHARE,
    SKY_SHARE,
    Exposure,
    Weather,
)
from maintenance.engine.freezing.thermal import (
    Thermal,
    insulation_of_r_value,
    stack_parts,
    thermal_part,
)

SITES = 10_000
HOURS = 168
Array = NDArray[np.float64]
_PARTS = (
    ("3/4 in copper", 0.0),
    ("1 in assembly", 0.0),
    ("2 in assembly", 0.88),
    ("3/4 in quick coupler", 0.0),
    ("1 in PVC", 0.0),
    ("1 in PVC", 0.0),
)


def freeze_sites(
    sites: int = SITES, hours: int = HOURS
) -> tuple[Thermal, Exposure, Weather, Array]:
    """What `freeze_outlook` takes: mild and cold sites, the last part in a box."""
    rng = np.random.default_rng(11)
    shapes = [(NAMED_SHAPES[name], insulation_of_r_value(r)) for name, r in _PARTS]
    parts = stack_parts(
        [
            thermal_part(s.inside_diameter_m, s.outside_diameter_m, s.material, wrap)
            for s, wrap in shapes
        ]
    )
    last = np.arange(len(_PARTS)) == len(_PARTS) - 1
    exposure = Exposure(
        np.where(last, 0.0, 1.0),
        np.where(last, 0.0, SKY_SHARE),
        np.where(last, BOX_AIR_SHARE, 1.0),
    )
    day = 6.0 * np.cos(2.0 * np.pi * (np.arange(hours) - 15) / 24)[:, None, None]
    colder = np.array([0.0, 1.8, 3.0])[:, None]
    air = 275.0 + day - colder + rng.normal(0.0, 4.0, sites)
    weather = Weather(
        air,
        rng.uniform(0.0, 6.0, (hours, sites)),
        rng.uniform(0.0, 18.0, (hours, sites)),
        np.full(sites, 280.0),
        rng.uniform(274.0, 284.0, sites),
    )
    return parts, exposure, weather, np.full((sites, len(_PARTS)), 282.0)
