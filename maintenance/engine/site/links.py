"""Links of a site: pipes, valves, assemblies, pumps and devices in the line."""

from dataclasses import dataclass
from typing import Annotated, Literal

from maintenance.engine.site.measures import (
    Bore,
    Depth,
    Flow,
    Length,
    Placement,
    Position,
    Pressure,
    SmallHeight,
    Volume,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A straight pipe between two points."""

    id: str
    kind: Literal["pipe"] = "pipe"
    from_: str
    to: str
    pipe: str | None = None
    size: str | None = None
    inside_diameter: Bore | None = None
    material: str | None = None
    rating: Pressure | None = None
    length: Length
    depth: Depth | None = None
    placement: Placement | None = None
    cover: Literal["turf", "bare", "paved"] | None = None
    air_exception: str | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class IsolationValve:
    """A valve turned by hand, with its summer and winter positions."""

    id: str
    kind: Literal["isolation_valve"] = "isolation_valve"
    from_: str
    to: str
    type: Literal["ball", "gate", "stop_and_waste", "selector"] | None = None
    summer: Position | None = None
    winter: Position | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckValve:
    """A check valve in a line; passes forward only, ``holds`` is its spring's head."""

    id: str
    kind: Literal["check_valve"] = "check_valve"
    from_: str
    to: str
    holds: SmallHeight | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shutoff:
    """Seasonal positions of one shut-off of an assembly."""

    summer: Position | None = None
    winter: Position | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TestCocks:
    """The test cocks of an assembly and their winter position."""

    count: Annotated[int | None, (0, 8)] = None
    winter: Position | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Backflow:
    """A backflow prevention assembly or device."""

    id: str
    kind: Literal["backflow"] = "backflow"
    from_: str
    to: str
    device: Literal["RP", "DC", "PVB", "SVB", "AVB", "AG"]
    size: str | None = None
    placement: Placement | None = None
    serial: str | None = None
    installed: str | None = None
    enclosure: str | None = None
    shutoff_1: Shutoff | None = None
    shutoff_2: Shutoff | None = None
    test_cocks: TestCocks | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneValve:
    """The valve of a zone."""

    id: str
    kind: Literal["zone_valve"] = "zone_valve"
    from_: str
    to: str
    zone: str | None = None
    station: Annotated[int | None, (0, 10_000)] = None
    cv: Annotated[float | None, (0.01, 10_000.0)] = None
    anti_siphon: bool | None = None
    opens_by: Literal["hand", "controller", "both"] | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """A pump and what it takes to keep it whole."""

    id: str
    kind: Literal["pump"] = "pump"
    from_: str
    to: str
    pump: Literal["submersible", "jet", "booster"] | None = None
    control: (
        Literal["hand", "pressure_switch", "start_relay", "variable_speed"] | None
    ) = None
    flow: Flow | None = None
    shutoff_pressure: Pressure | None = None
    least_flow: Flow | None = None
    pressure_tank: Volume | None = None
    power_disconnect: str | None = None
    also_feeds: tuple[str, ...] | None = None
    drains_back: Literal["yes", "no", "unknown"] | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InlineDevice:
    """Anything else in the line; a fitting joins two points without length."""

    id: str
    kind: Literal[
        "master_valve",
        "meter",
        "flow_sensor",
        "filter",
        "pressure_regulator",
        "injector",
        "relief_valve",
        "fitting",
    ]
    from_: str
    to: str
    outlet_pressure: Pressure | None = None
    max_air_pressure: Pressure | None = None
    note: str | None = None


Link = Pipe | IsolationValve | CheckValve | Backflow | ZoneValve | Pump | InlineDevice
