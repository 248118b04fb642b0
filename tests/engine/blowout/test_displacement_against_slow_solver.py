"""The engine's fast displacement against LSODA on random trees.

The tolerances are the project's own: time within 1 %, left within half a point. The
engine runs at the step settings that the benchmark uses.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from maintenance.engine.blowout.displacement import displace
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.supply import supply_of
from tests.engine.blowout.slow_displacement import SlowRow
from tests.engine.blowout.trees import random_machine, random_row
from tests.engine.network.small_sites import PSI

SEEDS = range(1, 15)
"""In two of these trees the compressor cannot lift the water: both must say so."""


@pytest.mark.parametrize("seed", SEEDS)
def test_time_and_water_left_agree_with_the_slow_solver(seed: int) -> None:
    random = np.random.default_rng(seed)
    row, machine = random_row(random), random_machine(random)
    setting = float(random.uniform(30.0, 60.0)) * PSI + machine.atmosphere_pa
    emptied = frozenset({row.segments[0].link} if seed % 3 == 0 else set())
    slow = SlowRow(row, machine, setting, emptied).solve()
    fast = displace(pack([row], [emptied]), supply_of([machine]), np.array([setting]))
    if math.isinf(slow.time_s):
        assert math.isnan(fast.time_s[0])
        return
    assert fast.time_s[0] == pytest.approx(slow.time_s, rel=0.01)
    share = float(fast.left_m3[0].sum()) / row.volume_m3
    assert share == pytest.approx(slow.left_fraction, abs=0.005)


def test_trees_side_by_side_run_as_they_run_alone() -> None:
    random = np.random.default_rng(99)
    rows = [random_row(random) for _ in range(5)]
    machines = [random_machine(random) for _ in range(5)]
    assert len({machine.receiver_m3 > 0 for machine in machines}) == 2
    # One site: one atmosphere for all.
    machines = [
        replace(machine, atmosphere_pa=101325.0, temperature_k=283.15)
        for machine in machines
    ]
    setting = np.full(5, 45.0 * PSI) + 101325.0
    together = displace(pack(rows, [frozenset()] * 5), supply_of(machines), setting)
    for i, row in enumerate(rows):
        supply = supply_of(machines[i : i + 1])
        alone = displace(pack([row], [frozenset()]), supply, setting[:1])
        assert alone.time_s[0] == pytest.approx(
            together.time_s[i], rel=1e-3, nan_ok=True
        )
        assert alone.left_m3[0].sum() == pytest.approx(
            together.left_m3[i].sum(), rel=1e-3
        )
