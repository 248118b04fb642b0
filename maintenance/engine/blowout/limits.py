"""The most that the gauge at the port may show while a row is blown."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from maintenance.engine.blowout.rows import Row
from maintenance.engine.network.graph import Graph
from maintenance.engine.pipes.limits import DRIP_CAP_PA, PartLimit, part_limit
from maintenance.engine.site import Head, InlineDevice, Pipe
from maintenance.engine.units import UnitSystem

_LimitOf = Callable[..., PartLimit]


@dataclass(frozen=True, slots=True)
class RowLimit:
    """Limit at the gauge, the part that sets it and why. None: no setting at all."""

    limit_pa: float | None
    part: str
    text: str
    reasons: tuple[str, ...]


def row_limit(
    graph: Graph, row: Row, *, temperature_k: float, units: UnitSystem = "us"
) -> RowLimit:
    """Find the weakest part on the way of a row.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    row : Row
        The row. [-]
    temperature_k : float
        Temperature of air and ground. [K]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    RowLimit
        Least of the parts' limits less the static head down to them, never above
        the least cap. [Pa]
    """
    limit_of = partial(part_limit, temperature_k=temperature_k, units=units)
    drip_pa = _drip_cap(graph, row)
    found: list[tuple[str, PartLimit]] = []
    for link_id in row.links:
        part = _link_limit(graph, row, link_id, limit_of, drip_pa)
        if part is not None:
            found.append((link_id, part))
    for point_id in row.points:
        part = _point_limit(graph, row, point_id, limit_of)
        if part is not None:
            found.append((point_id, part))
    reasons = tuple(f"{key}: {part.limited_by}" for key, part in found)
    for key, part in found:
        if part.limit_pa is None:
            return RowLimit(None, key, part.limited_by, reasons)
    if not found:
        return RowLimit(None, row.to, "No pipe is recorded on this way.", ())
    key, least = min(found, key=lambda pair: pair[1].limit_pa or 0.0)
    return RowLimit(least.limit_pa, key, least.limited_by, reasons)


def _local(
    graph: Graph, *own: tuple[str, float] | None
) -> tuple[tuple[str, float], ...]:
    limits = [pair for pair in own if pair is not None]
    if graph.site.air_limit is not None:
        limits.append(("The site's own air limit", graph.site.air_limit.value))
    return tuple(limits)


def _drop(graph: Graph, row: Row, *points: str) -> float:
    lowest = min(graph.points[p].elevation.value for p in points)
    return max(0.0, row.port_z_m - lowest)


def _link_limit(
    graph: Graph, row: Row, link_id: str, limit_of: _LimitOf, drip_pa: float | None
) -> PartLimit | None:
    link = graph.links[link_id]
    entered = link.max_air_pressure
    own = (f"Entered for {link_id}", entered.value) if entered else None
    drop = _drop(graph, row, link.from_, link.to)
    if not isinstance(link, Pipe):
        if own is None:
            return None
        return limit_of(
            material="steel",
            placement="buried",
            rating_pa=None,
            drop_below_gauge_m=drop,
            local_limits=_local(graph, own),
        )
    bore = graph.bores[link_id]
    drip = (
        ("Drip emitters or their regulator", drip_pa) if drip_pa is not None else None
    )
    return limit_of(
        material=bore.material,
        placement="buried" if link.air_exception else bore.placement,
        rating_pa=bore.rating_pa,
        drop_below_gauge_m=drop,
        local_limits=_local(graph, own, drip),
    )


def _point_limit(
    graph: Graph, row: Row, point_id: str, limit_of: _LimitOf
) -> PartLimit | None:
    point = graph.points[point_id]
    entered = point.max_air_pressure
    own = (f"Entered for {point_id}", entered.value) if entered else None
    drop = _drop(graph, row, point_id)
    if isinstance(point, Head) and point.head != "drip_emitters":
        return limit_of(
            material=_riser_material(point.riser),
            placement="buried",
            rating_pa=None,
            drop_below_gauge_m=drop,
            unstated_riser=point.riser is None,
            local_limits=_local(graph, own),
        )
    if own is None:
        return None
    return limit_of(
        material="steel",
        placement="buried",
        rating_pa=None,
        drop_below_gauge_m=drop,
        local_limits=_local(graph, own),
    )


def _riser_material(riser: str | None) -> str:
    words = (riser or "").split()
    known = {"PVC": "PVC", "PE": "PE", "copper": "copper", "steel": "steel"}
    return known.get(words[0] if words else "", "unknown plastic")


def _drip_cap(graph: Graph, row: Row) -> float | None:
    if not any(outlet.kind == "drip_emitters" for outlet in row.outlets):
        return None
    for link_id in row.links:
        link = graph.links[link_id]
        if not isinstance(link, InlineDevice) or link.outlet_pressure is None:
            continue
        if link.kind == "pressure_regulator":
            return link.outlet_pressure.value
    return DRIP_CAP_PA
