"""After the last pass: what stands where, the air used, and the least that is enough."""

import math

from maintenance.engine.blowout import judge
from maintenance.engine.blowout.cells import Array, Cells
from maintenance.engine.blowout.passes import PassState
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import Displaced, StandingWater
from maintenance.engine.constants import GAS_CONSTANT_AIR
from maintenance.engine.units import display

LEAST_POOL_M3 = 2e-5
"""Pools under this are not listed; project choice."""


def standing_water(
    prepared: Prepared, row: Row, cells: Cells, needs: judge.Needs, full: Array
) -> tuple[StandingWater, ...]:
    """List the places where water stands after the last pass, most first.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    row : Row
        The row. [-]
    cells : Cells
        Its places. [-]
    needs : Needs
        What a drain takes is told from what stays. [-]
    full : array
        Share of each bore that is water after settling, (cell). [-]

    Returns
    -------
    tuple of StandingWater
        Places of more than `LEAST_POOL_M3`. [m³]
    """
    result = []
    for pool, start in enumerate(cells.pools.start):
        inside = cells.pools.of == pool
        volume = float((full * cells.volume)[inside].sum())
        if volume < LEAST_POOL_M3:
            continue
        part = row.segments[cells.segment[start]]
        at = min(
            (part.start, part.end),
            key=lambda p: prepared.graph.points[p].elevation.value,
        )
        fills = bool(full[inside].max() > judge.HALF_FULL)
        how = "fills more than half the bore" if fills else "lies as a shallow layer"
        drains = (
            "" if needs.places[start] else "; the drain there takes it if left open"
        )
        amount = display(volume, "volume", "us", "up")
        text = f"About {amount} stays at {at} and {how}{drains}."
        result.append(StandingWater(at, part.link, volume, fills, text))
    return tuple(sorted(result, key=lambda pool: -pool.volume_m3))


def first_air(
    prepared: Prepared, row: Row, displaced: Displaced, setting_pa: float
) -> float:
    """Return the air that fills the emptied pipes at the setting.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    row : Row
        The row. [-]
    displaced : Displaced
        Its first front. [-]
    setting_pa : float
        Gauge setting. [Pa]

    Returns
    -------
    float
        Mass of air. [kg]
    """
    machine = prepared.machine
    emptied = row.volume_m3 * (1.0 - displaced.left_fraction)
    return emptied * (setting_pa + machine.atmosphere_pa) / machine.rt


def least_air(prepared: Prepared, needs: judge.Needs, state: PassState) -> float | None:
    """Interpolate the least free air that is enough between the lanes tried.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    needs : Needs
        What decides. [-]
    state : PassState
        The passes run; the lanes tried follow the first three. [-]

    Returns
    -------
    float or None
        Free air; None where no delivery tried is enough. [m³/s]
    """
    tried = judge.candidates(judge.LEAST_AIR, judge.MOST_AIR, judge.CANDIDATES)
    margins = [
        judge.margin_after(needs, state, 3 + i, judge.MOST_PASSES)
        for i in range(len(tried))
    ]
    enough = [i for i, margin in enumerate(margins) if margin >= 1.0]
    if not enough:
        return None
    machine = prepared.machine
    to_free = GAS_CONSTANT_AIR * machine.temperature_k / machine.atmosphere_pa
    i = enough[0]
    if i == 0:
        return float(tried[0]) * to_free
    flow: float
    low, high = math.log(max(margins[i - 1], 1e-6)), math.log(margins[i])
    share = 0.0 if high == low else (0.0 - low) / (high - low)
    flow = float(tried[i - 1]) * float(tried[i] / tried[i - 1]) ** share
    return float(flow * to_free)
