"""A compressor as on its plate and as it is fitted."""

from dataclasses import dataclass
from typing import Annotated, Literal

from maintenance.engine.site.measures import (
    AirFlow,
    Bore,
    Length,
    Measure,
    Pressure,
    Temperature,
    Volume,
)
from maintenance.engine.units import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator:
    """The compressor's pressure regulator and where a gauge stands."""

    fitted: bool
    gauge_at: Literal["connection", "compressor", "none"] | None = None
    step: Annotated[Quantity | None, Measure("pressure", 100.0, 1e6)] = None
    lowest: Pressure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """The hose from the compressor to the port."""

    inside_diameter: Bore
    length: Length
    losses: Annotated[float | None, (0.0, 1000.0)] = None
    friction_factor: Annotated[float | None, (0.001, 1.0)] = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Compressor:
    """A compressor, as on its plate and as it is fitted."""

    format: Literal["compressor/1"] = "compressor/1"
    id: str
    free_air_delivery: AirFlow
    receiver: Volume
    cut_in: Pressure | None = None
    cut_out: Pressure | None = None
    start_pressure: Pressure | None = None
    regulator: Regulator | None = None
    relief_valve: Pressure | None = None
    hose: Hose | None = None
    discharge_temperature: Temperature | None = None
    duty: Annotated[float | None, (0.0, 1.0)] = None
    label: str | None = None
