"""Which parts of a site the frost can reach, with what is assumed about each."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.freezing.kinds import (
    INCH_M,
    Shape,
    body_shape,
    damaging_night,
    nominal_size,
)
from maintenance.engine.freezing.part_at_risk import Kind, PartAtRisk
from maintenance.engine.freezing.pipe_shapes import shape_of_pipe
from maintenance.engine.freezing.shelter import (
    IN_A_BOX,
    IN_THE_OPEN,
    Shelter,
    shelter_of,
)
from maintenance.engine.freezing.thermal import thermal_part
from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    Link,
    Outlet,
    Pipe,
    Point,
    Pump,
    Site,
    ZoneValve,
)
from maintenance.engine.site.card import lay_out
from maintenance.engine.units import Quantity

SMALLEST_M: Final = 0.75 * INCH_M
"""Bore of a part of which no size is recorded [m]: the smallest in common use; common
practice, no source."""

VALVE_M: Final = 1.0 * INCH_M
"""Bore of a zone valve, whose size no site file holds [m]; assumed."""


_FROM_A_CARD: Final = "The layout is taken from a card and not recorded part by part."


def parts_at_risk(site: Site) -> tuple[PartAtRisk, ...]:
    """Find the parts of a site that the frost can reach.

    Parameters
    ----------
    site : Site
        The site as recorded; quick zones and cards are laid out first. [-]

    Returns
    -------
    tuple of PartAtRisk
        Links, then points, in the order of the file. What stands indoors, pumps under
        water and air gaps are left out; so are devices in the line, whose place no
        site file holds. [SI]
    """
    whole = lay_out(site)
    found = [part for link in whole.links for part in _of_link(link)]
    found += [part for point in whole.points for part in _of_point(point)]
    if site.card is None:
        return tuple(found)
    return tuple(_with(part, assumed=(_FROM_A_CARD,)) for part in found)


def _of_link(link: Link) -> Iterator[PartAtRisk]:
    if isinstance(link, Pipe):
        yield from _pipe(link)
    elif isinstance(link, Backflow) and link.device != "AG":
        yield from _assembly(link)
    elif isinstance(link, ZoneValve):
        yield _zone_valve(link)
    elif isinstance(link, Pump) and link.pump != "submersible":
        yield _pump(link)


def _of_point(point: Point) -> Iterator[PartAtRisk]:
    if isinstance(point, BlowoutPort):
        size = nominal_size(point.fitting)
        yield _fitting(point.id, "blowout_port", size, "fitting", point.where)
    elif isinstance(point, Outlet) and point.kind == "quick_coupler":
        size = _value(point.opening)
        yield _fitting(point.id, "quick_coupler", size, "opening", point.where)
    elif isinstance(point, Outlet) and point.kind == "hydrant":
        yield _with(
            _fitting(
                point.id, "hydrant", _value(point.opening), "opening", point.where
            ),
            assumed=("Taken as a hydrant that does not drain by itself.",),
        )


def _assembly(link: Backflow) -> Iterator[PartAtRisk]:
    if link.placement == "indoors":
        return
    size = nominal_size(link.size)
    shape = body_shape(size or SMALLEST_M)
    buried = link.placement == "buried"
    shelter = IN_A_BOX if buried else shelter_of(link.enclosure)
    unknown = [] if size else ["size"]
    told = [
        f"Brass, bore {shape.inside_diameter_m / INCH_M:g} in"
        + (" (the nominal size)." if size else ", the smallest in common use.")
    ]
    if link.placement is None:
        unknown.append("placement")
        told.append("Taken as standing above ground.")
    yield _in_air(
        link.id, "assembly", shape, shelter, assumed=tuple(told), unknown=tuple(unknown)
    )


def _zone_valve(link: ZoneValve) -> PartAtRisk:
    shelter = IN_THE_OPEN if link.anti_siphon else IN_A_BOX
    told = (
        "Taken as standing above ground, since it has its own vacuum breaker."
        if link.anti_siphon
        else "Taken as standing in a valve box."
    )
    return _in_air(
        link.id,
        "zone_valve",
        body_shape(VALVE_M, "PVC"),
        shelter,
        assumed=("Plastic, bore 1 in.", told),
        unknown=("size",),
    )


def _pump(link: Pump) -> PartAtRisk:
    unknown = ["placement", "size"]
    if link.pump is None:
        unknown.append("pump")
    return _in_air(
        link.id,
        "pump",
        body_shape(VALVE_M, "iron"),
        IN_THE_OPEN,
        assumed=("Iron, bore 1 in.", "Taken as standing in the open, full of water."),
        unknown=tuple(unknown),
    )


def _fitting(
    part: str, kind: Kind, size: float | None, key: str, where: str | None
) -> PartAtRisk:
    boxed = where is not None and "box" in where.casefold()
    unknown = [] if size else [key]
    told = ["Brass."] if size else ["Brass, bore 3/4 in."]
    if where is None:
        unknown.append("where")
        told.append("Taken as standing in the open.")
    shape = body_shape(size or SMALLEST_M)
    return _in_air(
        part,
        kind,
        shape,
        IN_A_BOX if boxed else IN_THE_OPEN,
        assumed=tuple(told),
        unknown=tuple(unknown),
    )


def _pipe(link: Pipe) -> Iterator[PartAtRisk]:
    if link.placement == "indoors":
        return
    if link.placement == "above_ground":
        found = shape_of_pipe(link)
        yield _in_air(
            link.id,
            "pipe",
            found.shape,
            IN_THE_OPEN,
            assumed=(*found.assumed, "Taken as bare."),
            unknown=found.unknown,
        )
        return
    yield _buried(link)


def _buried(link: Pipe) -> PartAtRisk:
    told, unknown = [], []
    if link.placement is None:
        unknown.append("placement")
        told.append("Taken as buried.")
    if link.depth is None:
        unknown.append("depth")
    if link.cover is None:
        unknown.append("cover")
        told.append("The ground over it is taken as bare.")
    return PartAtRisk(
        part=link.id,
        kind="buried_pipe",
        threshold_k=FREEZING_POINT_K,
        threshold_of="soil",
        depth_m=_value(link.depth),
        cover=link.cover or "bare",
        assumed=tuple(told),
        unknown=tuple(unknown),
    )


def _in_air(
    part: str,
    kind: Kind,
    shape: Shape,
    shelter: Shelter,
    *,
    assumed: tuple[str, ...],
    unknown: tuple[str, ...],
) -> PartAtRisk:
    boxed = shelter.air_share < 1.0
    night = damaging_night(
        shape.inside_diameter_m, wrapped=shelter.insulation is not None
    )
    return PartAtRisk(
        part=part,
        kind=kind,
        threshold_k=FREEZING_POINT_K if boxed else night,
        threshold_of="box_air" if boxed else "night_air",
        shape=shape,
        thermal=thermal_part(
            shape.inside_diameter_m,
            shape.outside_diameter_m,
            shape.material,
            shelter.insulation,
        ),
        shelter=shelter,
        assumed=(*assumed, *shelter.assumed),
        unknown=(*unknown, *shelter.unknown),
    )


def _with(part: PartAtRisk, *, assumed: tuple[str, ...]) -> PartAtRisk:
    return replace(part, assumed=(*part.assumed, *assumed))


def _value(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.value
