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
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.supply import Array, Receiver, Supply, deliver
from maintenance.engine.constants import PLASTIC_ROUGHNESS_M
from maintenance.engine.friction import darcy_churchill

_BACK = np.linspace(0.0, 1.0, 201)


def _outlet_table() -> Array:
    """Return W²RT/(C_dA)²/(p² - p_atm²) against p_atm/p: 1 near rest, 0.47 choked."""
    inner = np.clip(_BACK, 1e-9, 1.0 - 1e-6)
    flow = mass_flow_nozzle(1.0, np.ones_like(inner), inner, 1.0 / 287.05)
    return np.asarray(flow**2 / (1.0 - inner**2), dtype=np.float64)


_OUTLET = _outlet_table()


@dataclass(frozen=True, slots=True)
class Ladder:
    """The air ways of a row; of several, with an axis for the row before all others.

    ``path`` is (outlet, segment), ``areas`` (lane, outlet).

    ``upstream`` (segment, segment) is 1 where the first lies on the way to the
    second, itself included; ``before`` indexes the segment upstream, past the last
    for the port. A segment loses W² (f ``friction_cost`` + ``valve_cost``) of squared
    pressure.
    """

    path: Array
    upstream: Array
    before: npt.NDArray[np.intp]
    areas: Array
    area: Array
    roughness: Array
    reynolds_per_flow: Array
    friction_cost: Array
    valve_cost: Array
    rt: float
    atmosphere_pa: float


def build_ladder(row: Row, machine: Machine) -> Ladder:
    """Build the air ways of a row.

    Parameters
    ----------
    row : Row
        The row. [-]
    machine : Machine
        For the air's state at the site. [-]

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
    length = np.array([s.length_m for s in row.segments])
    return Ladder(
        path=path,
        upstream=upstream,
        before=before,
        areas=np.array([[outlet.area_m2 for outlet in row.outlets]]),
        area=area,
        roughness=PLASTIC_ROUGHNESS_M / diameter,
        reynolds_per_flow=diameter / area / viscosity(machine.temperature_k),
        friction_cost=length / diameter * machine.rt / area**2,
        valve_cost=machine.rt / valves**2,
        rt=machine.rt,
        atmosphere_pa=machine.atmosphere_pa,
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
    drive = np.sqrt(np.maximum(port_pa**2 - ladder.atmosphere_pa**2, 1.0))
    flow = 0.6 * ladder.areas * drive[..., None] / np.sqrt(ladder.rt)
    through = flow @ ladder.path
    pressure = np.broadcast_to(port_pa[..., None], through.shape)
    return AirFlow(flow, through, port_pa, pressure, flow.sum(axis=-1))


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
    back_pa = ladder.atmosphere_pa
    back2 = back_pa**2
    reynolds = np.maximum(air.through * ladder.reynolds_per_flow, 10.0)
    factor = darcy_churchill(reynolds, ladder.roughness)
    cost = factor * wetness * ladder.friction_cost + ladder.valve_cost
    drive = np.maximum(port_pa**2 - back2, 1.0)[..., None]
    outlet_cost = ladder.rt / np.maximum(ladder.areas, 1e-12) ** 2
    to_outlet = ladder.path.swapaxes(-1, -2)
    spent = (cost * air.through**2) @ to_outlet
    for _ in range(rounds):
        at_outlet = np.sqrt(np.maximum(port_pa[..., None] ** 2 - spent, back2 * 1.0001))
        share = np.interp(back_pa / at_outlet, _BACK, _OUTLET)
        loss = air.outlets**2 * outlet_cost / share + spent
        scale = np.sqrt(drive / np.maximum(loss, 1e-9))
        air.outlets = air.outlets * np.minimum(np.maximum(scale, 0.3), 3.0)
        air.through = air.outlets @ ladder.path
        spent = (cost * air.through**2) @ to_outlet
    air.port_pa, air.total = port_pa, air.outlets.sum(axis=-1)
    lost = (cost * air.through**2) @ ladder.upstream
    air.pressure = np.sqrt(np.maximum(port_pa[..., None] ** 2 - lost, back2))


def ease_of(ladder: Ladder, air: AirFlow) -> Array:
    """Return W²/(p² - p_atm²) of the row, nearly constant for one row.

    Parameters
    ----------
    ladder : Ladder
        The row's air ways. [-]
    air : AirFlow
        Settled flows. [SI]

    Returns
    -------
    array
        One entry for each lane. [kg²/s²/Pa²]
    """
    drive = np.maximum(air.port_pa**2 - ladder.atmosphere_pa**2, 1.0)
    return np.asarray(np.maximum(air.total, 1e-9) ** 2 / drive)


def scale_flows(ladder: Ladder, air: AirFlow, port_pa: Array) -> None:
    """Scale all flows to a port pressure, their shares kept.

    Parameters
    ----------
    ladder : Ladder
        The row's air ways. [-]
    air : AirFlow
        Settled at another port pressure; changed in place. [SI]
    port_pa : array
        Absolute pressure at the port, (lane). [Pa]
    """
    back2 = ladder.atmosphere_pa**2
    lost = air.port_pa[..., None] ** 2 - air.pressure**2
    ratio2 = (port_pa**2 - back2) / np.maximum(air.port_pa**2 - back2, 1.0)
    ratio = np.sqrt(ratio2)[:, None]
    air.outlets = air.outlets * ratio
    air.through = air.through * ratio
    air.total = air.total * ratio[:, 0]
    air.pressure = np.sqrt(
        np.maximum(port_pa[..., None] ** 2 - lost * ratio2[:, None], back2)
    )
    air.port_pa = port_pa


def step_port(
    ladder: Ladder,
    air: AirFlow,
    supply: Supply,
    receiver: Receiver,
    setting_pa: Array,
    step_s: float,
) -> Array:
    """Advance the receiver one step and return the pressure that follows at the port.

    Parameters
    ----------
    ladder, air, supply, receiver
        The row's air ways and flows, the compressor, and its receiver, which is
        changed. [SI]
    setting_pa : array
        Absolute setting of each lane. [Pa]
    step_s : float
        Step. [s]

    Returns
    -------
    array
        Absolute pressure, a little over the atmosphere at least. [Pa]
    """
    back, per_flow = ladder.atmosphere_pa, 1.0 / ease_of(ladder, air)
    flow = deliver(supply, receiver, setting_pa, step_s, back, per_flow, squared=True)
    return np.maximum(np.sqrt(back**2 + per_flow * flow**2), back * 1.000001)
