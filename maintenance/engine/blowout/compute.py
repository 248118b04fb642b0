"""Blow a prepared site, row after row, and keep the book of the water."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from maintenance.engine.air.energy import stored_energy_pcc2
from maintenance.engine.blowout import judge
from maintenance.engine.blowout.aftermath import (
    first_air,
    front_need,
    least_air,
    standing_water,
)
from maintenance.engine.blowout.cells import Cells, cut
from maintenance.engine.blowout.displacement import Displacement, displace
from maintenance.engine.blowout.gauge import read_gauge
from maintenance.engine.blowout.heat_clock import heat_clock
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.machine import Receiver
from maintenance.engine.blowout.passes import PassPlan, PassState, run_passes
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import (
    Displaced,
    Gauge,
    Pass,
    RowSheet,
)
from maintenance.engine.blowout.sweep import sweeps
from maintenance.engine.blowout.verdict_words import row_cautions, verdict_text

UNCERTAINTY = 3.0
"""Residual water is good to a factor of two or three: the wider is shown."""


@dataclass(frozen=True, slots=True)
class Blown:
    """Rows in running order, and the water book: link to volume left. [m³]."""

    rows: tuple[RowSheet, ...]
    water: Mapping[str, float]
    site_volume_m3: float


def blow(prepared: Prepared, *, passes: int | None = None) -> Blown:
    """Compute every row in sequence.

    Parameters
    ----------
    prepared : Prepared
        Decisions. [-]
    passes : int, optional
        Passes asked for; default the fewest that reach the verdict, at most 3. [-]

    Returns
    -------
    Blown
        Rows and what is left where; water out is the difference to the site's
        volume. [m³]
    """
    water = {
        key: bore.volume_m3
        for key, bore in prepared.graph.bores.items()
        if bore.volume_m3 is not None
    }
    total = sum(water.values())
    open_keys = [key for key in prepared.order if key in prepared.settings]
    fronts = _fronts(prepared, open_keys)
    results = []
    swept_before: set[str] = set()
    for number, key in enumerate(prepared.order, start=1):
        if key in prepared.settings:
            lane = open_keys.index(key)
            results.append(
                _blow_row(
                    prepared, key, number, fronts, lane, water, passes, swept_before
                )
            )
        else:
            results.append(_blocked_row(prepared, key, number, water))
    return Blown(tuple(results), water, total)


def _fronts(prepared: Prepared, keys: Sequence[str]) -> Displacement | None:
    if not keys:
        return None
    lanes = pack([prepared.rows[k] for k in keys], prepared.emptied_before(keys))
    setting = np.array([prepared.settings[k] for k in keys])
    return displace(lanes, prepared.machine, setting + prepared.machine.atmosphere_pa)


def _water_at_start(row: Row, water: Mapping[str, float]) -> float | None:
    if any(math.isnan(s.diameter_m) for s in row.segments) or not row.segments:
        return None
    return sum(water[s.link] for s in row.segments)


def _blocked_row(
    prepared: Prepared, key: str, number: int, water: Mapping[str, float]
) -> RowSheet:
    row = prepared.rows[key]
    return RowSheet(
        row=row,
        order=number,
        order_reason=prepared.reasons[key],
        water_at_start_m3=_water_at_start(row, water),
        limit=prepared.limits[key],
        set_pressure_pa=None,
        displacement=None,
        passes=(),
        gauge=None,
        sweep=(),
        standing_water=(),
        free_air_m3=None,
        verdict="cannot",
        verdict_text=prepared.blocked[key],
        least_free_air_m3_per_s=None,
        stored_energy_j=None,
        heat=None,
        longest_pass_s=0.0,
        cautions=(),
    )


def _blow_row(
    prepared: Prepared,
    key: str,
    number: int,
    fronts: Displacement | None,
    lane: int,
    water: dict[str, float],
    passes: int | None,
    swept_before: set[str],
) -> RowSheet:
    assert fronts is not None  # noqa: S101  (an open row always has a front)
    row, machine = prepared.rows[key], prepared.machine
    setting = prepared.settings[key]
    at_start = _water_at_start(row, water)
    full = {s.link for s in row.segments if water[s.link] >= s.volume_m3 * (1 - 1e-9)}
    left = fronts.left_m3[lane]
    for j, part in enumerate(row.segments):
        if part.link in full:
            water[part.link] = float(left[j])
    time = float(fronts.time_s[lane])
    displaced = Displaced(
        None if math.isnan(time) else time,
        sum(water[s.link] for s in row.segments) / row.volume_m3,
        float(fronts.peak_pressure_pa[lane]),
        float(fronts.peak_velocity[lane]),
    )
    gauge = read_gauge(row, machine, setting)
    clock = heat_clock(prepared.graph, row, machine, gauge.flow_kg_per_s)
    cells = cut(row)
    count = max(passes or 0, judge.MOST_PASSES)
    state = _run(prepared, row, cells, fronts, lane, water, count)
    needs = judge.what_counts(prepared.graph, row, cells, machine.rt, swept_before)
    clear = judge.clear_after(needs, state, 1)
    rested = judge.clear_after(needs, state, 2)
    verdict = _verdict(displaced, gauge, clear, rested)
    reach = clear if clear is not None else rested
    shown = passes or reach or judge.MOST_PASSES
    for j, part in enumerate(row.segments):
        water[part.link] = float(
            (state.fullest[shown - 1][0] * cells.volume)[cells.segment == j].sum()
        )
    swept = sweeps(row, state.kept_after[shown - 1][0], machine.rt)
    swept_before |= {s.link for s in swept if s.swept}
    pools = standing_water(prepared, row, cells, needs, state.fullest[shown - 1][0])
    free = float(state.air_used_kg[0]) + first_air(prepared, row, displaced, setting)
    return RowSheet(
        row=row,
        order=number,
        order_reason=prepared.reasons[key],
        water_at_start_m3=at_start,
        limit=prepared.limits[key],
        set_pressure_pa=setting,
        displacement=displaced,
        passes=_passes(prepared, row, state, shown),
        gauge=gauge,
        sweep=swept,
        standing_water=pools,
        free_air_m3=free * machine.rt / machine.atmosphere_pa,
        verdict=verdict,
        verdict_text=verdict_text(
            row, verdict, swept, needs.rises, pools, shown, gauge
        ),
        least_free_air_m3_per_s=least_air(
            prepared, needs, state, front_need(prepared, row, displaced, setting)
        ),
        stored_energy_j=float(
            stored_energy_pcc2(row.volume_m3, setting + machine.atmosphere_pa)
        ),
        heat=clock,
        longest_pass_s=prepared.on_s[key],
        cautions=row_cautions(prepared, row, displaced, gauge, clock),
    )


def _run(
    prepared: Prepared,
    row: Row,
    cells: Cells,
    fronts: Displacement,
    lane: int,
    water: Mapping[str, float],
    count: int,
) -> PassState:
    """Run the row's lanes: by the rule, without rests, with short rests, then others.

    The further lanes are other free-air deliveries without rests; they start from
    the same water and receiver.
    """
    machine = prepared.machine
    held = np.array([water[s.link] / s.volume_m3 for s in row.segments])[cells.segment]
    others = judge.candidates(judge.LEAST_AIR, judge.MOST_AIR, judge.CANDIDATES)
    air = np.concatenate([np.full(3, machine.air_kg_per_s), others])
    rests = np.zeros(len(air))
    rests[0], rests[2] = np.inf, judge.LONGEST_REST_S
    receiver = Receiver(
        np.full(len(air), fronts.receiver.pressure_pa[lane]),
        np.full(len(air), fronts.receiver.running[lane]),
    )
    setting = prepared.settings[row.key] + machine.atmosphere_pa
    plan = PassPlan(setting, prepared.on_s[row.key], count, air, rests)
    return run_passes(row, machine, plan, held, receiver)


def _verdict(
    displaced: Displaced, gauge: Gauge, clear: int | None, rested: int | None
) -> str:
    if displaced.time_s is None:
        return "cannot"
    if clear is not None:
        return "too_much" if gauge.regulator_holds else "enough"
    return "enough_with_rests" if rested is not None else "not_enough"


def _passes(
    prepared: Prepared, row: Row, state: PassState, shown: int
) -> tuple[Pass, ...]:
    result = []
    for i in range(shown):
        left = float(state.left[i][0]) / row.volume_m3
        last = i == shown - 1
        rest = 0.0 if last or i >= len(state.rests) else float(state.rests[i][0])
        result.append(
            Pass(
                prepared.on_s[row.key],
                rest,
                left,
                left / UNCERTAINTY,
                min(1.0, left * UNCERTAINTY),
            )
        )
    return tuple(result)
