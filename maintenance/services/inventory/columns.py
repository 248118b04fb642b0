"""What stands in the columns beside a record: SI values from the engine's types."""

import dataclasses
from collections.abc import Mapping
from datetime import date
from typing import Any

from maintenance.engine.site import (
    Backflow,
    Compressor,
    Controller,
    Link,
    Pipe,
    Point,
    Site,
    Zone,
)
from maintenance.engine.units import Quantity

Columns = Mapping[str, Any]


def si_values(value: object, path: str = "") -> dict[str, float]:
    """Return the SI value of each quantity in a value, by its key in the file.

    A quantity further in has the keys on the way before it: ``hose.length``.
    """
    found: dict[str, float] = {}
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            key = f"{path}{field.name.rstrip('_')}"
            inner = getattr(value, field.name)
            if isinstance(inner, Quantity):
                found[key] = inner.value
            else:
                found |= si_values(inner, f"{key}.")
    return found


def site_columns(site: Site) -> Columns:
    """Return the columns of a site; its parts have tables of their own."""
    place = site.place
    return {
        "name": site.name,
        "elevation_m": place.elevation.value,
        "latitude": place.latitude,
        "longitude": place.longitude,
        "time_zone": place.time_zone,
        "si": si_values(site),
    }


def point_columns(point: Point) -> Columns:
    """Return the columns of a point."""
    east_m, north_m = point.position or (None, None)
    return {
        "kind": point.kind,
        "elevation_m": point.elevation.value,
        "position_east_m": east_m,
        "position_north_m": north_m,
        "si": si_values(point),
    }


def link_columns(link: Link) -> Columns:
    """Return the columns of a link without its ends."""
    return {
        "kind": link.kind,
        "length_m": link.length.value if isinstance(link, Pipe) else None,
        "si": si_values(link),
    }


def zone_columns(zone: Zone) -> Columns:
    """Return the columns of a zone without its valve."""
    return {
        "name": zone.name or "",
        "area_m2": zone.area.value if zone.area else None,
        "si": si_values(zone),
    }


def controller_columns(controller: Controller) -> Columns:
    """Return the columns of a controller."""
    return {"stations": controller.stations, "si": si_values(controller)}


def compressor_columns(compressor: Compressor) -> Columns:
    """Return the columns of a compressor."""
    return {
        "label": compressor.label or "",
        "free_air_m3_per_s": compressor.free_air_delivery.value,
        "receiver_m3": compressor.receiver.value,
        "si": si_values(compressor),
    }


def device_columns(assembly: Backflow) -> Columns:
    """Return the columns of the device that stands at a link."""
    return {
        "kind": assembly.device,
        "size": assembly.size or "",
        "serial": assembly.serial or "",
        "installed": _day(assembly.installed),
    }


def _day(text: str | None) -> date | None:
    """Return a day where the text is one; what people write instead is kept as text."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        return None
