"""Whether the air sweeps a pipe: reached over needed, for rises and for level runs."""

import math
from dataclasses import dataclass

import numpy as np

from maintenance.engine.air.carry_out import taitel_dukler_velocity
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.supply import Array
from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY

LEVEL_SINE = 0.002
"""A pipe that climbs less than this is level; project choice."""
DEPTH_RATIO = 0.2


@dataclass(frozen=True, slots=True)
class Sweep:
    """One pipe of a row: air reached over air needed, and the steepest rise swept."""

    link: str
    ratio: float
    steepest_rise_deg: float
    swept: bool
    rises: bool


def sweep_factors(row: Row, rt: float) -> tuple[Array, Array]:
    """Return what turns W/√p into the two measures of each pipe.

    Parameters
    ----------
    row : Row
        The row. [-]
    rt : float
        Gas constant times temperature. [J/kg]

    Returns
    -------
    tuple of array
        Factor to j* (vertical), and factor to the ratio that decides: j*/√(sin
        slope) on rises, u_G/u_TD at depth ratio 0.2 elsewhere. [√Pa s/kg]

    Notes
    -----
    j* = j √(ρ_G/(g D ρ_L)), the air's own density neglected beside the water's
    (within 0.5 %). Sources: Wallis 1969 (constant from memory); Taitel and Dukler,
    AIChE J. 22(1) 47, 1976.
    """
    diameter = np.array([s.diameter_m for s in row.segments])
    sine = np.array([s.sin_slope for s in row.segments])
    area = np.pi / 4 * diameter**2
    wallis = math.sqrt(rt) / (
        area * np.sqrt(STANDARD_GRAVITY * diameter * WATER_DENSITY)
    )
    level = np.asarray(
        taitel_dukler_velocity(
            diameter, np.ones_like(diameter), np.arcsin(np.abs(sine)) * 0.0, DEPTH_RATIO
        )
    )
    rising = sine > LEVEL_SINE
    steep = np.sqrt(np.where(rising, sine, 1.0))
    ratio = np.where(rising, wallis / steep, math.sqrt(rt) / (area * level))
    return wallis, ratio


def sweeps(row: Row, kept: Array, rt: float) -> tuple[Sweep, ...]:
    """Judge each pipe of a row.

    Parameters
    ----------
    row : Row
        The row. [-]
    kept : array
        Highest W/√p of each pipe kept for five seconds, (segment). [kg/s/√Pa]
    rt : float
        Gas constant times temperature. [J/kg]

    Returns
    -------
    tuple of Sweep
        In the order of the segments. [-]
    """
    wallis, ratio = sweep_factors(row, rt)
    result = []
    for part, number, reached in zip(
        row.segments, wallis * kept, ratio * kept, strict=True
    ):
        steepest = math.degrees(math.asin(min(1.0, float(number) ** 2)))
        result.append(
            Sweep(
                part.link,
                float(reached),
                steepest,
                bool(reached >= 1.0),
                part.sin_slope > LEVEL_SINE,
            )
        )
    return tuple(result)
