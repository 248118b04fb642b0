"""Figures of a leak test: the published allowance, and what a gauge would show of it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from maintenance.engine.constants import WATER_DENSITY
from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.startup.surge_at_closing import wave_speed_of
from maintenance.engine.site import Pipe, Pump, Supply
from maintenance.engine.startup.leak import leak_allowance_c605
from maintenance.engine.units import parse_quantity


@dataclass(frozen=True, slots=True)
class LeakAmounts:
    """What a test of some pipes can show; None where too little is recorded.

    ``allowance_m3_per_s`` is the make-up water of AWWA C605, an upper bound;
    ``drop_pa_per_s`` how fast a gauge falls at that leak if the line holds no air.
    ``pipes`` are those under test, ``unknown`` those without a size.
    """

    pipes: tuple[str, ...]
    length_m: float
    volume_m3: float | None
    pressure_pa: float | None
    allowance_m3_per_s: float | None
    drop_pa_per_s: float | None
    has_pe: bool
    unknown: tuple[str, ...]


def leak_amounts(
    graph: Graph, pipes: Sequence[str], source: str, pumps: Sequence[str]
) -> LeakAmounts:
    """Work out what a leak test of some pipes can show.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    pipes : sequence of str
        Pipes under test. [-]
    source : str
        What presses on them. [-]
    pumps : sequence of str
        Pumps that do. [-]

    Returns
    -------
    LeakAmounts
        Figures in SI. [SI]

    Notes
    -----
    Allowance: the sum of L D sqrt(P)/148,000 over the pipes. Fall of the gauge:
    dp/dt = q/sum(V/K), K = rho a^2, a of `wave_speed_korteweg` (derived here, not from
    a standard).
    """
    sizes = {p: nominal_m(graph, p) for p in pipes}
    unknown = tuple(p for p, size in sizes.items() if size is None)
    pressure = _pressure(graph, source, pumps)
    allowance = None
    if pipes and not unknown and pressure is not None:
        allowance = math.fsum(
            float(leak_allowance_c605(graph.bores[p].length_m, size, pressure))
            for p, size in sizes.items()
            if size is not None
        )
    volumes = {p: graph.bores[p].volume_m3 for p in pipes}
    known = [volume for volume in volumes.values() if volume is not None]
    drop = None
    give = _give(graph, volumes)
    if allowance is not None and give:
        drop = allowance / give
    return LeakAmounts(
        tuple(pipes),
        math.fsum(graph.bores[p].length_m for p in pipes),
        math.fsum(known) if known and len(known) == len(pipes) else None,
        pressure,
        allowance,
        drop,
        any(graph.bores[p].material in ("PE", "PE100") for p in pipes),
        unknown,
    )


def nominal_m(graph: Graph, key: str) -> float | None:
    """Return the nominal diameter of a pipe.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    key : str
        Id of the pipe. [-]

    Returns
    -------
    float or None
        As it is called; its bore where only that is recorded. [m]
    """
    pipe = graph.links[key]
    if isinstance(pipe, Pipe) and pipe.size is not None:
        plain = pipe.size.strip().removesuffix('"').removesuffix("in").strip()
        text = plain if plain.endswith("mm") else f"{plain} in"
        return parse_quantity(text, "diameter")
    return graph.bores[key].inside_diameter_m


def _pressure(graph: Graph, source: str, pumps: Sequence[str]) -> float | None:
    supply = graph.points[source]
    static = supply.static_pressure if isinstance(supply, Supply) else None
    if static is not None:
        return static.value
    for key in pumps:
        pump = graph.links[key]
        if isinstance(pump, Pump) and pump.shutoff_pressure is not None:
            return pump.shutoff_pressure.value
    return None


def _give(graph: Graph, volumes: dict[str, float | None]) -> float | None:
    """Return how much volume each pascal takes up, None where a pipe is unknown."""
    total = 0.0
    for key, volume in volumes.items():
        speed = wave_speed_of(graph, key)
        if speed is None or volume is None:
            return None
        total += volume / (WATER_DENSITY * speed**2)
    return total
