"""The first fronts of a sheet's rows and their dry gauges, side by side."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from maintenance.engine.blowout.displacement import Displacement, displace
from maintenance.engine.blowout.gauge import read_gauges
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.sheet import Gauge
from maintenance.engine.blowout.supply import supply_of


@dataclass(frozen=True, slots=True)
class Front:
    """The first front of one row, its lane of the displacement, and its dry gauge."""

    run: Displacement
    lane: int
    gauge: Gauge


def drive_fronts(cases: Sequence[Prepared]) -> Iterator[Front]:
    """Drive all first fronts and read all gauges.

    Parameters
    ----------
    cases : sequence of Prepared
        Decisions, at the same place and temperature. [-]

    Yields
    ------
    Front
        Case after case, its open rows in running order. [SI]
    """
    jobs = [
        (prepared, key)
        for prepared in cases
        for key in prepared.order
        if key in prepared.settings
    ]
    if not jobs:
        return
    rows = [prepared.rows[key] for prepared, key in jobs]
    machines = [prepared.machine for prepared, _ in jobs]
    setting = np.array([prepared.settings[key] for prepared, key in jobs])
    emptied = [pipes for prepared in cases for pipes in prepared.emptied_before()]
    supply = supply_of(machines)
    run = displace(pack(rows, emptied), supply, setting + supply.atmosphere_pa)
    for lane, gauge in enumerate(read_gauges(rows, machines, setting, cases[0].units)):
        yield Front(run, lane, gauge)
