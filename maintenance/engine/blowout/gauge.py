"""What the gauge at the port reads when a row is dry, and what it can show."""

from collections.abc import Sequence

import numpy as np

from maintenance.engine.air.outlets import second_route_ratio
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.plateau import Plateau, find_plateau, outlet_areas
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import Gauge
from maintenance.engine.blowout.supply import Array, supply_of
from maintenance.engine.units import UnitSystem, display

_HOSE_ROUNDS = 20


def read_gauges(
    rows: Sequence[Row],
    machines: Sequence[Machine],
    setting_pa: Array,
    units: UnitSystem = "us",
) -> tuple[Gauge, ...]:
    """Find the plateaus of rows with every pipe dry.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be computed. [-]
    machines : sequence of Machine
        The compressor on each, all at one site. [-]
    setting_pa : array
        Gauge settings, (row). [Pa]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    tuple of Gauge
        All open, one and two of the farthest heads blocked, and the widened band.
        [Pa]

    Notes
    -----
    Heads pass air by the nozzle law with the water's C_dA. The control-valve route
    (IEC 60534-2-1) differs from it by a factor; the same factor the other way, as
    gear drives may act, widens the reading upwards to ``dry_high_pa``.
    """
    if not rows:
        return ()
    own = outlet_areas(rows)
    cases = np.repeat(own, 3, axis=1)
    for i, row in enumerate(rows):
        ends = _farthest(row)
        cases[i, 1, ends[:1]] = 0.0
        cases[i, 2, ends[:2]] = 0.0
    air = machines[0].atmosphere_pa
    absolute = setting_pa + air
    found = find_plateau(rows, machines, absolute, cases)
    open_pa = np.maximum(found.port_pa[:, 0], air * 1.001)
    spread = np.maximum(second_route_ratio(open_pa, air), 1.0)
    widest = find_plateau(rows, machines, absolute, own / spread[:, None, None])
    return tuple(
        _gauge(row, machines[i], float(setting_pa[i]), found, widest, i, units)
        for i, row in enumerate(rows)
    )


def _gauge(
    row: Row,
    machine: Machine,
    setting_pa: float,
    found: Plateau,
    widest: Plateau,
    i: int,
    units: UnitSystem,
) -> Gauge:
    air, flow = machine.atmosphere_pa, float(found.flow_kg_per_s[i, 0])
    dry, one, two = (float(p) - air for p in found.port_pa[i])
    regulated = bool(found.holds[i, 0])
    stays = dry >= max((o.stays_up_pa for o in row.outlets), default=0.0)
    falls_to = display(dry, "pressure", units)
    why = _why_not(machine, falls_to, stays=stays, regulated=regulated)
    at_compressor = setting_pa if regulated else _before_hose(machine, dry + air, flow)
    return Gauge(
        dry,
        float(widest.port_pa[i, 0]) - air,
        one,
        two,
        stays,
        not why,
        min(at_compressor, setting_pa),
        why,
        flow,
        regulated,
    )


def plateau_flows(
    rows: Sequence[Row], machines: Sequence[Machine], setting_pa: Array
) -> Array:
    """Return the air that dry rows pass in balance.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be computed. [-]
    machines : sequence of Machine
        The compressor on each, all at one site. [-]
    setting_pa : array
        Gauge settings, (row). [Pa]

    Returns
    -------
    array
        Mass flow, (row). [kg/s]
    """
    absolute = setting_pa + machines[0].atmosphere_pa
    found = find_plateau(rows, machines, absolute, outlet_areas(rows))
    return found.flow_kg_per_s[:, 0]


def _farthest(row: Row) -> list[int]:
    run = [0.0] * len(row.segments)
    for j, part in enumerate(row.segments):
        run[j] = part.length_m + (run[part.before] if part.before >= 0 else 0.0)
    far = [run[outlet.segment] for outlet in row.outlets]
    return sorted(range(len(far)), key=lambda h: (-far[h], -h))


def _before_hose(machine: Machine, port_pa: float, flow: float) -> float:
    """Return the gauge pressure before the hose that drives a flow to the port."""
    supply, outlet = supply_of([machine]), np.array([port_pa])
    inlet = outlet * 1.1
    for _ in range(_HOSE_ROUNDS):
        inlet = np.sqrt(outlet**2 + flow**2 / supply.hose_ease(inlet, outlet))
    return float(inlet[0]) - machine.atmosphere_pa


def _why_not(machine: Machine, falls_to: str, *, stays: bool, regulated: bool) -> str:
    if machine.gauge_at != "connection":
        return "No gauge stands at the port, so no reading tells when the row is done."
    if regulated:
        return (
            "The compressor keeps up with all heads dry: the gauge stays at the setting "
            "and cannot tell when the row is done. Go by the heads and the clock."
        )
    if not stays:
        return (
            f"With all pipes dry the gauge would fall to about {falls_to}, "
            "too little to hold every head up: some close, so no reading tells when the "
            "row is done. Go by the heads and the clock."
        )
    return ""
