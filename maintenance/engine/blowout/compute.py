"""Blow a prepared site, row after row, and keep the book of the water."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from maintenance.engine.air.energy import stored_energy_pcc2
from maintenance.engine.blowout import judge
from maintenance.engine.blowout.aftermath import (
    first_air,
    front_need,
    least_air,
    left_in_pipes,
    standing_water,
)
from maintenance.engine.blowout.cells import Cells, cut
from maintenance.engine.blowout.fronts import Front, drive_fronts
from maintenance.engine.blowout.heat_clock import heat_clock
from maintenance.engine.blowout.ladder import build_ladder
from maintenance.engine.blowout.passes import PassPlan, PassState, run_passes
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.sheet import (
    Displaced,
    Gauge,
    Pass,
    RowSheet,
)
from maintenance.engine.blowout.supply import Receiver, supply_of
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


@dataclass(slots=True)
class _Book:
    """What one row leaves to the next: the water in each pipe, the rises swept."""

    water: dict[str, float]
    drained: frozenset[str]
    swept: set[str] = field(default_factory=set)


def blow(prepared: Prepared, *, passes: int | None = None) -> Blown:
    """Compute every row in sequence.

    Parameters
    ----------
    prepared : Prepared
        Decisions. [-]
    passes : int, optional
        Passes asked for; default the fewest that reach the verdict, at most 3. The
        verdict does not depend on them, nor on what they leave to the next row. [-]

    Returns
    -------
    Blown
        Rows and what is left where; water out is the difference to the site's
        volume. [m³]
    """
    if passes is None:
        return blow_each([prepared], [None])[0]
    usual, asked = blow_each([prepared, prepared], [None, passes])
    return replace(
        asked,
        rows=tuple(
            replace(
                row,
                verdict=judged.verdict,
                verdict_text=judged.verdict_text,
                least_free_air_m3_per_s=judged.least_free_air_m3_per_s,
            )
            for row, judged in zip(asked.rows, usual.rows, strict=True)
        ),
    )


def blow_each(
    cases: Sequence[Prepared], passes: Sequence[int | None]
) -> tuple[Blown, ...]:
    """Compute several variants of one site, their first fronts side by side.

    Parameters
    ----------
    cases : sequence of Prepared
        Decisions, at the same place and temperature. [-]
    passes : sequence of int or None
        Passes asked for in each, see `blow`. [-]

    Returns
    -------
    tuple of Blown
        One for each case. [m³]
    """
    fronts = drive_fronts(cases)
    return tuple(
        _blow_case(prepared, fronts, count)
        for prepared, count in zip(cases, passes, strict=True)
    )


def _blow_case(
    prepared: Prepared, fronts: Iterator[Front], passes: int | None
) -> Blown:
    water = {
        key: bore.volume_m3
        for key, bore in prepared.graph.bores.items()
        if bore.volume_m3 is not None
    }
    total = sum(water.values())
    book = _Book(water, judge.drained_points(prepared.graph))
    results = []
    for number, key in enumerate(prepared.order, start=1):
        if key in prepared.settings:
            front = next(fronts)
            results.append(_blow_row(prepared, key, number, front, book, passes))
        else:
            results.append(_blocked_row(prepared, key, number, water))
    return Blown(tuple(results), water, total)


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
        verdict="cannot",
        verdict_text=prepared.blocked[key],
    )


def _displaced(row: Row, front: Front, water: dict[str, float]) -> Displaced:
    """Say what the first front does, and enter what it leaves in the book."""
    left = front.run.left_m3[front.lane]
    for j, part in enumerate(row.segments):
        if water[part.link] >= part.volume_m3 * (1 - 1e-9):
            water[part.link] = float(left[j])
    time = float(front.run.time_s[front.lane])
    return Displaced(
        None if math.isnan(time) else time,
        sum(water[s.link] for s in row.segments) / row.volume_m3,
        float(front.run.peak_pressure_pa[front.lane]),
        float(front.run.peak_velocity[front.lane]),
    )


def _blow_row(
    prepared: Prepared,
    key: str,
    number: int,
    front: Front,
    book: _Book,
    passes: int | None,
) -> RowSheet:
    row, machine = prepared.rows[key], prepared.machine
    setting, water = prepared.settings[key], book.water
    at_start = _water_at_start(row, water)
    displaced = _displaced(row, front, water)
    gauge = front.gauge
    clock = heat_clock(prepared.graph, row, machine, gauge.flow_kg_per_s)
    cells = cut(row)
    needs = judge.what_counts(row, cells, machine.rt, book.drained, book.swept)
    state = _run(prepared, needs, row, cells, front, water, passes)
    clear = judge.clear_after(needs, state, 1)
    rested = judge.clear_after(needs, state, 2)
    verdict = _verdict(displaced, gauge, clear, rested)
    reach = clear if clear is not None else rested
    shown = passes or reach or judge.MOST_PASSES
    settled = state.fullest[shown - 1][0]
    left = left_in_pipes(row, cells, settled)
    water.update({each.link: each.volume_m3 for each in left})
    swept = sweeps(row, state.kept_after[shown - 1][0], machine.rt)
    book.swept |= {s.link for s in swept if s.swept}
    pools = standing_water(row, cells, needs, settled, prepared.units)
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
        left_in_pipes=left,
    )


def _run(
    prepared: Prepared,
    needs: judge.Needs,
    row: Row,
    cells: Cells,
    front: Front,
    water: Mapping[str, float],
    passes: int | None,
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
        np.full(len(air), front.run.receiver.pressure_pa[front.lane]),
        np.full(len(air), front.run.receiver.running[front.lane]),
    )
    plan = PassPlan(
        replace(supply_of([machine]), air_kg_per_s=air),
        np.full(len(air), prepared.settings[row.key] + machine.atmosphere_pa),
        prepared.on_s[row.key],
        passes or 1,
        max(passes or 0, judge.MOST_PASSES),
        rests,
    )
    return run_passes(
        cells,
        build_ladder(row, machine),
        plan,
        held,
        receiver,
        partial(judge.all_clear, needs),
    )


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
