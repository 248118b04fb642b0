"""Air through the dry pipes of one row: hose, pipes and outlets in balance.

Isothermal flow with friction in every pipe, the nozzle law at every outlet. The tree
is solved for the pressure at the port by the same scaling as the water trees: the
squared pressures lost are nearly homogeneous of degree two in the flows.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.air.outlets import mass_flow_nozzle
from maintenance.engine.air.properties import viscosity
from maintenance.engine.blowout.machine import Array, Machine, Receiver, deliver
from maintenance.engine.blowout.rows import Row
from maintenance.engine.constants import PLASTIC_ROUGHNESS_M
from maintenance.engine.friction import darcy_churchill

_ROUNDS, _SETTLED_PA = 12, 2.0
_BACK = np.linspace(0.0, 1.0, 201)


def _outlet_table() -> Array:
    """Return W²RT/(C_dA)²/(p² - p_atm²) against p_atm/p: 1 near rest, 0.47 choked."""
    inner = np.clip(_BACK, 1e-9, 1.0 - 1e-6)
    flow = mass_flow_nozzle(1.0, np.ones_like(inner), inner, 1.0 / 287.05)
    return np.asarray(flow**2 / (1.0 - inner**2), dtype=np.float64)


_OUTLET = _outlet_table()


@dataclass(frozen=True, slots=True)
class Ladder:
    """The row's air ways. ``path`` is (outlet, segment), ``areas`` (lane, outlet).

    ``upstream`` (segment, segment) is 1 where the first lies on the way to the
    second, itself included; ``before`` indexes the segment upstream, past the last
    for the port.
    """

    path: Array
    upstream: Array
    before: npt.NDArray[np.intp]
    areas: Array
    diameter: Array
    area: Array
    length: Array
    minor: Array
    machine: Machine


def build_ladder(row: Row, machine: Machine, areas: Array | None = None) -> Ladder:
    """Build the air ways of a row.

    Parameters
    ----------
    row : Row
        The row. [-]
    machine : Machine
        The compressor. [-]
    areas : array, optional
        Effective outlet areas, (lane, outlet); default one lane as recorded. [m²]

    Returns
    -------
    Ladder
        Arrays for the solver. [SI]
    """
    count = len(row.segments)
    upstream = np.eye(count)
    for j, part in enumerate(row.segments):
        if part.before >= 0:
            upstream[:, j] += upstream[:, part.before]
    path = upstream[:, [outlet.segment for outlet in row.outlets]].T
    before = np.array([s.before if s.before >= 0 else count for s in row.segments])
    diameter = np.array([s.diameter_m for s in row.segments])
    area = np.pi / 4 * diameter**2
    valves = np.array([s.valve_area_m2 for s in row.segments])
    own = np.array([[o.area_m2 for o in row.outlets]])
    return Ladder(
        path,
        upstream,
        before,
        own if areas is None else areas,
        diameter,
        area,
        np.array([s.length_m for s in row.segments]),
        (area / valves) ** 2,
        machine,
    )


@dataclass(slots=True)
class AirFlow:
    """Flows and pressures of several lanes. ``pressure`` is at each segment's end."""

    outlets: Array
    through: Array
    port_pa: Array
    pressure: Array
    total: Array


def first_guess(ladder: Ladder, port_pa: Array) -> AirFlow:
    """Return a starting point: outlets at the port's pressure, pipes free.

    Parameters
    ----------
    ladder : Ladder
        The row's air ways. [-]
    port_pa : array
        Absolute pressure at the port. [Pa]

    Returns
    -------
    AirFlow
        To be settled by `settle_flows`. [SI]
    """
    machine = ladder.machine
    drive = np.sqrt(np.maximum(port_pa**2 - machine.atmosphere_pa**2, 1.0))
    areas = np.broadcast_to(ladder.areas, (len(port_pa), ladder.areas.shape[1]))
    flow = 0.6 * areas * drive[:, None] / np.sqrt(machine.rt)
    through = flow @ ladder.path
    pressure = np.repeat(port_pa[:, None], through.shape[1], axis=1)
    return AirFlow(flow, through, port_pa, pressure, flow.sum(axis=1))


def settle_flows(
    ladder: Ladder,
    air: AirFlow,
    port_pa: Array,
    *,
    wetness: Array | float = 1.0,
    rounds: int = 2,
) -> None:
    """Bring the flows towards balance at a port pressure.

    Parameters
    ----------
    ladder : Ladder
        The row's air ways. [-]
    air : AirFlow
        Changed in place. [SI]
    port_pa : array
        Absolute pressure at the port, (lane). [Pa]
    wetness : array or float
        Factor on the dry friction, (lane, segment). [-]
    rounds : int
        Scaling rounds. [-]
    """
    machine = ladder.machine
    rt, back2 = machine.rt, machine.atmosphere_pa**2
    reynolds = (
        air.through * ladder.diameter / ladder.area / viscosity(machine.temperature_k)
    )
    factor = darcy_churchill(
        np.maximum(reynolds, 10.0), PLASTIC_ROUGHNESS_M / ladder.diameter
    )
    cost = (
        (factor * wetness * ladder.length / ladder.diameter + ladder.minor)
        * rt
        / ladder.area**2
    )
    drive = np.maximum(port_pa**2 - back2, 1.0)[:, None]
    inverse_area2 = np.where(
        ladder.areas > 0, rt / np.maximum(ladder.areas, 1e-12) ** 2, 0
    )
    spent = (cost * air.through**2) @ ladder.path.T
    for _ in range(rounds):
        at_outlet = np.sqrt(np.maximum(port_pa[:, None] ** 2 - spent, back2 * 1.0001))
        share = np.interp(machine.atmosphere_pa / at_outlet, _BACK, _OUTLET)
        loss = air.outlets**2 * inverse_area2 / share + spent
        scale = np.sqrt(drive / np.maximum(loss, 1e-9))
        air.outlets = np.where(
            ladder.areas > 0, air.outlets * np.clip(scale, 0.3, 3.0), 0.0
        )
        air.through = air.outlets @ ladder.path
        spent = (cost * air.through**2) @ ladder.path.T
    air.port_pa, air.total = port_pa, air.outlets.sum(axis=1)
    lost = (cost * air.through**2) @ ladder.upstream
    air.pressure = np.sqrt(np.maximum(port_pa[:, None] ** 2 - lost, back2))


def steady_port_pressure(
    ladder: Ladder, setting_pa: float, air_kg_per_s: Array
) -> tuple[Array, AirFlow, npt.NDArray[np.bool_]]:
    """Find the plateau: what the row passes is what the compressor delivers.

    Parameters
    ----------
    ladder : Ladder
        The row's air ways, one lane for each case. [-]
    setting_pa : float
        Absolute setting. [Pa]
    air_kg_per_s : array
        Mean delivery of each lane. [kg/s]

    Returns
    -------
    tuple of (array, AirFlow, array)
        Absolute plateau at the port, the flows, and True where the regulator holds
        it (in balance the receiver stands at or above the setting). [Pa]
    """
    machine = ladder.machine
    setting = np.full(len(air_kg_per_s), setting_pa)
    port = 0.5 * (machine.atmosphere_pa + setting)
    air = first_guess(ladder, port)
    settle_flows(ladder, air, port, rounds=6)
    for _ in range(_ROUNDS):
        last = port
        port = _meet(machine, setting, air_kg_per_s, _ease(air, machine), port)
        settle_flows(ladder, air, port, rounds=4)
        if np.abs(port - last).max() < _SETTLED_PA:
            break
    holds = machine.hose_flow(setting, port) <= air_kg_per_s
    return port, air, holds


def _ease(air: AirFlow, machine: Machine) -> Array:
    """Return W²/(p² - p_atm²) of the row, nearly constant for one row."""
    drive = np.maximum(air.port_pa**2 - machine.atmosphere_pa**2, 1.0)
    return np.asarray(np.maximum(air.total, 1e-9) ** 2 / drive)


def _meet(
    machine: Machine, setting: Array, air_kg_per_s: Array, ease: Array, guess: Array
) -> Array:
    """Find the port pressure at which hose, compressor and row pass the same flow."""
    back2 = machine.atmosphere_pa**2
    short = np.minimum(np.sqrt(back2 + air_kg_per_s**2 / ease), setting)
    if (machine.hose_flow(setting, short) >= air_kg_per_s).all():
        return short
    low, high = np.full_like(setting, machine.atmosphere_pa), setting.copy()
    middle = np.clip(guess, low, high)
    for _ in range(22):
        supply = np.minimum(machine.hose_flow(setting, middle), air_kg_per_s)
        more = supply**2 > ease * (middle**2 - back2)
        low, high = np.where(more, middle, low), np.where(more, high, middle)
        middle = 0.5 * (low + high)
    return middle


def step_flows(
    ladder: Ladder,
    air: AirFlow,
    receiver: Receiver,
    *,
    air_kg_per_s: Array,
    setting_pa: Array,
    step_s: float,
    wetness: Array,
) -> None:
    """Advance the receiver one step and settle the flows at the new port pressure.

    Parameters
    ----------
    ladder, air, receiver
        The row's air ways and the state, changed in place. [SI]
    air_kg_per_s, setting_pa : array
        Delivery and absolute setting of each lane. [kg/s], [Pa]
    step_s : float
        Step. [s]
    wetness : array
        Factor on the dry friction, (lane, segment). [-]
    """
    back = ladder.machine.atmosphere_pa
    ease = _ease(air, ladder.machine)
    lanes = np.full(len(air.total), step_s)
    flow = deliver(
        ladder.machine,
        receiver,
        air_kg_per_s,
        setting_pa,
        lanes,
        np.full(len(air.total), back),
        1.0 / ease,
        squared=True,
    )
    port = np.sqrt(back**2 + flow**2 / ease)
    settle_flows(ladder, air, np.maximum(port, back * 1.000001), wetness=wetness)
