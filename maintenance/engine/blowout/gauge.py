"""What the gauge at the port reads when a row is dry, and what it can show."""

import math
from dataclasses import replace

import numpy as np

from maintenance.engine.air.outlets import second_route_ratio
from maintenance.engine.blowout.ladder import (
    build_ladder,
    steady_port_pressure,
)
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import Gauge
from maintenance.engine.units import display


def read_gauge(row: Row, machine: Machine, setting_pa: float) -> Gauge:
    """Find the plateaus of a row with every pipe dry.

    Parameters
    ----------
    row : Row
        The row. [-]
    machine : Machine
        The compressor. [-]
    setting_pa : float
        Gauge setting. [Pa]

    Returns
    -------
    Gauge
        All open, one and two of the farthest heads blocked, and the widened band.
        [Pa]

    Notes
    -----
    Heads pass air by the nozzle law with the water's C_dA. The control-valve route
    (IEC 60534-2-1) differs from it by a factor; the same factor the other way, as
    gear drives may act, widens the reading upwards to ``dry_high_pa``.
    """
    ladder = build_ladder(row, machine)
    own, ends = ladder.areas[0], _farthest(row)
    areas = np.repeat(own[None, :], 3, axis=0)
    areas[1, ends[:1]] = 0.0
    areas[2, ends[:2]] = 0.0
    air = machine.atmosphere_pa
    absolute = setting_pa + air
    supply = np.full(3, machine.air_kg_per_s)
    port, flow, holds = steady_port_pressure(
        replace(ladder, areas=areas), absolute, supply
    )
    spread = float(second_route_ratio(max(float(port[0]), air * 1.001), air))
    narrowed = replace(ladder, areas=own[None, :] / max(spread, 1.0))
    widest, _, _ = steady_port_pressure(narrowed, absolute, supply[:1])
    dry, one, two = (float(p) - air for p in port)
    high = float(widest[0]) - air
    regulated = bool(holds[0])
    stays = dry >= max((o.stays_up_pa for o in row.outlets), default=0.0)
    why = _why_not(machine, stays=stays, regulated=regulated, dry=dry)
    at_compressor = (
        setting_pa if regulated else _before_hose(machine, port[0], flow.total[0])
    )
    return Gauge(
        dry,
        high,
        one,
        two,
        stays,
        not why,
        min(at_compressor, setting_pa),
        why,
        float(flow.total[0]),
        regulated,
    )


def plateau_flow(row: Row, machine: Machine, setting_pa: float) -> float:
    """Return the air that a dry row passes in balance.

    Parameters
    ----------
    row : Row
        The row. [-]
    machine : Machine
        The compressor. [-]
    setting_pa : float
        Gauge setting. [Pa]

    Returns
    -------
    float
        Mass flow. [kg/s]
    """
    absolute = setting_pa + machine.atmosphere_pa
    supply = np.array([machine.air_kg_per_s])
    _, flow, _ = steady_port_pressure(build_ladder(row, machine), absolute, supply)
    return float(flow.total[0])


def _farthest(row: Row) -> list[int]:
    run = [0.0] * len(row.segments)
    for j, part in enumerate(row.segments):
        run[j] = part.length_m + (run[part.before] if part.before >= 0 else 0.0)
    far = [run[outlet.segment] for outlet in row.outlets]
    return sorted(range(len(far)), key=lambda h: (-far[h], -h))


def _before_hose(machine: Machine, port_pa: float, flow: float) -> float:
    low, high = float(port_pa), 50.0 * machine.atmosphere_pa
    outlet = np.array([port_pa])
    for _ in range(50):
        middle = math.sqrt(low * high)
        passes = float(machine.hose_flow(np.array([middle]), outlet)[0])
        low, high = (middle, high) if passes < flow else (low, middle)
    return high - machine.atmosphere_pa


def _why_not(machine: Machine, *, stays: bool, regulated: bool, dry: float) -> str:
    if machine.gauge_at != "connection":
        return "No gauge stands at the port, so no reading tells when the row is done."
    if regulated:
        return (
            "The compressor keeps up with all heads dry: the gauge stays at the setting "
            "and cannot tell when the row is done. Go by the heads and the clock."
        )
    if not stays:
        return (
            f"With all pipes dry the gauge would fall to about {display(dry, 'pressure')}, "
            "too little to hold every head up: some close, so no reading tells when the "
            "row is done. Go by the heads and the clock."
        )
    return ""
