"""A part that the frost can reach: what is known of it, and several side by side."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from maintenance.engine.errors import EngineError
from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.freezing.kinds import Shape
from maintenance.engine.freezing.outlook import Exposure
from maintenance.engine.freezing.shelter import IN_A_BOX, Shelter
from maintenance.engine.freezing.thermal import Thermal, stack_parts

Kind = Literal[
    "assembly",
    "zone_valve",
    "pump",
    "quick_coupler",
    "hydrant",
    "blowout_port",
    "pipe",
    "buried_pipe",
]
Threshold = Literal["night_air", "box_air", "soil"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAtRisk:
    """One part that can freeze.

    A part in the air has a ``shape``, ``thermal`` and ``shelter``; a buried pipe has
    ``depth_m`` [m], None where it is not recorded, and ``cover``. ``threshold_k`` [K]
    is the temperature at which it may come to harm, of what ``threshold_of`` names:
    the night's lowest air, the air in its box, the soil at its depth. ``assumed``
    are sentences, ``unknown`` the keys that nobody has filled in.
    """

    part: str
    kind: Kind
    threshold_k: float
    threshold_of: Threshold
    shape: Shape | None = None
    thermal: Thermal | None = None
    shelter: Shelter | None = None
    depth_m: float | None = None
    cover: str | None = None
    assumed: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def side_by_side(parts: Sequence[PartAtRisk]) -> tuple[Thermal, Exposure]:
    """Put parts in the air side by side for `freeze_outlook`.

    Parameters
    ----------
    parts : sequence of PartAtRisk
        Parts of one site, at least one; none of them a buried pipe. [SI]

    Returns
    -------
    tuple of Thermal and Exposure
        With the parts along the last axis. [SI]

    Raises
    ------
    EngineError
        For a buried pipe: it freezes with the soil.
    """
    inside, around = [], []
    for part in parts:
        if part.thermal is None or part.shelter is None:
            raise EngineError(
                f"{part.part} lies in the ground and has no outlook by the hour; follow "
                "the soil at its depth instead"
            )
        inside.append(part.thermal)
        around.append(part.shelter)
    return stack_parts(inside), Exposure(
        np.array([one.wind_share for one in around]),
        np.array([one.sky_share for one in around]),
        np.array([one.air_share for one in around]),
    )


def box_threshold(soil_k: float) -> float:
    """Mean air of the day at which the air in a valve box reaches the freezing point.

    Parameters
    ----------
    soil_k : float
        Soil at 8 in [K].

    Returns
    -------
    float
        Mean air of the day [K].

    Examples
    --------
    >>> round(box_threshold(280.372) * 1.8 - 459.67)
    9
    """
    share = IN_A_BOX.air_share
    return (FREEZING_POINT_K - (1.0 - share) * soil_k) / share
