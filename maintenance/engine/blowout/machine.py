"""A compressor put on a site: regulator, receiver, hose and duty."""

import math
from dataclasses import dataclass

from maintenance.engine.air.line_flow import choke_ratio_isothermal
from maintenance.engine.air.properties import mass_flow_of_free_air
from maintenance.engine.constants import GAS_CONSTANT_AIR
from maintenance.engine.site import Compressor

DEFAULT_HOSE_M = (0.0191, 15.0)
"""Bore and length of the hose where none is recorded (the contract's assumption)."""
HOSE_FRICTION, HOSE_LOSSES = 0.02, 5.0
DEFAULT_STEP_PA = 5 * 6894.757293168361


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
