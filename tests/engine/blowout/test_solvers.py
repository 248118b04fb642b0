"""What holds for the solvers at any numbers: balances and directions."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.air.properties import atmospheric_pressure, standard_flow
from maintenance.engine.blowout.cells import cut, settle
from maintenance.engine.blowout.displacement import displace
from maintenance.engine.blowout.gauge import read_gauges
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.machine import machine_at
from maintenance.engine.blowout.plateau import find_plateau
from maintenance.engine.blowout.supply import Receiver, deliver, supply_of
from tests.engine.blowout.slow_displacement import SlowRow
from tests.engine.blowout.trees import random_machine, random_row
from tests.engine.network.small_sites import PSI, compressor_of, machine_record

SEEDS = st.integers(0, 10_000)
few = settings(max_examples=15)


@few
@given(
    SEEDS,
    st.floats(0.05, 5.0),
    st.floats(20.0, 80.0),
    st.floats(0.0, 1.0),
    st.floats(13.5, 16.8),
    st.booleans(),
)
def test_what_leaves_the_hose_came_from_receiver_and_compressor(
    seed: int,
    step_s: float,
    set_psi: float,
    fullness: float,
    narrow: float,
    squared: bool,
) -> None:
    # 10**13.5 to 10**16.8 Pa² s²/kg² is from a large zone to one small head.
    machine = random_machine(np.random.default_rng(seed))
    air = machine.atmosphere_pa
    pressure = air + fullness * (machine.cut_out_pa - air)
    receiver = Receiver(np.array([pressure]), np.array([pressure < machine.cut_in_pa]))
    before, on = receiver.pressure_pa.copy(), receiver.running.copy()
    supply, step = supply_of([machine]), np.array([step_s])
    setting, base = np.array([set_psi * PSI + air]), np.array([air])
    per_flow = np.array([10.0**narrow if squared else 2e6])
    flow = deliver(supply, receiver, setting, step, base, per_flow, squared=squared)
    assert flow[0] >= 0.0
    if machine.receiver_m3 == 0:
        assert flow[0] <= machine.air_kg_per_s
        return
    lost = (before - receiver.pressure_pa) * machine.receiver_m3 / machine.rt
    delivered = flow[0] * step_s - lost[0]
    most_delivered = machine.air_kg_per_s * on[0] * step_s
    if (
        before[0] + most_delivered * machine.rt / machine.receiver_m3
        <= machine.cut_out_pa
    ):
        assert delivered == pytest.approx(most_delivered, rel=1e-6, abs=1e-9)
    else:
        # It unloads at its cut-out: less is delivered, never more.
        assert delivered <= most_delivered * (1 + 1e-9) + 1e-9
    behind = base + per_flow * flow
    if squared:
        behind = np.sqrt(base**2 + per_flow * flow**2)
    assert behind[0] <= setting[0] * 1.001, "air does not rise above the regulator"
    inlet = np.minimum(receiver.pressure_pa, setting)
    most = supply.hose_flow(setting, base)[0]
    assert supply.hose_flow(inlet, behind)[0] == pytest.approx(
        flow[0], abs=0.05 * most
    ), "the hose passes just that between the two pressures"


@few
@given(SEEDS)
def test_settling_moves_water_within_its_pool_and_overfills_no_place(seed: int) -> None:
    random = np.random.default_rng(seed)
    cells = cut(random_row(random))
    held = random.uniform(0.0, 1.0, (3, len(cells.pools.of))) ** 2
    settled = settle(cells, held)
    for pool in range(int(cells.pools.of.max()) + 1):
        inside = cells.pools.of == pool
        before = (held * cells.volume)[:, inside].sum(axis=1)
        after = (settled * cells.volume)[:, inside].sum(axis=1)
        assert after == pytest.approx(before, rel=1e-9, abs=1e-15)
    assert settled.max() <= 1.0 + 1e-9
    assert settled.min() >= 0.0


def test_only_a_pool_that_is_full_goes_above_its_bore() -> None:
    cells = cut(random_row(np.random.default_rng(3)))
    settled = settle(cells, np.full((1, len(cells.pools.of)), 1.05))
    total = float((settled * cells.volume).sum())
    assert total == pytest.approx(1.05 * float(cells.volume.sum()), rel=1e-9)


@few
@given(SEEDS)
def test_settled_water_stays_where_it_is(seed: int) -> None:
    random = np.random.default_rng(seed)
    cells = cut(random_row(random))
    once = settle(cells, random.uniform(0.0, 1.0, (1, len(cells.pools.of))))
    assert settle(cells, once) == pytest.approx(once, rel=1e-9, abs=1e-12)


@few
@given(SEEDS, st.floats(15.0, 70.0))
def test_fewer_open_heads_never_lower_the_plateau(seed: int, set_psi: float) -> None:
    random = np.random.default_rng(seed)
    row, machine = random_row(random), random_machine(random)
    own = np.array([outlet.area_m2 for outlet in row.outlets])
    count = len(own)
    areas = np.array(
        [np.where(np.arange(count) < n, own, 0.0) for n in range(count + 1)]
    )
    setting = set_psi * PSI + machine.atmosphere_pa
    found = find_plateau([row], [machine], np.array([setting]), areas[None])
    port, flow = found.port_pa[0], found.flow_kg_per_s[0]
    assert np.isfinite(port).all()
    assert (np.diff(port) <= 20.0).all(), "one more open head, a lower gauge [20 Pa]"
    assert port[0] == pytest.approx(setting, rel=1e-3), "all blocked: dead end"
    assert flow[0] == pytest.approx(0.0, abs=1e-9)
    assert (port <= setting + 1.0).all()
    assert (port >= machine.atmosphere_pa).all()


@few
@given(SEEDS, st.floats(15.0, 70.0))
def test_the_gauge_band_and_the_blocked_heads_are_in_order(
    seed: int, set_psi: float
) -> None:
    random = np.random.default_rng(seed)
    row, machine = random_row(random), random_machine(random)
    (gauge,) = read_gauges([row], [machine], np.array([set_psi * PSI]))
    assert 0.0 <= gauge.dry_pa <= gauge.dry_high_pa + 1.0
    assert gauge.dry_pa <= gauge.one_head_blocked_pa + 20.0
    assert gauge.one_head_blocked_pa <= gauge.two_heads_blocked_pa + 20.0
    assert gauge.two_heads_blocked_pa <= set_psi * PSI + 1.0
    assert gauge.at_compressor_dry_pa <= set_psi * PSI + 1.0
    assert gauge.at_compressor_dry_pa >= gauge.dry_pa - 1.0


def test_rows_side_by_side_come_to_rest_as_they_do_alone() -> None:
    random = np.random.default_rng(12)
    rows, machine = [random_row(random) for _ in range(5)], random_machine(random)
    setting = np.array([20.0, 30.0, 40.0, 50.0, 60.0]) * PSI
    for i, gauge in enumerate(read_gauges(rows, [machine] * 5, setting)):
        (alone,) = read_gauges([rows[i]], [machine], setting[[i]])
        assert gauge.dry_pa == pytest.approx(alone.dry_pa, abs=5.0)
        assert gauge.dry_high_pa == pytest.approx(alone.dry_high_pa, abs=5.0)
        assert gauge.flow_kg_per_s == pytest.approx(alone.flow_kg_per_s, rel=1e-3)


def test_a_row_of_one_head_that_is_blocked_gives_no_division_error() -> None:
    random = np.random.default_rng(11)
    row = random_row(random)
    lone = replace(row, outlets=row.outlets[-1:])
    (gauge,) = read_gauges([lone], [random_machine(random)], np.array([40.0 * PSI]))
    assert gauge.one_head_blocked_pa == pytest.approx(40.0 * PSI, rel=1e-2)


@few
@given(SEEDS)
def test_a_higher_setting_never_takes_longer(seed: int) -> None:
    random = np.random.default_rng(seed)
    row, machine = random_row(random), random_machine(random)
    gauge = np.array([20.0, 25.0, 30.0, 40.0, 50.0, 60.0]) * PSI
    lanes = pack([row] * len(gauge), [frozenset()] * len(gauge))
    run = displace(lanes, supply_of([machine]), gauge + machine.atmosphere_pa)
    time = np.where(np.isnan(run.time_s), np.inf, run.time_s)
    for slow, fast in pairwise(time[np.isfinite(time)]):
        assert fast <= slow * 1.01, "within the 1 % that the engine is good to"


def test_a_tank_can_run_out_at_a_higher_setting_and_not_at_a_lower() -> None:
    # A setting that empties a small tank sooner can leave the front standing: the
    # rule "higher is shorter" holds only while the air lasts. The slow solver says
    # the same of this tree.
    random = np.random.default_rng(41)
    row, machine = random_row(random), random_machine(random)
    settings_pa = [psi * PSI + machine.atmosphere_pa for psi in (40.0, 50.0)]
    slow = [SlowRow(row, machine, s, frozenset()).solve().time_s for s in settings_pa]
    lanes = pack([row] * 2, [frozenset()] * 2)
    fast = displace(lanes, supply_of([machine]), np.array(settings_pa)).time_s
    assert fast[0] == pytest.approx(slow[0], rel=0.01)
    assert math.isinf(slow[1])
    assert math.isnan(fast[1])


@few
@given(SEEDS)
def test_the_front_leaves_some_water_and_never_more_than_there_was(seed: int) -> None:
    random = np.random.default_rng(seed)
    row, machine = random_row(random), random_machine(random)
    setting = np.array([40.0 * PSI + machine.atmosphere_pa])
    run = displace(pack([row], [frozenset()]), supply_of([machine]), setting)
    bores = np.array([s.volume_m3 for s in row.segments])
    assert (run.left_m3[0] > 0.0).all()
    assert (run.left_m3[0] <= bores * (1.0 + 1e-9)).all()
    assert run.peak_pressure_pa[0] <= 40.0 * PSI * (1.0 + 1e-9)


@given(st.floats(0.0, 3000.0), st.floats(50.0, 800.0))
def test_a_higher_site_gets_less_standard_air(low_m: float, more_m: float) -> None:
    flows = []
    for elevation in (low_m, low_m + more_m):
        machine = machine_at(
            compressor_of(),
            atmosphere_pa=float(atmospheric_pressure(elevation)),
            temperature_k=283.15,
        )
        flows.append(float(standard_flow(machine.air_kg_per_s)))
    assert flows[1] < flows[0]


def test_duty_lowers_what_the_compressor_delivers() -> None:
    half = compressor_of(machine_record(duty=0.5))
    whole = compressor_of(machine_record(duty=1.0))
    found = [
        machine_at(c, atmosphere_pa=101325.0, temperature_k=283.15).air_kg_per_s
        for c in (half, whole)
    ]
    assert found[0] == pytest.approx(0.5 * found[1])
