"""Passes: air over the film and the pools that the first front left behind.

In each place the film is dragged by the air (Wallis interfacial friction) against
the wall and, on a rise, its weight; at a head it leaves with its share of the air if
the riser carries it or the tee is flooded; at a dead end all that arrives leaves. An
estimate: residual water is good to a factor of two or three, and not validated.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from maintenance.engine.blowout.cells import Cells, settle
from maintenance.engine.blowout.film import WAVE_GROWTH, Wind, drag, feel_wind, pull_of
from maintenance.engine.blowout.ladder import (
    AirFlow,
    Ladder,
    first_guess,
    scale_flows,
    settle_flows,
    step_port,
)
from maintenance.engine.blowout.supply import Array, Receiver, Supply
from maintenance.engine.constants import WATER_DENSITY

WETTEST = 10.0
"""Most that wetness multiplies the dry friction; project choice."""
VAPOUR_SHARE = 0.002
"""Water that expanding air takes up as vapour, per mass of air: about a quarter of
saturation at 10 degC and 1 bar; estimate, from memory."""
KEPT_S = 5.0
"""A sweep counts if it is kept this long together (the contract's rule)."""
LEAST_REST_S = 60.0


@dataclass(slots=True)
class PassState:
    """Several lanes of one row: water held, receiver, best sweep, air used."""

    held: Array
    receiver: Receiver
    kept: Array
    air_used_kg: Array
    left: list[Array] = field(default_factory=list)
    fullest: list[Array] = field(default_factory=list)
    kept_after: list[Array] = field(default_factory=list)
    rests: list[Array] = field(default_factory=list)


def time_steps(on_s: float) -> list[float]:
    """Return the steps of one pass: a second at first, longer as the film thins.

    Parameters
    ----------
    on_s : float
        Length of the pass. [s]

    Returns
    -------
    list of float
        Steps that add up to the pass. [s]
    """
    steps: list[float] = []
    rest = on_s
    while rest > 1e-9:
        step = 1.0 if len(steps) < KEPT_S else min(2.0 * len(steps) - 8.0, 10.0)
        step = min(step, rest)
        steps.append(step)
        rest -= step
    return steps


@dataclass(frozen=True, slots=True)
class PassPlan:
    """How the passes are run; arrays have one entry for each lane.

    ``setting_pa`` is absolute; ``longest_rest_s`` is 0 for a lane without rests.
    """

    supply: Supply
    setting_pa: Array
    on_s: float
    least: int
    most: int
    longest_rest_s: Array


def run_passes(
    cells: Cells,
    ladder: Ladder,
    plan: PassPlan,
    held: Array,
    receiver: Receiver,
    decided: Callable[[PassState], bool],
) -> PassState:
    """Run the passes of one row, all lanes side by side.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    ladder : Ladder
        Its air ways. [-]
    plan : PassPlan
        Compressor, setting and durations of each lane. [SI]
    held : array
        Share of each place's bore that is water at the start, (cell). [-]
    receiver : Receiver
        At the end of the displacement, one entry for each lane. [Pa]
    decided : callable
        Asked after each pass from the plan's least on; true ends the run. [-]

    Returns
    -------
    PassState
        Water after each pass, and the best sweep of each pipe in the measure
        W/√p, kept for `KEPT_S` together. [SI]
    """
    lanes = len(plan.setting_pa)
    state = PassState(
        np.repeat(held[None, :], lanes, axis=0),
        receiver,
        np.zeros((lanes, len(ladder.area))),
        np.zeros(lanes),
    )
    air = _at_opening(ladder, plan, receiver)
    for number in range(plan.most):
        if number > 0:
            _rest(plan, cells, state)
        before = state.air_used_kg.copy()
        _blow(cells, ladder, plan, state, air)
        _dry(cells, state, state.air_used_kg - before)
        settled = settle(cells, state.held)
        state.left.append((state.held * cells.volume).sum(axis=1))
        state.fullest.append(settled)
        state.kept_after.append(state.kept.copy())
        if number + 1 >= plan.least and decided(state):
            break
    return state


def _dry(cells: Cells, state: PassState, air_kg: Array) -> None:
    """Take off what the air of one pass carries away as vapour."""
    volume = (state.held * cells.volume).sum(axis=1)
    vapour = np.minimum(air_kg * VAPOUR_SHARE / WATER_DENSITY, 0.5 * volume)
    keeps = 1.0 - vapour / np.maximum(volume, 1e-12)
    state.held = state.held * keeps[:, None]


def _rest(plan: PassPlan, cells: Cells, state: PassState) -> None:
    """Refill the receiver and let the water run down, where the lane rests."""
    supply, receiver = plan.supply, state.receiver
    filling = supply.air_kg_per_s * supply.rt / supply.receiver_m3
    need = np.maximum(supply.cut_out_pa - receiver.pressure_pa, 0.0)
    wanted = supply.has_receiver & (receiver.pressure_pa < plan.setting_pa)
    with np.errstate(divide="ignore"):
        rest = np.minimum(np.maximum(need / filling, LEAST_REST_S), plan.longest_rest_s)
    rest = np.where(wanted, rest, 0.0)
    pressure = np.minimum(receiver.pressure_pa + rest * filling, supply.cut_out_pa)
    receiver.pressure_pa = np.where(rest > 0, pressure, receiver.pressure_pa)
    receiver.running = receiver.pressure_pa < supply.cut_out_pa
    state.rests.append(rest)
    state.held = np.where((rest > 0)[:, None], settle(cells, state.held), state.held)


def _at_opening(ladder: Ladder, plan: PassPlan, receiver: Receiver) -> AirFlow:
    """Return the air through dry pipes, half-way up to what stands ready."""
    ready = np.minimum(receiver.pressure_pa, plan.setting_pa)
    ready = np.where(plan.supply.has_receiver, ready, plan.setting_pa)
    port = 0.5 * (ready + ladder.atmosphere_pa)
    air = first_guess(ladder, port)
    settle_flows(ladder, air, port, rounds=6)
    return air


def _blow(
    cells: Cells, ladder: Ladder, plan: PassPlan, state: PassState, air: AirFlow
) -> None:
    supply, receiver, setting = plan.supply, state.receiver, plan.setting_pa
    recent: list[tuple[float, Array]] = []
    clock, settled_at = 0.0, -1.0
    wind: Wind | None = None
    for step in time_steps(plan.on_s):
        port = step_port(ladder, air, supply, receiver, setting, step)
        scale_flows(ladder, air, port)
        # The shares of the air follow the film slowly: they are settled anew at 0, 1,
        # 3, 7 ... seconds, and only scaled in between.
        renew = wind is None or clock >= 2.0 * settled_at + 1.0
        if renew:
            wetness = 1.0 + WAVE_GROWTH * (state.held @ cells.share_of_segment)
            settle_flows(ladder, air, port, wetness=np.minimum(wetness, WETTEST))
            settled_at = clock
        state.air_used_kg += air.total * step
        inlet = _inlet(ladder, air.pressure, air.port_pa)
        middle = np.sqrt(0.5 * (air.pressure**2 + inlet**2))
        recent.append((step, air.through / np.sqrt(middle)))
        _keep(recent, state)
        density = middle / ladder.rt
        if wind is None or renew:
            wind = feel_wind(cells, ladder, air, density)
        else:
            wind = replace(wind, pull=pull_of(cells, ladder, air.through, density))
        state.held = drag(cells, wind, state.held, step)
        clock += step


def _inlet(ladder: Ladder, pressure: Array, port_pa: Array) -> Array:
    """Return the pressure at the start of each segment."""
    ends = np.concatenate([pressure, port_pa[:, None]], axis=1)
    return np.asarray(ends[:, ladder.before])


def _keep(recent: list[tuple[float, Array]], state: PassState) -> None:
    total, window = 0.0, []
    for step, measure in reversed(recent):
        window.append(measure)
        total += step
        if total >= KEPT_S - 1e-9:
            state.kept = np.maximum(state.kept, np.minimum.reduce(window))
            break
    if total >= 2 * KEPT_S:
        del recent[0]
