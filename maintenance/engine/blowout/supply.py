"""Air from receivers through hoses: compressors side by side, one for each lane."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.blowout.machine import Machine

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
_SOLVE_STEPS, _FOLLOW_STEPS = 4, 1


@dataclass(frozen=True, slots=True)
class Supply:
    """Compressors of one site as the solvers see them; pressures are absolute.

    Arrays have an entry for each lane, or one for all. ``has_receiver`` is false
    where there is none; then ``receiver_m3`` is 1, so that nothing divides by zero.
    """

    air_kg_per_s: Array
    has_receiver: Mask
    receiver_m3: Array
    cut_in_pa: Array
    cut_out_pa: Array
    start_pa: Array
    hose_area_m2: Array
    hose_volume_m3: Array
    hose_resistance: Array
    hose_choke: Array
    rt: float
    atmosphere_pa: float
    temperature_k: float

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
        ratio = np.minimum(outlet_pa / inlet_pa, 1.0 - 1e-9)
        open_ratio = np.maximum(ratio, self.hose_choke)
        resistance = self.hose_resistance - 2.0 * np.log(open_ratio)
        choked = (1.0 - open_ratio**2) / (1.0 - ratio**2)
        return np.asarray(self.hose_area_m2**2 / self.rt * choked / resistance)

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


def supply_of(machines: Sequence[Machine], *, cases: bool = False) -> Supply:
    """Put compressors side by side, one for each lane.

    Parameters
    ----------
    machines : sequence of Machine
        At one site: atmosphere and temperature are those of the first. [-]
    cases : bool
        With a second axis, for several cases of each. [-]

    Returns
    -------
    Supply
        Arrays for the solvers, (lane) or (lane, 1). [SI]
    """
    first = machines[0]

    def each(values: Sequence[float]) -> Array:
        found = np.array(values, dtype=np.float64)
        return found[:, None] if cases else found

    receiver = each([m.receiver_m3 for m in machines])
    bore = each([m.hose_diameter_m for m in machines])
    return Supply(
        air_kg_per_s=each([m.air_kg_per_s for m in machines]),
        has_receiver=np.greater(receiver, 0.0),
        receiver_m3=np.where(receiver > 0.0, receiver, 1.0),
        cut_in_pa=each([m.cut_in_pa for m in machines]),
        cut_out_pa=each([m.cut_out_pa for m in machines]),
        start_pa=each([m.start_pa for m in machines]),
        hose_area_m2=np.asarray(math.pi / 4 * bore**2),
        hose_volume_m3=each([m.hose_volume_m3 for m in machines]),
        hose_resistance=each([m.hose_resistance for m in machines]),
        hose_choke=each([m.hose_choke for m in machines]),
        rt=first.rt,
        atmosphere_pa=first.atmosphere_pa,
        temperature_k=first.temperature_k,
    )


@dataclass(slots=True)
class Receiver:
    """State of the receivers of several lanes side by side: pressure and running.

    ``behind_pa`` is the pressure behind the hose a step ago, where there was one.
    """

    pressure_pa: Array
    running: Mask
    behind_pa: Array | None = None

    @classmethod
    def at_start(cls, supply: Supply, lanes: int) -> "Receiver":
        """Return receivers at the first opening, compressor off.

        Parameters
        ----------
        supply : Supply
            The compressors. [-]
        lanes : int
            Number of lanes. [-]

        Returns
        -------
        Receiver
            At their start pressures. [Pa]
        """
        pressure = np.broadcast_to(supply.start_pa, lanes).copy()
        return cls(pressure, pressure <= supply.cut_in_pa)


def deliver(
    supply: Supply,
    receiver: Receiver,
    setting_pa: Array,
    step_s: Array | float,
    base_pa: Array | float,
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
    supply : Supply
        The compressors. [-]
    receiver : Receiver
        Changed in place. [Pa]
    setting_pa : array
        Absolute setting of each lane. [Pa]
    step_s : array or float
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
    depends on the flow, so a few rounds settle it. The lesser flow holds. Without a
    receiver the delivery itself is the least.
    """
    tank = supply.has_receiver
    source = supply.air_kg_per_s * (receiver.running | ~tank)
    rise = step_s * (supply.rt / supply.receiver_m3 * tank)
    linear = 0.0 if squared else 2.0 * base_pa * per_flow
    square = per_flow if squared else per_flow**2
    # A compressor that reaches its cut-out unloads: what is over is never delivered.
    roof = np.maximum(supply.cut_out_pa, receiver.pressure_pa)
    filled = np.minimum(receiver.pressure_pa + source * rise, roof)
    filled = np.where(tank, filled, setting_pa)
    inlet = np.minimum(filled, setting_pa)
    behind, steps, flow = receiver.behind_pa, _FOLLOW_STEPS, np.zeros_like(per_flow)
    if behind is None:
        behind, steps = np.full_like(per_flow, base_pa), _SOLVE_STEPS
    for _ in range(steps):
        ease = supply.hose_ease(inlet, np.minimum(behind, inlet))
        flow = _root(ease, setting_pa, 0.0, linear, square, base_pa)
        drained = _root(ease, filled, rise, linear, square, base_pa)
        inlet = np.where(drained < flow, filled - rise * drained, setting_pa)
        inlet = np.maximum(inlet, 1.0)
        flow = np.minimum(flow, drained)
        behind = np.sqrt(base_pa**2 + linear * flow + square * flow**2)
    receiver.behind_pa = behind
    flow = np.where(tank, flow, np.minimum(flow, source))
    pressure = np.where(tank, filled - flow * rise, receiver.pressure_pa)
    receiver.pressure_pa = pressure
    receiver.running = (pressure <= supply.cut_in_pa) | (
        receiver.running & (pressure < supply.cut_out_pa)
    )
    return flow


def _root(
    ease: Array,
    inlet: Array,
    fall: Array | float,
    linear: Array | float,
    square: Array,
    base: Array | float,
) -> Array:
    """Solve W² = G ((inlet - fall W)² - base² - linear W - square W²) for W >= 0."""
    a = 1.0 + ease * (square - fall**2)
    b = ease * (fall * inlet + 0.5 * linear)
    c = ease * np.maximum(inlet**2 - base**2, 0.0)
    # The stable form: it stays right where a passes through zero.
    return np.asarray(c / (b + np.sqrt(np.maximum(b**2 + a * c, 1e-60))))
