"""The compressor as the blow-out sees it: regulator, receiver, hose and duty."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.air.line_flow import choke_ratio_isothermal
from maintenance.engine.air.properties import mass_flow_of_free_air
from maintenance.engine.constants import GAS_CONSTANT_AIR
from maintenance.engine.site import Compressor

Array = npt.NDArray[np.float64]
DEFAULT_HOSE_M = (0.0191, 15.0)
"""Bore and length of the hose where none is recorded (the contract's assumption)."""
HOSE_FRICTION, HOSE_LOSSES = 0.02, 5.0
DEFAULT_STEP_PA = 5 * 6894.757293168361
_SOLVE_STEPS, _FOLLOW_STEPS = 4, 1


@dataclass(frozen=True, slots=True)
class Machine:
    """A compressor at a site. Pressures are absolute, in Pa; temperatures in K.

    ``air_kg_per_s`` is the mean delivery, duty included; ``hose_resistance`` is
    fL/D + ΣK, ``hose_choke`` the ratio of pressures at which the hose chokes.
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
    hose_resistance: float
    hose_choke: float
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
        low = np.minimum(outlet_pa, inlet_pa)
        drive = np.maximum(inlet_pa**2 - low**2, 0.0)
        return np.asarray(np.sqrt(self.hose_ease(inlet_pa, low) * drive))

    def hose_ease(self, inlet_pa: Array, outlet_pa: Array) -> Array:
        """Return W²/(p₁² - p₂²) of the hose, nearly constant until it chokes.

        Parameters
        ----------
        inlet_pa, outlet_pa : array
            Absolute pressures, the outlet not above the inlet. [Pa]

        Returns
        -------
        array
            From the isothermal equation with its acceleration term. [kg²/s²/Pa²]
        """
        area = math.pi / 4 * self.hose_diameter_m**2
        ratio = np.minimum(outlet_pa / inlet_pa, 1.0 - 1e-9)
        open_ratio = np.maximum(ratio, self.hose_choke)
        resistance = self.hose_resistance - 2.0 * np.log(open_ratio)
        choked = (1.0 - open_ratio**2) / (1.0 - ratio**2)
        return np.asarray(area**2 / self.rt * choked / resistance)


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
    resistance = friction * length / diameter + losses
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
        hose_resistance=resistance,
        hose_choke=float(choke_ratio_isothermal(resistance)),
        discharge_k=compressor.discharge_temperature.value
        if compressor.discharge_temperature
        else None,
        temperature_k=temperature_k,
        atmosphere_pa=atmosphere_pa,
        assumed=tuple(assumed),
    )


@dataclass(slots=True)
class Receiver:
    """State of the receivers of several lanes side by side: pressure and running.

    ``behind_pa`` is the pressure behind the hose a step ago, where there was one.
    """

    pressure_pa: Array
    running: npt.NDArray[np.bool_]
    behind_pa: Array | None = None

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
    and long steps stay stable.

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

    Notes
    -----
    With W² = G (p₁² - p₂²) through the hose, both inlets (the regulator at its
    setting, the receiver as it falls) give a quadratic in W for a given G; G hardly
    depends on the flow, so a few rounds settle it. The lesser flow holds.
    """
    tank = machine.receiver_m3
    source = air_kg_per_s if tank == 0 else air_kg_per_s * receiver.running
    rise = step_s * machine.rt / tank if tank > 0 else 0.0
    linear = 0.0 if squared else 2.0 * base_pa * per_flow
    square = per_flow if squared else per_flow**2
    # A compressor that reaches its cut-out unloads: what is over is never delivered.
    roof = np.maximum(machine.cut_out_pa, receiver.pressure_pa)
    filled = np.minimum(receiver.pressure_pa + source * rise, roof)
    inlet = np.minimum(filled, setting_pa) if tank > 0 else setting_pa
    flow = np.zeros_like(base_pa)
    known = receiver.behind_pa is not None
    behind = base_pa if receiver.behind_pa is None else receiver.behind_pa
    for _ in range(_FOLLOW_STEPS if known else _SOLVE_STEPS):
        ease = machine.hose_ease(inlet, np.minimum(behind, inlet))
        flow = _root(ease, setting_pa, 0.0, linear, square, base_pa)
        inlet = setting_pa
        if tank > 0:
            drained = _root(ease, filled, rise, linear, square, base_pa)
            inlet = np.where(drained < flow, filled - rise * drained, setting_pa)
            inlet = np.maximum(inlet, 1.0)
            flow = np.minimum(flow, drained)
        behind = np.sqrt(base_pa**2 + linear * flow + square * flow**2)
    receiver.behind_pa = behind
    if tank == 0:
        return np.minimum(flow, source)
    receiver.pressure_pa = filled - flow * rise
    receiver.running = np.where(
        receiver.pressure_pa <= machine.cut_in_pa,
        True,
        receiver.running & (receiver.pressure_pa < machine.cut_out_pa),
    )
    return flow


def _root(
    ease: Array,
    inlet: Array,
    fall: Array | float,
    linear: Array | float,
    square: Array,
    base: Array,
) -> Array:
    """Solve W² = G ((inlet - fall W)² - base² - linear W - square W²) for W >= 0."""
    a = 1.0 + ease * (square - fall**2)
    b = ease * (fall * inlet + 0.5 * linear)
    c = ease * np.maximum(inlet**2 - base**2, 0.0)
    # The stable form: it stays right where a passes through zero.
    return np.asarray(c / (b + np.sqrt(np.maximum(b**2 + a * c, 1e-60))))
