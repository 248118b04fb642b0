"""The site as recorded: plain values, one type for each kind of part.

These types are the one description of the site file: the reader, the writer and
the JSON Schema in `maintenance.exchange` are driven by their annotations, and the
tables in `maintenance.models` keep the same keys. The order of the fields is the
order of the keys in a written file. A trailing underscore is dropped in the file
(``from_`` is ``from``). An optional field left out is unknown, never zero.
"""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the site lies; the elevation sets the air pressure."""

    latitude: Annotated[float | None, (-90.0, 90.0)] = None
    longitude: Annotated[float | None, (-180.0, 180.0)] = None
    elevation: Annotated[Quantity, Measure("height", -430.0, 6000.0)]
    time_zone: str
    autumn_air_temperature: Temperature | None = None


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


Point = Supply | OtherUse | Junction | BlowoutPort | Drain | Outlet | Head
Link = Pipe | IsolationValve | CheckValve | Backflow | ZoneValve | Pump | InlineDevice


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickZone:
    """A zone described by a straight run of equal heads."""

    pipe: str
    size: str
    length: Length
    heads: Annotated[int, (1, 500)]
    head: HeadKind
    flow: Flow | None = None
    at_pressure: Annotated[
        Quantity | None, Measure("pressure", 0.0, 5e6, above=True)
    ] = None
    from_: str
    fall: Fall | None = None
    depth: Depth | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A zone: what one valve waters. ``blow_out_order`` is the person's own wish."""

    id: str
    name: str | None = None
    valve: str | None = None
    quick: QuickZone | None = None
    box: str | None = None
    irrigates: str | None = None
    area: Area | None = None
    near: tuple[str, ...] | None = None
    blow_out_order: Annotated[int | None, (1, 10_000)] = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Controller:
    """A controller and what it listens to."""

    id: str
    where: str | None = None
    stations: Annotated[int | None, (0, 10_000)] = None
    wiring: Literal["common", "two_wire", "battery", "hydraulic"] | None = None
    sensors: tuple[Literal["rain", "freeze", "flow"], ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A site known only from one card."""

    zones: Annotated[int, (1, 1000)]
    pipe: str
    size: str
    largest_zone: Flow | None = None
    main: Length | None = None
    device: str | None = None
    port: str | None = None
    access: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A whole site, as in a site file."""

    format: Literal["irrigation-site/1"] = "irrigation-site/1"
    id: str
    name: str
    place: Place
    air_limit: Pressure | None = None
    cross_connection_rule: (
        Literal["prohibited", "rp_or_airgap", "case_by_case"] | None
    ) = None
    card: Card | None = None
    points: tuple[Point, ...] = ()
    links: tuple[Link, ...] = ()
    zones: tuple[Zone, ...] = ()
    controllers: tuple[Controller, ...] = ()
    notes: tuple[str, ...] = ()


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
