"""Displacement: the first front drives the water out of the full pipes of a row.

The water ahead of each front is a rigid column in a tree of pipes whose heads pass
water by q = k √p; heads behind a front vent air by the nozzle law. The air pocket
between the compressor and the fronts is one isothermal volume at one pressure, fed
through the hose. A front runs faster than the water (long-bubble law), and so leaves
a share of it behind. Verified against an independent solver in the tests; not
validated against any measurement.
"""

from dataclasses import dataclass

import numpy as np

from maintenance.engine.air.carry_out import front_velocity
from maintenance.engine.air.outlets import mass_flow_nozzle
from maintenance.engine.blowout.lanes import Array, Lanes, Mask
from maintenance.engine.blowout.supply import Receiver, Supply, deliver
from maintenance.engine.constants import (
    PLASTIC_ROUGHNESS_M,
    STANDARD_GRAVITY,
    WATER_DENSITY,
    WATER_VISCOSITY,
)
from maintenance.engine.friction import darcy_churchill

FIRST_STEP_S, LONGEST_STEP_S, STEP_GROWTH = 0.05, 2.0, 1.5
PARTS_OF_A_PIPE = 3
"""A step moves no front by more than this part of its pipe."""
LONGEST_S = 1800.0
SLOWEST_M_PER_S = 1e-4
_WEIGHT = WATER_DENSITY * STANDARD_GRAVITY


@dataclass(slots=True)
class Displacement:
    """What the first front does in each lane. ``time_s`` is NaN where it stalls.

    ``left_m3`` (lane, segment) is the water behind the fronts, or the whole content
    of a pipe that no front reached.
    """

    time_s: Array
    left_m3: Array
    peak_pressure_pa: Array
    peak_velocity: Array
    receiver: Receiver
    steps: int


def displace(lanes: Lanes, supply: Supply, setting_pa: Array) -> Displacement:
    """Drive the water out of all lanes side by side.

    Parameters
    ----------
    lanes : Lanes
        Rows; pipes marked ``full`` hold water, the others hold air. [SI]
    supply : Supply
        The compressors. [SI]
    setting_pa : array
        Absolute setting of each lane. [Pa]

    Returns
    -------
    Displacement
        Times, water left and peaks. [SI]
    """
    return _Run(lanes, supply, setting_pa).finish()


class _Run:
    """The state of one run; every array has one entry for each lane."""

    def __init__(self, lanes: Lanes, supply: Supply, setting_pa: Array) -> None:
        self.lanes, self.supply, self.setting = lanes, supply, setting_pa
        count, wide = lanes.full.shape
        self.front = np.where(lanes.full, 0.0, 1.0)
        self.left = np.zeros((count, wide))
        self.time = np.zeros(count)
        self.step = np.full(count, FIRST_STEP_S)
        air = supply.atmosphere_pa
        self.volume = supply.hose_volume_m3 + lanes.empty_volume
        self.pressure = (
            supply.hose_volume_m3 * setting_pa + lanes.empty_volume * air
        ) / self.volume
        self.receiver = Receiver.at_start(supply, count)
        self.flow = lanes.k * np.sqrt(np.maximum(setting_pa - air, 1.0))[:, None]
        self.peak_pressure = self.pressure - air
        self.peak_velocity = np.zeros(count)
        self.going: Mask = np.asarray(lanes.full.any(axis=1))
        self.stalled = np.zeros(count, bool)
        self.vent_areas = lanes.k * np.sqrt(WATER_DENSITY / 2.0)

    def finish(self) -> Displacement:
        steps = 0
        while self.going.any():
            self._advance()
            steps += 1
        volume = self.lanes.area * self.lanes.length
        untouched = np.where(self.lanes.full, (1.0 - self.front) * volume, 0.0)
        return Displacement(
            np.where(self.stalled, np.nan, self.time),
            self.left + untouched,
            self.peak_pressure,
            self.peak_velocity,
            self.receiver,
            steps,
        )

    def _advance(self) -> None:
        lanes = self.lanes
        port = np.ones((len(self.front), 1), bool)
        done: Mask = np.greater_equal(self.front, 1.0)
        passed = np.concatenate([done, port], axis=1)
        open_way = np.take_along_axis(passed, lanes.before, axis=1)
        active: Mask = lanes.full & (self.front < 1.0) & open_way
        velocity = self._water_velocity(active)
        flows: Mask = np.greater(velocity, SLOWEST_M_PER_S)
        moving: Mask = active & flows & self.going[:, None]
        speed = np.where(moving, front_velocity(velocity, lanes.diameter), 0.0)
        step = self._choose_step(moving, speed)
        share = np.where(moving, speed * step[:, None] / lanes.length, 0.0)
        share = np.minimum(share, 1.0 - self.front)
        share = np.where(1.0 - self.front - share < 1e-9, 1.0 - self.front, share)
        swept = share * lanes.length * lanes.area
        with np.errstate(invalid="ignore", divide="ignore"):
            stays = np.where(moving, 1.0 - velocity / speed, 0.0)
        self.left += swept * stays
        self.front += share
        self._breathe((swept * (1.0 - stays)).sum(axis=1), step)
        self.time = np.where(self.going, self.time + step, self.time)
        fast = np.where(moving, velocity, 0.0).max(axis=1)
        self.peak_velocity = np.maximum(self.peak_velocity, fast)
        gauge = np.where(self.going, self.pressure - self.supply.atmosphere_pa, 0.0)
        self.peak_pressure = np.maximum(self.peak_pressure, gauge)
        unfinished = (lanes.full & (self.front < 1.0)).any(axis=1)
        stuck = unfinished & (self.time > LONGEST_S)
        still = ~moving.any(axis=1) & (self.step >= LONGEST_STEP_S) & (self.time > 60.0)
        self.stalled |= self.going & (stuck | (unfinished & still))
        self.going = self.going & unfinished & ~self.stalled

    def _choose_step(self, moving: Mask, speed: Array) -> Array:
        lanes = self.lanes
        ahead = np.minimum(
            (1.0 - self.front) * lanes.length, lanes.length / PARTS_OF_A_PIPE
        )
        with np.errstate(divide="ignore", invalid="ignore"):
            reach = np.where(moving, ahead / speed, np.inf).min(axis=1)
        step = np.minimum(reach, self.step)
        self.step = np.minimum(self.step * STEP_GROWTH, LONGEST_STEP_S)
        return np.where(self.going, step, 0.0)

    def _water_velocity(self, active: Mask) -> Array:
        """Settle the water flows in the trees ahead; return the speed in each pipe."""
        lanes = self.lanes
        at_front = np.where(
            active, lanes.z_start + self.front * (lanes.z_end - lanes.z_start), 0.0
        )
        head_z = np.einsum("lhs,ls->lh", lanes.path, at_front)
        ahead = np.take_along_axis(self.front, lanes.at, axis=1) < 1.0
        gauge = (self.pressure - self.supply.atmosphere_pa)[:, None]
        drive = gauge + _WEIGHT * (head_z - lanes.hold_z)
        wet = lanes.outlet & ahead & (drive > 0.0)
        flow = np.where(wet, np.maximum(self.flow, 1e-9), 0.0)
        through = _gather(flow, lanes)
        resistance = self._resistance(through)
        inverse_k2 = np.where(wet, 1.0 / np.maximum(lanes.k, 1e-30) ** 2, 0.0)
        for _ in range(30):
            loss = inverse_k2 * flow**2 + np.einsum(
                "lhs,ls->lh", lanes.path, resistance * through**2
            )
            # The losses are homogeneous of degree two in the flows, so this scaling
            # is exact for one outlet and a strong contraction for several.
            scale = np.sqrt(
                drive / np.where(wet, loss, 1.0), where=wet, out=np.ones_like(loss)
            )
            flow = flow * np.clip(scale, 0.2, 5.0)
            through = _gather(flow, lanes)
            if np.abs(scale - 1.0).max() < 1e-4:
                break
        self.flow = np.where(wet, flow, self.flow)
        return through / lanes.area

    def _resistance(self, through: Array) -> Array:
        lanes = self.lanes
        reynolds = (
            WATER_DENSITY * through / lanes.area * lanes.diameter / WATER_VISCOSITY
        )
        factor = darcy_churchill(
            np.maximum(reynolds, 1.0), PLASTIC_ROUGHNESS_M / lanes.diameter
        )
        rest = np.where(lanes.full, 1.0 - self.front, 0.0)
        pipe = factor * lanes.length * rest / lanes.diameter / lanes.area**2
        valve = np.where(self.front == 0.0, 1.0 / lanes.valve**2, 0.0)
        return WATER_DENSITY / 2.0 * (pipe + valve)

    def _breathe(self, water_out: Array, step: Array) -> None:
        lanes, supply = self.lanes, self.supply
        behind = np.take_along_axis(self.front, lanes.at, axis=1) >= 1.0
        area = np.where(lanes.outlet & behind, self.vent_areas, 0.0).sum(axis=1)
        vent = mass_flow_nozzle(
            area, self.pressure, supply.atmosphere_pa, supply.temperature_k
        )
        mass = self.pressure * self.volume / supply.rt
        self.volume = self.volume + water_out
        holds = self.volume / supply.rt + step * vent / self.pressure
        flow = deliver(
            supply,
            self.receiver,
            self.setting,
            step,
            mass / holds,
            step / holds,
        )
        # The hose cannot lift the pocket over what drives it: clip the solver's last
        # hair, so that a peak at the gauge is never above the setting.
        roof = np.maximum(self.setting, mass / holds)
        raised = np.minimum((mass + step * flow) / holds, roof)
        self.pressure = np.maximum(raised, supply.atmosphere_pa)


def _gather(flow: Array, lanes: Lanes) -> Array:
    """Sum the outlet flows over each segment's subtree."""
    return np.asarray(np.einsum("lh,lhs->ls", flow, lanes.path))
