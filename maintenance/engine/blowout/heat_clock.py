"""How hot the air arrives, and when the first pipe's wall gets too hot."""

import math
from dataclasses import dataclass

from maintenance.engine.air.heat import (
    hose_outlet_temperature,
    pipe_time_constant,
    seconds_to_wall_temperature,
)
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import Graph
from maintenance.engine.pipes.derating import temperature_factor
from maintenance.engine.pipes.ratings import SHARE_WITHOUT_SURGE

WARM_K, HOT_K = 310.928, 333.15
"""100 degF, where a caution begins, and 140 degF, the end of the plastics' tables."""
BEYOND_TABLE = 0.5
"""Share of a PE rating at 140 degF where its table stops below: PPI Handbook of PE
Pipe, 2nd ed. 2008, Table A.2, from memory; a cautious stand-in."""
WALL_SHARE = 0.06
"""Wall over bore where the outside diameter is not known; estimate, from memory."""


@dataclass(frozen=True, slots=True)
class HeatClock:
    """Air temperature at the port and seconds until a dry wall is warm and hot."""

    air_temperature_k: float
    seconds_to_warm: float | None
    seconds_to_hot: float | None
    time_constant_s: float

    def wall_after(self, seconds: float, start_k: float) -> float:
        """Return the wall temperature after a time, never above the air's.

        Parameters
        ----------
        seconds : float
            Time with air on. [s]
        start_k : float
            Temperature at the start. [K]

        Returns
        -------
        float
            Temperature of a dry wall. [K]
        """
        share = math.exp(-seconds / self.time_constant_s)
        return self.air_temperature_k + (start_k - self.air_temperature_k) * share


def heat_clock(
    graph: Graph, row: Row, machine: Machine, flow_kg_per_s: float
) -> HeatClock | None:
    """Work out the heat clock of a row.

    Parameters
    ----------
    graph : Graph
        The site, for the wall of the first pipe. [-]
    row : Row
        The row. [-]
    machine : Machine
        The compressor. [-]
    flow_kg_per_s : float
        Air at the plateau. [kg/s]

    Returns
    -------
    HeatClock or None
        None where the discharge temperature is not known. [SI]
    """
    if machine.discharge_k is None or not row.segments or flow_kg_per_s <= 0:
        return None
    arrives = float(
        hose_outlet_temperature(
            machine.discharge_k,
            machine.temperature_k,
            flow_kg_per_s,
            machine.hose_diameter_m,
            machine.hose_length_m,
        )
    )
    bore = row.segments[0].diameter_m
    known = graph.bores[row.segments[0].link].wall_m
    wall = WALL_SHARE * bore if known is None else known
    constant = float(
        pipe_time_constant(flow_kg_per_s, bore, bore + 2.0 * wall, arrives)
    )
    warm, hot = (
        float(
            seconds_to_wall_temperature(
                target, machine.temperature_k, arrives, constant
            )
        )
        for target in (WARM_K, HOT_K)
    )
    return HeatClock(
        arrives,
        warm if math.isfinite(warm) else None,
        hot if math.isfinite(hot) else None,
        constant,
    )


def first_pipe_limit(
    graph: Graph, row: Row, clock: HeatClock | None, *, seconds: float, start_k: float
) -> float:
    """Return what the first pipe stands at the temperature that it reaches.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    row : Row
        The row. [-]
    clock : HeatClock or None
        Its heat clock. [-]
    seconds : float
        Longest pass. [s]
    start_k : float
        Temperature at the start. [K]

    Returns
    -------
    float
        0.72 of the derated water rating; infinite where there is no rating or no
        clock. [Pa]
    """
    if clock is None or not row.segments:
        return math.inf
    bore = graph.bores[row.segments[0].link]
    if bore.rating_pa is None:
        return math.inf
    reached = min(clock.wall_after(seconds, start_k), HOT_K - 0.01)
    try:
        factor = temperature_factor(bore.material, reached)
    except InputError:
        factor = BEYOND_TABLE
    return SHARE_WITHOUT_SURGE * factor * bore.rating_pa
