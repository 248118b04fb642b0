"""The pipework of a running zone in numbers: what each part takes from the pressure."""

from typing import Final

import numpy as np

from maintenance.engine.air.outlets import outlet_coefficient
from maintenance.engine.line_loss import (
    HAZEN_WILLIAMS_EXPONENT,
    head_loss_hazen_williams,
)
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.openings import ASSUMED_NOZZLE_HEIGHT_M
from maintenance.engine.network.steady_flow import FEED, Pipework, Regulator
from maintenance.engine.network.water_ways import (
    PASCALS_PER_METRE,
    Feed,
    Waterway,
)
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    Head,
    InlineDevice,
    Link,
    Pipe,
    ZoneValve,
)
from maintenance.engine.units import parse_quantity

SMOOTH_PIPE: Final = 150.0
"""Plastic: USDA-NRCS 430HH, May 2002, as copied at docsbay.net (read)."""
ROUGHNESS: Final = {
    "PVC": SMOOTH_PIPE,
    "PE": SMOOTH_PIPE,
    "PE100": SMOOTH_PIPE,
    "copper": 140.0,
    "steel": 130.0,
}
"""Coefficient C of Hazen and Williams by material [-]. Copper: tables go from 150 new
to 130 old (hydroapp.io, read), the middle is taken. Steel: galvanised or new 130,
fifteen years old 100 (a lecture at slideplayer.com/slide/3285127, read)."""
_UNIT_CV: Final = parse_quantity("1 gpm/psi^0.5", "outlet_coefficient")
_WIDE_OPEN: Final = 0.1
"""Loss of a part that takes nothing [m per m3/s]: a tenth of a millimetre at 1 L/s."""


def lay_pipework(graph: Graph, feed: Feed, way: Waterway) -> Pipework:
    """Turn the ways of the water into nodes, branches and their laws.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    feed : Feed
        Where the water comes from: node `FEED`. [-]
    way : Waterway
        Ways on which nothing is missing. [-]

    Returns
    -------
    Pipework
        The links in their order, then an outlet for each head. [SI]

    Notes
    -----
    Pipes by Hazen and Williams; a zone valve by its flow coefficient and a head by its
    own, q = k sqrt(p); a check by the head that its spring holds. What is not recorded
    takes nothing.
    """
    node = {feed.point: FEED}
    for link in way.links:
        node.setdefault(link.from_, len(node))
        node.setdefault(link.to, len(node))
    outlets = range(len(node), len(node) + len(way.heads))
    laws = [_law(graph, link) for link in way.links]
    laws += [(_resistance(head_coefficient(h) or 0.0), 2.0, 0.0) for h in way.heads]
    levels = [_nozzle_level(head) for head in way.heads]
    return Pipework(
        start=np.array(
            [node[k.from_] for k in way.links] + [node[h.id] for h in way.heads],
            dtype=np.intp,
        ),
        end=np.array([*(node[k.to] for k in way.links), *outlets], dtype=np.intp),
        resistance=np.array([law[0] for law in laws]),
        exponent=np.array([law[1] for law in laws]),
        holds_m=np.array([law[2] for law in laws]),
        one_way=np.array([*map(_is_one_way, way.links), *(True for _ in outlets)]),
        fixed_m=np.array([np.nan] * len(node) + levels),
        regulators=tuple(
            Regulator(number, _level_behind(graph, link))
            for number, link in enumerate(way.links)
            if link.kind == "pressure_regulator"
        ),
    )


def head_coefficient(head: Head) -> float | None:
    """Return the coefficient of a head.

    Parameters
    ----------
    head : Head
        The head. [-]

    Returns
    -------
    float or None
        k of q = k sqrt(p); None where it is not recorded. [m3/s/Pa^0.5]
    """
    if head.k is not None:
        return head.k.value
    if head.flow is None or head.at_pressure is None or head.flow.value <= 0.0:
        return None
    return float(outlet_coefficient(head.flow.value, head.at_pressure.value))


def bore_m(graph: Graph, link: Pipe) -> float:
    """Return the bore of a pipe on which nothing is missing.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    link : Pipe
        The pipe. [-]

    Returns
    -------
    float
        Inside diameter; NaN where the size is not recorded. [m]
    """
    return graph.bores[link.id].inside_diameter_m or float("nan")


def _law(graph: Graph, link: Link) -> tuple[float, float, float]:
    """Return resistance, exponent and the head held back."""
    match link:
        case Pipe():
            bore = graph.bores[link.id]
            c = ROUGHNESS.get(bore.material, SMOOTH_PIPE)
            loss = head_loss_hazen_williams(1.0, bore_m(graph, link), bore.length_m, c)
            return float(loss), HAZEN_WILLIAMS_EXPONENT, 0.0
        case ZoneValve(cv=float() | int() as cv):
            return _resistance(cv * _UNIT_CV), 2.0, 0.0
        case CheckValve():
            return _WIDE_OPEN, 1.0, link.holds.value if link.holds else 0.0
        case _:
            return _WIDE_OPEN, 1.0, 0.0


def _resistance(k_si: float) -> float:
    """Return head over the square of the flow, from q = k sqrt(p)."""
    return 1.0 / (k_si**2 * PASCALS_PER_METRE)


def _nozzle_level(head: Head) -> float:
    height = head.nozzle_height
    return head.elevation.value + (height.value if height else ASSUMED_NOZZLE_HEIGHT_M)


def _level_behind(graph: Graph, link: Link) -> float:
    """Return the head that a regulator keeps at its outlet."""
    outlet = link.outlet_pressure if isinstance(link, InlineDevice) else None
    pressure = outlet.value if outlet else 0.0
    return graph.points[link.to].elevation.value + pressure / PASCALS_PER_METRE


def _is_one_way(link: Link) -> bool:
    regulates = link.kind == "pressure_regulator"
    return regulates or isinstance(link, (Backflow, CheckValve, ZoneValve))
