"""The film in one row: dragged by the air, held by the wall, drawn down by its weight.

Wallis interfacial friction f_i = 0.005 (1 + 75 H) (constants from memory) against a
laminar or a turbulent film, whichever is slower; on a rise its weight pulls back.
"""

from dataclasses import dataclass

import numpy as np

from maintenance.engine.air.carry_out import wallis_number
from maintenance.engine.blowout.cells import Array, Cells
from maintenance.engine.blowout.ladder import AirFlow, Ladder
from maintenance.engine.blowout.lanes import Mask
from maintenance.engine.constants import (
    WATER_DENSITY,
    WATER_VISCOSITY,
)

RISER_BORE_M, RISER_NUMBER, FLOODED_TEE = 0.0158, 0.9, 0.5
"""Bore of a riser, the j* that carries water up it, and the share of the bore that
floods a tee; estimates, from memory: the residue hardly depends on them."""
WALL_FRICTION, SMOOTH_INTERFACE, WAVE_GROWTH = 0.005, 0.005, 75.0
"""Friction of wall and smooth film, and its growth with waves: Wallis 1969, from memory."""
DRIEST = 0.02
"""A place that holds less does not count for the length of a part; project choice."""
MOST_CROSSED, MOST_PARTS = 2.0, 6
"""Places that the film crosses in one part of a step, and the parts at most. Against
parts of a tenth of a place, what is left of a row differs by 3 % (median)."""


@dataclass(frozen=True, slots=True)
class Wind:
    """The air over each place, (lane, cell), as long as its shares stay the same.

    ``pull`` is ½ f ρ j² of a smooth dry pipe; ``share_in`` the share of what leaves
    the place before that comes here; ``leaves`` the share that an outlet takes, and
    ``lifts`` is true where the air carries water up its riser.
    """

    pull: Array
    share_in: Array
    leaves: Array
    lifts: Mask


def feel_wind(cells: Cells, ladder: Ladder, air: AirFlow, density: Array) -> Wind:
    """Work out what the air does to each place.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    ladder : Ladder
        The row's air ways. [-]
    air : AirFlow
        Flows. [kg/s]
    density : array
        Density in each segment, (lane, segment). [kg/m³]

    Returns
    -------
    Wind
        Constant over the step. [SI]
    """
    seg = cells.segment
    flow = air.through[:, seg]
    onward = np.maximum(flow @ cells.leads.T, 1e-12)
    share_in = cells.has_before * flow / onward[:, cells.before]
    has = cells.outlet_of >= 0
    at_outlet = np.where(has, air.outlets[:, cells.outlet_of], 0.0)
    rho = density[:, seg]
    riser = at_outlet / rho / (np.pi / 4 * RISER_BORE_M**2)
    number = wallis_number(riser, rho, RISER_BORE_M)
    leaves = np.minimum(at_outlet / np.maximum(flow, 1e-12), 1.0)
    dead_end = cells.leads.sum(axis=1) == 0
    lifts: Mask = np.asarray(has & (number >= RISER_NUMBER))
    return Wind(
        pull_of(cells, ladder, air.through, density),
        share_in,
        np.where(dead_end, 1.0, leaves),
        lifts | dead_end,
    )


def pull_of(cells: Cells, ladder: Ladder, through: Array, density: Array) -> Array:
    """Return ½ f ρ j² of the air over a smooth film in each place.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    ladder : Ladder
        The row's air ways. [-]
    through : array
        Mass flow in each segment, (lane, segment). [kg/s]
    density : array
        Density there. [kg/m³]

    Returns
    -------
    array
        Shear, (lane, cell). [Pa]
    """
    pull = 0.5 * SMOOTH_INTERFACE * (through / ladder.area) ** 2 / density
    return np.asarray(pull.take(cells.segment, axis=1))


def drag(cells: Cells, wind: Wind, held: Array, step_s: float) -> Array:
    """Move the film for a while, in parts in which it crosses few places.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    wind : Wind
        The air over them. [SI]
    held : array
        Share of each bore that is water, (lane, cell). [-]
    step_s : float
        How long. [s]

    Returns
    -------
    array
        The film afterwards. The parts follow the first lane, `MOST_PARTS` at most;
        the scheme stays stable in longer ones. [-]
    """
    rest, least = step_s, step_s / MOST_PARTS
    while rest > 1e-9:
        velocity = _film_velocity(cells, wind, held)
        rate = np.abs(velocity) / cells.length
        crossed = float((rate[0] * (held[0] > DRIEST)).max())
        part = min(rest, max(least, MOST_CROSSED / max(crossed, 1e-9)))
        held = _move(cells, wind, held, velocity > 0.0, rate * part)
        rest -= part
    return held


def _move(cells: Cells, wind: Wind, held: Array, onward: Mask, crossed: Array) -> Array:
    """Carry water to the next place, or back: a place empties exponentially."""
    water = held * cells.volume
    out = water * -np.expm1(-crossed)
    forward = out * onward
    back = (out - forward) * cells.has_before
    stays = 1.0 - wind.leaves * (wind.lifts | (held > FLOODED_TEE))
    water = water - forward + _arrives(cells, wind, forward * stays)
    if back.any():
        water = water - back + back @ cells.leads.T
    for _ in range(3):
        excess = water - cells.most_volume
        if excess.max() <= 0.0:
            break
        excess = np.maximum(excess, 0.0)
        water = water - excess + _arrives(cells, wind, excess * stays)
    return np.asarray(water / cells.volume)


def _arrives(cells: Cells, wind: Wind, leaving: Array) -> Array:
    return np.asarray(leaving.take(cells.before, axis=1) * wind.share_in)


def _film_velocity(cells: Cells, wind: Wind, held: Array) -> Array:
    film = cells.film_per_held * held
    shear = wind.pull * (1.0 + WAVE_GROWTH * held) / (1.0 - np.minimum(held, 0.9)) ** 2
    weight = cells.weight_per_held * held
    laminar = film * (shear * (0.5 / WATER_VISCOSITY) - weight / (3 * WATER_VISCOSITY))
    net = shear - weight
    turbulent = np.sqrt(np.abs(net) * (2.0 / (WALL_FRICTION * WATER_DENSITY)))
    slower = np.abs(laminar) < turbulent
    return np.asarray(np.where(slower, laminar, np.copysign(turbulent, net)))
