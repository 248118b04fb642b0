"""The compressor as the blow-out sees it: regulator, receiver, hose and duty."""

import math
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from maintenance.engine.air.line_flow import mass_flow_isothermal
from maintenance.engine.air.properties import mass_flow_of_free_air
from maintenance.engine.constants import GAS_CONSTANT_AIR
from maintenance.engine.site import Compressor

Array = npt.NDArray[np.float64]
DEFAULT_HOSE_M = (0.0191, 15.0)
"""Bore and length of the hose where none is recorded (the contract's assumption)."""
HOSE_FRICTION, HOSE_LOSSES = 0.02, 5.0
DEFAULT_STEP_PA = 5 * 6894.757293168361
_RATIO = np.linspace(0.0, 1.0, 401) ** 0.5
_SOLVE_STEPS = 9


@dataclass(frozen=True, slots=True)
class Machine:
    """A compressor at a site. Pressures are absolute, in Pa; temperatures in K.

    ``air_kg_per_s`` is the mean delivery, duty included. ``hose_table`` is the flow
    through the hose over ``area p/√(RT)`` against outlet over inlet pressure.
    """

    key: str
    air_kg_per_s: float
    receiver_m3: float
    cut_in_pa: float
    cut_out_pa: float
    start_pa: float
    fitted: bool
    gauge_at: str
    step_pa: float
    lowest_pa: float
    hose_diameter_m: float
    hose_length_m: float
    hose_table: Array = field(repr=False, compare=False)
    discharge_k: float | None
    temperature_k: float
    atmosphere_pa: float
    assumed: tuple[str, ...] = ()

    @property
    def rt(self) -> float:
        """Gas constant times temperature. [J/kg]."""
        return GAS_CONSTANT_AIR * self.temperature_k

    @property
    def hose_volume_m3(self) -> float:
        """Volume of the hose. [m³]."""
        return math.pi / 4 * self.hose_diameter_m**2 * self.hose_length_m

    def hose_flow(self, inlet_pa: Array, outlet_pa: Array) -> Array:
        """Return the flow through the hose, choking included.

        Parameters
        ----------
        inlet_pa, outlet_pa : array
            Absolute pressures, same shape. [Pa]

        Returns
        -------
        array
            Mass flow, zero where the outlet is not lower. [kg/s]
        """
        area = math.pi / 4 * self.hose_diameter_m**2
        ratio = np.minimum(outlet_pa / np.maximum(inlet_pa, 1.0), 1.0)
        share = np.interp(ratio, _RATIO, self.hose_table)
        return area / math.sqrt(self.rt) * inlet_pa * share


def machine_at(
    compressor: Compressor, *, atmosphere_pa: float, temperature_k: float
) -> Machine:
    """Put a compressor on a site.

    Parameters
    ----------
    compressor : Compressor
        As recorded. [-]
    atmosphere_pa : float
        Air pressure at the site, absolute. [Pa]
    temperature_k : float
        Air, ground and inlet temperature. [K]

    Returns
    -------
    Machine
        Numbers for the solvers; what was assumed is listed. [SI]
    """
    assumed = []
    hose = compressor.hose
    if hose is None:
        assumed.append("hose not recorded, taken as 15 m of 19.1 mm")
    diameter, length = (
        (hose.inside_diameter.value, hose.length.value) if hose else DEFAULT_HOSE_M
    )
    friction = (hose.friction_factor if hose else None) or HOSE_FRICTION
    losses = hose.losses if hose and hose.losses is not None else HOSE_LOSSES
    top = compressor.cut_out or compressor.start_pressure or compressor.cut_in
    top_pa = top.value if top else 0.0
    if top is None:
        assumed.append("cut-out pressure not recorded")
    regulator = compressor.regulator
    free = mass_flow_of_free_air(
        compressor.free_air_delivery.value, atmosphere_pa, temperature_k
    )
    duty = 1.0 if compressor.duty is None else compressor.duty
    start = compressor.start_pressure
    cut_in = compressor.cut_in
    return Machine(
        key=compressor.id,
        air_kg_per_s=float(free) * duty,
        receiver_m3=compressor.receiver.value,
        cut_in_pa=(cut_in.value if cut_in else top_pa) + atmosphere_pa,
        cut_out_pa=top_pa + atmosphere_pa,
        start_pa=(start.value if start else top_pa) + atmosphere_pa,
        fitted=regulator is not None and regulator.fitted,
        gauge_at=(regulator.gauge_at if regulator else None) or "none",
        step_pa=regulator.step.value
        if regulator and regulator.step
        else DEFAULT_STEP_PA,
        lowest_pa=regulator.lowest.value if regulator and regulator.lowest else 0.0,
        hose_diameter_m=diameter,
        hose_length_m=length,
        hose_table=_hose_table(friction * length / diameter + losses),
        discharge_k=compressor.discharge_temperature.value
        if compressor.discharge_temperature
        else None,
        temperature_k=temperature_k,
        atmosphere_pa=atmosphere_pa,
        assumed=tuple(assumed),
    )


def _hose_table(resistance: float) -> Array:
    inlet = 1e6
    flow = mass_flow_isothermal(
        np.full_like(_RATIO, inlet),
        np.maximum(_RATIO, 1e-6) * inlet,
        temperature_k=1.0 / GAS_CONSTANT_AIR,
        inside_diameter_m=math.sqrt(4.0 / math.pi),
        resistance=resistance,
    )
    return np.asarray(flow, dtype=np.float64) / inlet


def with_hose(machine: Machine, diameter_m: float) -> Machine:
    """Return the machine with another hose bore, same length.

    Parameters
    ----------
    machine : Machine
        The compressor. [-]
    diameter_m : float
        Bore of the other hose. [m]

    Returns
    -------
    Machine
        With its hose table made anew. [-]
    """
    resistance = HOSE_FRICTION * machine.hose_length_m / diameter_m + HOSE_LOSSES
    return replace(
        machine, hose_diameter_m=diameter_m, hose_table=_hose_table(resistance)
    )


@dataclass(slots=True)
class Receiver:
    """State of the receivers of several lanes side by side: pressure and running."""

    pressure_pa: Array
    running: npt.NDArray[np.bool_]

    @classmethod
    def at_start(cls, machine: Machine, lanes: int) -> "Receiver":
        """Return receivers at the first opening, compressor off.

        Parameters
        ----------
        machine : Machine
            The compressor. [-]
        lanes : int
            Number of lanes. [-]

        Returns
        -------
        Receiver
            All alike. [-]
        """
        pressure = np.full(lanes, machine.start_pa)
        return cls(pressure, pressure <= machine.cut_in_pa)


def deliver(
    machine: Machine,
    receiver: Receiver,
    air_kg_per_s: Array,
    setting_pa: Array,
    step_s: Array,
    base_pa: Array,
    per_flow: Array,
    *,
    squared: bool = False,
) -> Array:
    """Advance the receivers one step and return what the hose passes.

    The pressure behind the hose is ``base + per_flow W`` or, with ``squared``,
    ``√(base² + per_flow W²)``. Backward Euler in the receiver, so that small tanks
    and long steps stay stable; the flow is bracketed and found by regula falsi.

    Parameters
    ----------
    machine : Machine
        The compressor. [-]
    receiver : Receiver
        Changed in place. [Pa]
    air_kg_per_s : array
        Delivery of each lane while running. [kg/s]
    setting_pa : array
        Absolute setting of each lane. [Pa]
    step_s : array
        Step of each lane. [s]
    base_pa, per_flow : array
        Pressure behind the hose, see above. [Pa], [Pa s/kg] or [Pa² s²/kg²]
    squared : bool
        Which form. [-]

    Returns
    -------
    array
        Mass flow. [kg/s]
    """
    tank = machine.receiver_m3
    source = air_kg_per_s if tank == 0 else air_kg_per_s * receiver.running
    rise = step_s * machine.rt / tank if tank > 0 else np.zeros_like(step_s)

    def excess(flow: Array) -> Array:
        inlet = setting_pa
        if tank > 0:
            inlet = np.minimum(receiver.pressure_pa + (source - flow) * rise, inlet)
        behind = (
            np.sqrt(base_pa**2 + per_flow * flow**2)
            if squared
            else base_pa + per_flow * flow
        )
        return machine.hose_flow(np.maximum(inlet, 1.0), behind) - flow

    low = np.zeros_like(base_pa)
    f_low = excess(low)
    high = f_low.copy()
    f_high = excess(high)
    for _ in range(_SOLVE_STEPS):
        gap = f_low - f_high
        share = np.divide(f_low, gap, out=np.full_like(gap, 0.5), where=gap > 0)
        middle = low + (high - low) * np.clip(share, 0.02, 0.98)
        f_mid = excess(middle)
        up = f_mid > 0
        low, high = np.where(up, middle, low), np.where(up, high, middle)
        # Illinois: halve the weight of the end that stays, or it never moves.
        f_low, f_high = (
            np.where(up, f_mid, 0.5 * f_low),
            np.where(up, 0.5 * f_high, f_mid),
        )
    flow = np.maximum(0.5 * (low + high), 0.0)
    if tank == 0:
        return np.minimum(flow, source)
    receiver.pressure_pa = receiver.pressure_pa + (source - flow) * rise
    receiver.running = np.where(
        receiver.pressure_pa <= machine.cut_in_pa,
        True,
        receiver.running & (receiver.pressure_pa < machine.cut_out_pa),
    )
    return flow
