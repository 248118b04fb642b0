"""Random rows: trees of pipes and heads for the solvers, made from a seed."""

import math

import numpy as np

from maintenance.engine.air.outlets import outlet_coefficient
from maintenance.engine.air.properties import atmospheric_pressure
from maintenance.engine.blowout.machine import Machine, machine_at
from maintenance.engine.blowout.outlets import RowOutlet
from maintenance.engine.blowout.rows import Row, Segment
from tests.engine.network.small_sites import PSI, compressor_of, machine_record

GPM = 3.785411784e-3 / 60.0
MAIN_BORES_M = (0.0266, 0.0351, 0.0409)
LATERAL_BORES_M = (0.0158, 0.0209, 0.0266, 0.0351)
STEEPEST = 0.08


def random_row(random: np.random.Generator) -> Row:
    """Return a main of one or two pipes and a lateral that may branch."""
    segments: list[Segment] = []
    outlets: list[RowOutlet] = []
    mains = int(random.integers(1, 3))
    for j in range(mains):
        _add(segments, j - 1, random, MAIN_BORES_M, math.inf)
    valve = float(random.uniform(1.5e-4, 6e-4))
    _add(segments, mains - 1, random, LATERAL_BORES_M[2:], valve)
    tips = [mains]
    for _ in range(int(random.integers(2, 7))):
        start = tips[int(random.integers(len(tips)))]
        _add(segments, start, random, LATERAL_BORES_M, math.inf)
        tips.append(len(segments) - 1)
    inner = {s.before for s in segments}
    for j in range(mains, len(segments)):
        if j not in inner or random.random() < 0.6:
            outlets.append(_outlet(j, random))
    return Row(
        "R",
        "zone",
        "R",
        "end",
        "AIR",
        0.0,
        0.0,
        tuple(segments),
        tuple(outlets),
        tuple(s.link for s in segments),
        (),
    )


def _add(
    segments: list[Segment],
    before: int,
    random: np.random.Generator,
    bores: tuple[float, ...],
    valve_area_m2: float,
) -> None:
    length = float(random.uniform(2.0, 22.0))
    start = segments[before].z_end_m if before >= 0 else 0.0
    end = start + length * float(random.uniform(-STEEPEST, STEEPEST))
    number = len(segments)
    origin = segments[before].end if before >= 0 else "AIR"
    bore = float(random.choice(np.array(bores)))
    segments.append(
        Segment(
            f"P{number}",
            origin,
            f"N{number}",
            before,
            length,
            bore,
            start,
            end,
            valve_area_m2,
        )
    )


def _outlet(segment: int, random: np.random.Generator) -> RowOutlet:
    k = float(outlet_coefficient(random.uniform(0.5, 4.0) * GPM, 30.0 * PSI))
    holds = float(random.choice(np.array([0.0, 0.0, 1.0, 2.4])))
    return RowOutlet(f"N{segment}", segment, k, 0.15, holds, "spray", 15.0 * PSI)


def random_machine(random: np.random.Generator) -> Machine:
    """Return one of five compressors, of which two have no receiver."""
    cfm, gallons = (
        (5.0, 20.0),
        (25.0, 30.0),
        (80.0, 10.0),
        (185.0, 0.0),
        (12.0, 0.0),
    )[int(random.integers(5))]
    elevation = float(random.uniform(0.0, 2200.0))
    return machine_at(
        compressor_of(machine_record(cfm, gallons)),
        atmosphere_pa=float(atmospheric_pressure(elevation)),
        temperature_k=float(random.uniform(275.0, 295.0)),
    )
