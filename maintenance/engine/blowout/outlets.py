"""Outlets of a row: heads, and openings whose bore is recorded or assumed."""

import math
from dataclasses import dataclass

from maintenance.engine.air.outlets import outlet_coefficient
from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import ASSUMED_NOZZLE_HEIGHT_M
from maintenance.engine.site import Drain, Head, Outlet
from maintenance.engine.units import parse_quantity

OPENING_BORES_M = {"quick_coupler": 0.019, "drain": 0.0127, "hydrant": 0.0254}
"""Bore of an opening where none is recorded; estimate, from memory."""
OPENING_DISCHARGE = 0.6
"""Share of an opening's bore that passes water; sharp-edged opening, from memory."""
STAYS_UP_PA = {
    "spray": parse_quantity("15 psi", "pressure"),
    "rotor": parse_quantity("25 psi", "pressure"),
}
"""Class defaults for the pressure that keeps a head up: no source."""


@dataclass(frozen=True, slots=True)
class RowOutlet:
    """An outlet at the end of a segment: q = k √p over its height and holding head."""

    point: str
    segment: int
    k_si: float
    height_m: float
    holding_m: float
    kind: str
    stays_up_pa: float

    @property
    def area_m2(self) -> float:
        """Effective area for air, that of the water. [m²]."""
        return self.k_si * math.sqrt(WATER_DENSITY / 2.0)


def opening_bore(graph: Graph, point: Outlet | Drain) -> float | None:
    """Return the bore of an opening when it is open.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    point : Outlet or Drain
        The opening. [-]

    Returns
    -------
    float or None
        Recorded bore, else the assumed one of its kind; None if it gives none. [m]
    """
    if point.opening is not None:
        return point.opening.value
    if isinstance(point, Drain):
        return OPENING_BORES_M["drain"] if point.drain == "manual" else None
    if point.kind == "open_end":
        joined = [graph.bores[i] for i in graph.joined[point.id] if i in graph.bores]
        return max((b.inside_diameter_m or 0.0 for b in joined), default=0.0) or None
    return OPENING_BORES_M.get(point.kind)


def make_outlet(graph: Graph, point_id: str, segment: int) -> RowOutlet | None:
    """Turn a point into an outlet of a row.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    point_id : str
        Head or opening. [-]
    segment : int
        Segment at whose end it stands. [-]

    Returns
    -------
    RowOutlet or None
        None where flow and pressure are not recorded. [SI]
    """
    point = graph.points[point_id]
    if isinstance(point, Head):
        if point.k is not None:
            k_si = point.k.value
        elif point.flow is not None and point.at_pressure is not None:
            k_si = float(outlet_coefficient(point.flow.value, point.at_pressure.value))
        else:
            return None
        if k_si <= 0:
            return None
        height = point.nozzle_height
        stays = point.stays_up_above
        return RowOutlet(
            point_id,
            segment,
            k_si,
            height.value if height else ASSUMED_NOZZLE_HEIGHT_M,
            point.check_valve.value if point.check_valve else 0.0,
            point.head,
            stays.value if stays else STAYS_UP_PA.get(point.head, 0.0),
        )
    if not isinstance(point, (Outlet, Drain)):
        return None
    bore = opening_bore(graph, point)
    if bore is None:
        return None
    area = OPENING_DISCHARGE * math.pi / 4 * bore**2
    return RowOutlet(
        point_id,
        segment,
        area * math.sqrt(2.0 / WATER_DENSITY),
        0.0,
        0.0,
        point.kind,
        0.0,
    )
