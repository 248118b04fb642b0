"""Which sources are public, and which press without a pump."""

from functools import lru_cache

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.spread import BOTH, FORWARD, spread
from maintenance.engine.site import Supply


def pushes(supply: Supply) -> bool:
    """Whether a source presses through a pump that is off.

    Parameters
    ----------
    supply : Supply
        The source. [-]

    Returns
    -------
    bool
        True for mains and tanks, and for surface water with a recorded pressure; a
        well presses only while its pump runs. [-]
    """
    pressure = supply.static_pressure
    if supply.source == "surface":
        return pressure is not None and pressure.value > 0
    return supply.source in ("public", "tank")


@lru_cache(maxsize=16)
def pushed_through(piping: Piping) -> frozenset[str]:
    """Return the pumps that a source upstream presses through while they are off.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    frozenset of str
        Ids; such a pump, dead or not, stops no water. [-]
    """
    ways = tuple(
        BOTH if gate.kind in ("valve", "diaphragm") else FORWARD
        for gate in piping.gates
    )
    points = piping.graph.points
    starts = [
        cell
        for key, cell in piping.supplies.items()
        if isinstance(point := points[key], Supply) and pushes(point)
    ]
    wet = spread(piping, starts, ways)
    return frozenset(
        gate.id for gate in piping.gates if gate.kind == "pump" and gate.start in wet
    )


def is_public(piping: Piping, supply: str) -> bool:
    """Whether a source is a public supply.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    supply : str
        Id of the source. [-]

    Returns
    -------
    bool
        Only its water counts as potable. [-]
    """
    point = piping.graph.points[supply]
    return isinstance(point, Supply) and point.source == "public"
