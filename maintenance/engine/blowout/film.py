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
    STANDARD_GRAVITY,
    WATER_DENSITY,
    WATER_VISCOSITY,
)

RISER_BORE_M, RISER_NUMBER, FLOODED_TEE = 0.0158, 0.9, 0.5
"""Bore of a riser, the j* that carries water up it, and the share of the bore that
floods a tee; estimates, from memory: the residue hardly depends on them."""
WALL_FRICTION, SMOOTH_INTERFACE, WAVE_GROWTH = 0.005, 0.005, 75.0
"""Friction of wall and smooth film, and its growth with waves: Wallis 1969, from memory."""
FULLEST, DRIEST = 0.95, 0.02
"""A place over the first passes its water on at once; one under the second does not
count for the step; project choices."""


@dataclass(frozen=True, slots=True)
class Wind:
    """The air over each place during one step, (lane, cell).

    ``pull`` is ½ f ρ j² of a smooth dry pipe; ``share_in`` the share of what leaves
    the place before that comes here; ``leaves`` the share that an outlet takes, and
    ``lifts`` is true where the air carries water up its riser.
    """

    pull: Array
    share_in: Array
    leaves: Array
    lifts: Mask


def feel_wind(cells: Cells, ladder: Ladder, air: AirFlow, density: Array) -> Wind:
    """Work out what the air does to each place, for as long as it stays the same.

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
    speed = air.through / density / ladder.area
    pull = 0.5 * SMOOTH_INTERFACE * density * speed**2
    flow = air.through[:, seg]
    onward = np.maximum(flow @ cells.leads.T, 1e-12)
    share_in = np.where(cells.is_first, 0.0, flow / onward[:, cells.before])
    has = cells.outlet_of >= 0
    at_outlet = np.where(has, air.outlets[:, cells.outlet_of], 0.0)
    rho = density[:, seg]
    riser = at_outlet / rho / (np.pi / 4 * RISER_BORE_M**2)
    number = wallis_number(riser, rho, RISER_BORE_M)
    leaves = np.minimum(at_outlet / np.maximum(flow, 1e-12), 1.0)
    dead_end = cells.leads.sum(axis=1) == 0
    lifts: Mask = np.asarray(has & (number >= RISER_NUMBER))
    return Wind(
        pull[:, seg], share_in, np.where(dead_end, 1.0, leaves), lifts | dead_end
    )


def drag(cells: Cells, wind: Wind, held: Array, step_s: float) -> tuple[Array, float]:
    """Move the film one step.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    wind : Wind
        The air over them. [SI]
    held : array
        Share of each bore that is water, (lane, cell). [-]
    step_s : float
        Step. [s]

    Returns
    -------
    tuple of (array, float)
        The film after the step, and the most places that water crossed in the first
        lane: the caller divides its steps so that it crosses one at most. [-]
    """
    velocity = _film_velocity(cells, wind, held)
    moved = np.abs(velocity) * (step_s / cells.length)
    out = held * cells.volume * moved / (1.0 + moved)
    forward = np.where(velocity > 0, out, 0.0)
    back = np.where(cells.is_first, 0.0, out - forward)
    takes = wind.lifts | (held > FLOODED_TEE)
    stays = 1.0 - np.where(takes, wind.leaves, 0.0)
    water = held * cells.volume - forward - back + back @ cells.leads.T
    water = water + (forward * stays)[:, cells.before] * wind.share_in
    for _ in range(3):
        excess = np.maximum(water - FULLEST * cells.volume, 0.0)
        if not excess.any():
            break
        water = water - excess + (excess * stays)[:, cells.before] * wind.share_in
    crossed = moved[0] * (held[0] > DRIEST)
    return np.asarray(water / cells.volume), float(crossed.max())


def _film_velocity(cells: Cells, wind: Wind, held: Array) -> Array:
    film = 0.25 * cells.diameter * held
    shear = wind.pull * (1.0 + WAVE_GROWTH * held) / (1.0 - np.minimum(held, 0.9)) ** 2
    weight = WATER_DENSITY * STANDARD_GRAVITY * cells.sin_slope * film
    laminar = film / WATER_VISCOSITY * (0.5 * shear - weight / 3.0)
    net = shear - weight
    turbulent = np.sqrt(np.abs(net) * (2.0 / (WALL_FRICTION * WATER_DENSITY)))
    slower = np.abs(laminar) < turbulent
    return np.asarray(np.where(slower, laminar, np.copysign(turbulent, net)))
