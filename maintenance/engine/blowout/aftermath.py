"""After the last pass: what stands where, the air used, and the least that is enough."""

import math

from maintenance.engine.blowout import judge
from maintenance.engine.blowout.cells import Array, Cells
from maintenance.engine.blowout.passes import PassState
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import Displaced, LeftInPipe, StandingWater
from maintenance.engine.constants import GAS_CONSTANT_AIR
from maintenance.engine.units import UnitSystem, display

LEAST_POOL_M3 = 2e-5
"""Pools under this are not listed; project choice."""


def standing_water(
    row: Row, cells: Cells, needs: judge.Needs, full: Array, units: UnitSystem
) -> tuple[StandingWater, ...]:
    """List the places where water stands after the last pass, most first.

    Parameters
    ----------
    row : Row
        The row. [-]
    cells : Cells
        Its places. [-]
    needs : Needs
        What a drain takes is told from what stays. [-]
    full : array
        Share of each bore that is water after settling, (cell). [-]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

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
        at = part.low_end
        fills = bool(full[inside].max() > judge.HALF_FULL)
        how = "fills more than half the bore" if fills else "lies as a shallow layer"
        runs_out = not needs.places[start]
        drains = "; it runs out at the open drain or port" if runs_out else ""
        amount = display(volume, "volume", units, "up")
        text = f"About {amount} stays at {at} and {how}{drains}."
        result.append(StandingWater(at, part.link, volume, fills, text, bool(runs_out)))
    return tuple(sorted(result, key=lambda pool: -pool.volume_m3))


def left_in_pipes(row: Row, cells: Cells, full: Array) -> tuple[LeftInPipe, ...]:
    """Share the water that is left out among the pipes of a row.

    Parameters
    ----------
    row : Row
        The row. [-]
    cells : Cells
        Its places. [-]
    full : array
        Share of each bore that is water after settling, (cell). [-]

    Returns
    -------
    tuple of LeftInPipe
        Every pipe of the row, in its order. [m³]
    """
    return tuple(
        LeftInPipe(
            part.link,
            float((full * cells.volume)[cells.segment == number].sum()),
            float(full[cells.segment == number].max()),
        )
        for number, part in enumerate(row.segments)
    )


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


def least_air(
    prepared: Prepared,
    needs: judge.Needs,
    state: PassState,
    front_kg_per_s: float,
) -> float | None:
    """Interpolate the least free air that is enough between the lanes tried.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    needs : Needs
        What decides. [-]
    state : PassState
        The passes run; the lanes tried follow the first three. [-]
    front_kg_per_s : float
        Air that the first front itself needs over the receiver's store. [kg/s]

    Returns
    -------
    float or None
        Free air; None where no delivery tried is enough. [m³/s]
    """
    tried = judge.candidates(judge.LEAST_AIR, judge.MOST_AIR, judge.CANDIDATES)
    margins = [judge.best_margin(needs, state, 3 + i) for i in range(len(tried))]
    first = next((i for i, m in reversed([*enumerate(margins)]) if m < 1.0), -1) + 1
    if first == len(tried):
        return None
    machine = prepared.machine
    to_free = GAS_CONSTANT_AIR * machine.temperature_k / machine.atmosphere_pa
    if first == 0:
        return max(float(tried[0]), front_kg_per_s) * to_free
    flow: float
    low, high = math.log(max(margins[first - 1], 1e-6)), math.log(margins[first])
    share = 0.0 if high == low else (0.0 - low) / (high - low)
    flow = float(tried[first - 1]) * float(tried[first] / tried[first - 1]) ** share
    return max(flow, front_kg_per_s) * to_free


def front_need(
    prepared: Prepared, row: Row, displaced: Displaced, setting_pa: float
) -> float:
    """Return the steady air that the first front needs over the receiver's store.

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
        Mass flow, never negative. [kg/s]
    """
    machine = prepared.machine
    if not displaced.time_s:
        return 0.0
    over = max(machine.start_pa - setting_pa - machine.atmosphere_pa, 0.0)
    stored = machine.receiver_m3 * over / machine.rt
    needed = first_air(prepared, row, displaced, setting_pa)
    return max(0.0, needed - stored) / displaced.time_s
