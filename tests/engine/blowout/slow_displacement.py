"""The first front solved slowly and apart from the engine, to check it.

Written from the physics: the state is where each front stands, what each pipe has
kept, the air in the pocket and the air in the receiver; LSODA integrates it. At each
instant the water ahead of every front is a rigid tree whose flows are found by
Newton's method. Nothing of the engine's solvers is used, only formulas of air and
friction, and the row's geometry.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy.integrate import solve_ivp

from maintenance.engine.air.carry_out import front_velocity
from maintenance.engine.air.line_flow import (
    choke_ratio_isothermal,
    mass_flow_isothermal,
)
from maintenance.engine.air.outlets import mass_flow_nozzle
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.friction import darcy_churchill

Array = npt.NDArray[np.float64]
Change = Callable[[float, Array], Array]
Event = Callable[[float, Array], float]

GRAVITY, DENSITY, VISCOSITY, ROUGHNESS = 9.80665, 1000.0, 1.3e-3, 1.5e-6
GAS = 287.05
HOSE_FRICTION, HOSE_LOSSES = 0.02, 5.0
STANDING = 1e-4
"""Water slower than this stands, and so does its front. [m/s]"""
LONGEST_S = 1800.0


@dataclass(frozen=True, slots=True)
class SlowResult:
    """Seconds until the last front arrives, and the share of the row left.

    Where a front is still on its way after `LONGEST_S` the time is infinite.
    """

    time_s: float
    left_fraction: float
    left_m3: Array


@dataclass(slots=True)
class SlowRow:
    """One row, one compressor, one setting, as plain arrays over the pipes."""

    row: Row
    machine: Machine
    setting_pa: float
    emptied: frozenset[str]
    length: Array = field(init=False)
    bore: Array = field(init=False)
    section: Array = field(init=False)
    path: Array = field(init=False)
    outlet_at: npt.NDArray[np.intp] = field(init=False)
    k: Array = field(init=False)
    hold_z: Array = field(init=False)
    rt: float = field(init=False)
    choke: float = field(init=False)
    flow: Array = field(init=False)

    def __post_init__(self) -> None:
        pipes, outlets = self.row.segments, self.row.outlets
        self.length = np.array([p.length_m for p in pipes])
        self.bore = np.array([p.diameter_m for p in pipes])
        self.section = math.pi / 4.0 * self.bore**2
        self.outlet_at = np.array([o.segment for o in outlets], np.intp)
        self.k = np.array([o.k_si for o in outlets])
        self.hold_z = np.array(
            [pipes[o.segment].z_end_m + o.height_m + o.holding_m for o in outlets]
        )
        self.path = np.zeros((len(outlets), len(pipes)))
        for h, outlet in enumerate(outlets):
            j = outlet.segment
            while j >= 0:
                self.path[h, j] = 1.0
                j = pipes[j].before
        self.rt = GAS * self.machine.temperature_k
        self.choke = float(choke_ratio_isothermal(self.hose_resistance))
        self.flow = np.full(len(outlets), 1e-5)

    @property
    def hose_resistance(self) -> float:
        hose = self.machine
        return HOSE_FRICTION * hose.hose_length_m / hose.hose_diameter_m + HOSE_LOSSES

    @property
    def hose_volume(self) -> float:
        return (
            math.pi / 4 * self.machine.hose_diameter_m**2 * self.machine.hose_length_m
        )

    def solve(self) -> SlowResult:
        """Integrate from event to event: a pipe passed, the compressor on or off."""
        pipes, machine = self.row.segments, self.machine
        count = len(pipes)
        front = np.array([1.0 if p.link in self.emptied else 0.0 for p in pipes])
        empty = float((self.section * self.length)[front >= 1.0].sum())
        pocket = (
            self.hose_volume * self.setting_pa + empty * machine.atmosphere_pa
        ) / self.rt
        tank = machine.start_pa * machine.receiver_m3 / self.rt
        running = machine.receiver_m3 == 0 or machine.start_pa <= machine.cut_in_pa
        state = np.concatenate([front, np.zeros(count), [pocket, tank]])
        time = 0.0
        while (state[:count] < 1.0).any():
            active = self._active(state[:count])
            events = self._events(active, running=running)
            solution = solve_ivp(
                self._change(active, running=running),
                (time, LONGEST_S),
                state,
                method="LSODA",
                events=events,
                rtol=1e-7,
                atol=np.concatenate(
                    [np.full(count, 1e-8), np.full(count, 1e-10), [1e-9, 1e-9]]
                ),
                first_step=1e-4,
                max_step=2.0,
            )
            if solution.status == 0:
                return SlowResult(math.inf, math.nan, np.full(count, math.nan))
            if solution.status != 1:
                raise RuntimeError(f"LSODA stopped at {time} s: {solution.message}")
            time, state = float(solution.t[-1]), solution.y[:, -1].copy()
            state[:count][state[:count] > 1.0 - 1e-7] = 1.0
            if solution.t_events is not None and solution.t_events[-1].size:
                running = not running
        left = state[count : 2 * count]
        total = float((self.section * self.length).sum())
        return SlowResult(time, float(left.sum()) / total, left)

    def _change(self, active: list[int], *, running: bool) -> Change:
        return lambda _, y: self._rates(y, active, running=running)

    def _active(self, front: Array) -> list[int]:
        return [
            j
            for j, pipe in enumerate(self.row.segments)
            if front[j] < 1.0 and (pipe.before < 0 or front[pipe.before] >= 1.0)
        ]

    def _events(self, active: list[int], *, running: bool) -> list[Event]:
        def arrival(j: int) -> Event:
            def reached(_: float, y: Array) -> float:
                return float(y[j]) - 1.0

            reached.terminal = True  # type: ignore[attr-defined]
            return reached

        machine = self.machine
        turn_pa = machine.cut_out_pa if running else machine.cut_in_pa

        def compressor_turns(_: float, y: Array) -> float:
            if machine.receiver_m3 == 0:
                return 1.0
            return float(y[-1]) * self.rt / machine.receiver_m3 - turn_pa

        compressor_turns.terminal = True  # type: ignore[attr-defined]
        compressor_turns.direction = 1.0 if running else -1.0  # type: ignore[attr-defined]
        return [*(arrival(j) for j in active), compressor_turns]

    def _rates(self, y: Array, active: list[int], *, running: bool) -> Array:
        count = len(self.length)
        front, kept, pocket, tank = y[:count], y[count : 2 * count], y[-2], y[-1]
        passed = front >= 1.0
        passed[active] = False
        volume = self.hose_volume + float(
            (np.clip(front, 0.0, 1.0) * self.section * self.length - kept).sum()
        )
        pressure = max(pocket * self.rt / volume, self.machine.atmosphere_pa)
        speed = self._water_speed(front, active, passed, pressure)
        rates = np.zeros_like(y)
        for j in active:
            if speed[j] > STANDING:
                advance = float(front_velocity(speed[j], self.bore[j]))
                rates[j] = advance / self.length[j]
                rates[count + j] = (advance - speed[j]) * self.section[j]
        hose = self._hose_flow(pressure, tank)
        vents = passed[self.outlet_at]
        area = float((self.k * math.sqrt(DENSITY / 2.0))[vents].sum())
        vent = float(
            mass_flow_nozzle(
                area, pressure, self.machine.atmosphere_pa, self.machine.temperature_k
            )
        )
        rates[-2] = hose - vent
        if self.machine.receiver_m3 > 0:
            rates[-1] = (self.machine.air_kg_per_s if running else 0.0) - hose
        return rates

    def _hose_flow(self, pressure: float, tank: float) -> float:
        machine, inlet = self.machine, self.setting_pa
        if machine.receiver_m3 > 0:
            inlet = min(inlet, tank * self.rt / machine.receiver_m3)
        flow = float(
            mass_flow_isothermal(
                inlet,
                pressure,
                temperature_k=machine.temperature_k,
                inside_diameter_m=machine.hose_diameter_m,
                resistance=self.hose_resistance,
                choke_ratio=self.choke,
            )
        )
        return flow if machine.receiver_m3 > 0 else min(flow, machine.air_kg_per_s)

    def _water_speed(
        self,
        front: Array,
        active: list[int],
        passed: npt.NDArray[np.bool_],
        pressure: float,
    ) -> Array:
        """Settle the flows of the water trees by Newton's method on the outlets."""
        rest = np.where(passed, 0.0, 1.0 - front)
        entered = passed.copy()
        entered[[j for j in active if front[j] > 0.0]] = True
        drive = np.full(len(self.k), -1.0)
        for j in active:
            pipe = self.row.segments[j]
            z = pipe.z_start_m + front[j] * (pipe.z_end_m - pipe.z_start_m)
            ahead = self.path[:, j] > 0.0
            gauge = pressure - self.machine.atmosphere_pa
            drive[ahead] = gauge + DENSITY * GRAVITY * (z - self.hold_z[ahead])
        wet = np.flatnonzero((drive > 0.0) & ~passed[self.outlet_at])
        if not wet.size:
            return np.zeros_like(front)
        flow = np.maximum(self.flow[wet], 1e-8)
        path = self.path[wet]
        for _ in range(60):
            through = flow @ path
            loss, slope = self._loss(through, rest, entered)
            short = drive[wet] - (flow / self.k[wet]) ** 2 - path @ loss
            stands = (flow <= 1e-11) & (short < 0.0)
            if (np.abs(short[~stands]) < 1e-9 * drive[wet][~stands]).all():
                break
            jacobian = (path * slope) @ path.T + np.diag(2.0 * flow / self.k[wet] ** 2)
            change = np.linalg.solve(jacobian, short)
            flow = np.clip(flow + change, 0.2 * flow, 5.0 * flow)
            flow = np.maximum(flow, 1e-12)
        else:
            raise RuntimeError("the water tree did not settle")
        self.flow[wet] = flow
        return np.asarray(flow @ path / self.section)

    def _loss(
        self, through: Array, rest: Array, entered: npt.NDArray[np.bool_]
    ) -> tuple[Array, Array]:
        """Pressure lost in each pipe, and how it grows with the flow."""
        results = []
        nudge = 1e-6 * through + 1e-15
        for flow in (through, through + nudge):
            speed = flow / self.section
            reynolds = np.maximum(DENSITY * speed * self.bore / VISCOSITY, 1.0)
            factor = darcy_churchill(reynolds, ROUGHNESS / self.bore)
            pipe = factor * self.length * rest / self.bore * speed**2
            valves = np.array([p.valve_area_m2 for p in self.row.segments])
            valve = np.where(entered, 0.0, (flow / valves) ** 2)
            results.append(DENSITY / 2.0 * (pipe + valve))
        return results[0], (results[1] - results[0]) / nudge
