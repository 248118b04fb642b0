"""The knock when the filling water is stopped."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.startup.fill import flow_at_velocity
from maintenance.engine.startup.surge import (
    MODULUS_RATIOS,
    surge_head_joukowsky,
    wave_speed_korteweg,
)
from maintenance.engine.water import pressure_of_head

_MODULI: Final = {"PVC": "PVC", "PE": "PE", "PE100": "PE"}
"""PE100 for a short load is taken as other PE (from memory)."""
_RIGID: Final = ("copper", "steel")
_ANY_RATIO: Final = 3.0


@dataclass(frozen=True, slots=True)
class Knock:
    """The largest surge of a sudden stop on the way of the filling water.

    ``pressure_pa`` is None where no pipe on the way is known; ``worst`` is the pipe;
    ``rigid`` says that it was taken as rigid, which is an upper bound; ``unknown`` are
    the pipes that it leaves out.
    """

    pressure_pa: float | None
    worst: str | None
    rigid: bool
    unknown: tuple[str, ...]


def knock_at_closing(
    graph: Graph, pipes: Sequence[str], flow_m3_per_s: float | None
) -> Knock:
    """Bound the surge when water that fills some pipes is stopped at once.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    pipes : sequence of str
        Pipes on the way. [-]
    flow_m3_per_s : float or None
        Flow in each of them; None where it is unknown. [m3/s]

    Returns
    -------
    Knock
        Over the pressure that stands there. [Pa]

    Notes
    -----
    rho a v with a of `wave_speed_korteweg`; copper and steel as rigid pipe. It is the
    full surge, of a stop within 2 L/a; closing slowly gives less.
    """
    found: dict[str, float] = {}
    unknown = []
    for key in pipes:
        speed = wave_speed_of(graph, key)
        bore = graph.bores[key].inside_diameter_m
        if speed is None or bore is None or flow_m3_per_s is None:
            unknown.append(key)
            continue
        velocity = flow_m3_per_s / float(flow_at_velocity(1.0, bore))
        head = surge_head_joukowsky(speed, velocity)
        found[key] = float(pressure_of_head(head))
    if not found:
        return Knock(None, None, False, tuple(unknown))
    worst = max(found, key=lambda key: found[key])
    rigid = graph.bores[worst].material in _RIGID
    return Knock(found[worst], worst, rigid, tuple(unknown))


def wave_speed_of(graph: Graph, key: str) -> float | None:
    """Return the speed of a pressure wave in a pipe of the site.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    key : str
        Id of the pipe. [-]

    Returns
    -------
    float or None
        Copper and steel as rigid pipe; None where nobody knows the pipe. [m/s]
    """
    bore = graph.bores[key]
    if bore.material in _RIGID:
        return float(wave_speed_korteweg(_ANY_RATIO, 0.0))
    material = _MODULI.get(bore.material)
    inside, wall = bore.inside_diameter_m, bore.wall_m
    guessed = any("unknown" in text for text in bore.assumed)
    if material is None or inside is None or wall is None or guessed:
        return None
    ratio = (inside + 2.0 * wall) / wall
    return float(wave_speed_korteweg(ratio, MODULUS_RATIOS[material]))
