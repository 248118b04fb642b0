"""Points of a site: sources, junctions, ports, drains, outlets and heads."""

from dataclasses import dataclass
from typing import Annotated, Literal

from maintenance.engine.site.measures import (
    Angle,
    Bore,
    Flow,
    HeadKind,
    Height,
    Measure,
    OutletCoefficient,
    Pressure,
    SmallHeight,
)
from maintenance.engine.units import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A water source."""

    id: str
    kind: Literal["supply"] = "supply"
    source: Literal["public", "well", "surface", "tank"]
    elevation: Height
    static_pressure: Pressure | None = None
    flow: Flow | None = None
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherUse:
    """Something that is fed by the same water and must keep it."""

    id: str
    kind: Literal["other_use"] = "other_use"
    what: str
    elevation: Height
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Junction:
    """A tee, high point, low point or end of a part."""

    id: str
    kind: Literal["junction"] = "junction"
    elevation: Height
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BlowoutPort:
    """The fitting that takes the compressor's hose."""

    id: str
    kind: Literal["blowout_port"] = "blowout_port"
    elevation: Height
    fitting: str | None = None
    where: str | None = None
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drain:
    """A drain; an automatic one opens when little water presses on it."""

    id: str
    kind: Literal["drain"] = "drain"
    drain: Literal["manual", "automatic"]
    elevation: Height
    opens_below: Pressure | None = None
    admits_air: bool | None = None
    opening: Bore | None = None
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """A coupler, test cock or other opening; ``opening`` is its bore when open."""

    id: str
    kind: Literal[
        "quick_coupler", "test_cock", "open_end", "end", "hydrant", "tank", "vent"
    ]
    elevation: Height
    opening: Bore | None = None
    where: str | None = None
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A sprinkler head, bubbler or run of emitters; the elevation is the pipe's."""

    id: str
    kind: Literal["head"] = "head"
    head: HeadKind
    elevation: Height
    nozzle_height: SmallHeight | None = None
    flow: Flow | None = None
    at_pressure: Annotated[
        Quantity | None, Measure("pressure", 0.0, 5e6, above=True)
    ] = None
    k: OutletCoefficient | None = None
    check_valve: SmallHeight | None = None
    arc: Angle | None = None
    stays_up_above: Pressure | None = None
    riser: str | None = None
    max_air_pressure: Pressure | None = None
    position: tuple[float, float] | None = None
    note: str | None = None


Point = Supply | OtherUse | Junction | BlowoutPort | Drain | Outlet | Head
