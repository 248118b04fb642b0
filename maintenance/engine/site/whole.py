"""Zones, controllers and the site as a whole."""

from dataclasses import dataclass
from typing import Annotated, Literal

from maintenance.engine.site.links import Link
from maintenance.engine.site.measures import (
    Area,
    Depth,
    Fall,
    Flow,
    HeadKind,
    Length,
    Measure,
    Pressure,
    Temperature,
)
from maintenance.engine.site.points import Point
from maintenance.engine.units import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the site lies; the elevation sets the air pressure."""

    latitude: Annotated[float | None, (-90.0, 90.0)] = None
    longitude: Annotated[float | None, (-180.0, 180.0)] = None
    elevation: Annotated[Quantity, Measure("height", -430.0, 6000.0)]
    time_zone: str
    autumn_air_temperature: Temperature | None = None


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
