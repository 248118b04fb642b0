"""What a person may choose for a start-up."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from maintenance.engine.errors import InputError
from maintenance.engine.startup.fill import (
    DEFAULT_VELOCITY_M_PER_S,
    HARD_LIMIT_M_PER_S,
)

LeakTest = Literal["meter", "gauge", "pump_starts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartupChoices:
    """What a person may choose for a start-up.

    Attributes
    ----------
    fill_velocity_m_per_s : float
        Speed of the filling water; 1 ft/s is common practice, found in no source that
        was read. [m/s]
    most_fill_velocity_m_per_s : float
        Speed never to pass, where a pump cannot run as slowly as that; 2 ft/s, Indian
        River County (Florida), specification for PE mains, p. 183. [m/s]
    leak_test : str or None
        ``meter``, ``gauge`` or ``pump_starts``; None takes what the site has. [-]
    pump_start_volume_m3 : float or None
        Water drawn between two starts of the pump, measured with a bucket. [m3]
    last_spring_m3_per_s : mapping of str to float
        Flow of each zone last spring. [m3/s]
    meter_m3 : float or None
        Reading of the water meter now, before the water is let in. [m3]
    """

    fill_velocity_m_per_s: float = DEFAULT_VELOCITY_M_PER_S
    most_fill_velocity_m_per_s: float = HARD_LIMIT_M_PER_S
    leak_test: LeakTest | None = None
    pump_start_volume_m3: float | None = None
    last_spring_m3_per_s: Mapping[str, float] = field(default_factory=dict)
    meter_m3: float | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be meant."""
        most = self.most_fill_velocity_m_per_s
        if not 0.0 < most <= HARD_LIMIT_M_PER_S:
            raise InputError(
                "the filling speed never to pass must be above 0 and at most 2 ft/s "
                "(0.6 m/s), the published limit"
            )
        if not 0.0 < self.fill_velocity_m_per_s <= most:
            raise InputError(
                "the filling speed must be above 0 and at most the speed never to "
                f"pass, {most / 0.3048:.1f} ft/s ({most:.2f} m/s); 1 ft/s is usual"
            )
        drawn = self.pump_start_volume_m3
        if drawn is not None and not (math.isfinite(drawn) and drawn > 0.0):
            raise InputError(
                "the water drawn between two pump starts must be above 0; measure it "
                "with a bucket, or leave it out"
            )
