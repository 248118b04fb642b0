"""How the quantities of a site file are read: dimension and possible values."""

from dataclasses import dataclass
from typing import Annotated, Literal

from maintenance.engine.units import Quantity


@dataclass(frozen=True, slots=True)
class Measure:
    """How a `Quantity` field is read: its dimension and the values that are possible.

    ``low`` and ``high`` are SI and included, unless ``above`` is true: then ``low``
    itself is refused.
    """

    dimension: str
    low: float | None = None
    high: float | None = None
    above: bool = False


Height = Annotated[Quantity, Measure("height", -1000.0, 9000.0)]
Length = Annotated[Quantity, Measure("length", 0.0, 20_000.0, above=True)]
SmallHeight = Annotated[Quantity, Measure("height", 0.0, 30.0)]
Fall = Annotated[Quantity, Measure("height", -500.0, 500.0)]
Depth = Annotated[Quantity, Measure("depth", 0.0, 10.0)]
Bore = Annotated[Quantity, Measure("diameter", 0.0, 2.0, above=True)]
Area = Annotated[Quantity, Measure("area", 0.0, 1e7, above=True)]
Volume = Annotated[Quantity, Measure("volume", 0.0, 100.0)]
Pressure = Annotated[Quantity, Measure("pressure", 0.0, 5e6)]
Flow = Annotated[Quantity, Measure("flow", 0.0, 1.0)]
AirFlow = Annotated[Quantity, Measure("air_flow", 0.0, 10.0)]
Temperature = Annotated[Quantity, Measure("temperature", 200.0, 600.0)]
OutletCoefficient = Annotated[
    Quantity, Measure("outlet_coefficient", 0.0, 1e-4, above=True)
]
Angle = Annotated[Quantity, Measure("angle", 0.0, 360.0)]

Placement = Literal["buried", "above_ground", "indoors"]
Position = Literal["open", "closed", "half_open"]
HeadKind = Literal["spray", "rotor", "impact", "bubbler", "drip_emitters"]
