"""A row cut into cells, and where its water settles when the air is off."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.blowout.rows import Row
from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

PLACE_LENGTH_M = 3.0
"""A place is at most this length of pipe; project choice."""
FULLEST = 0.95
"""A place that is fuller passes what is over on at once; project choice."""
LEVEL_M = 0.002
"""Neighbouring places that differ less in height count as level; project choice."""


@dataclass(frozen=True, slots=True)
class Pools:
    """Low places: ``of`` gives the pool that each cell drains to.

    Within a pool, cells fill from the lowest ``tier`` up: a tier holds ``size`` over
    ``below``; ``start`` is the first cell of each pool's bottom, ``gather`` (cell, pool)
    sums cells, ``top`` marks the highest tier of each pool.
    """

    of: Index
    pool_of_tier: Index
    tier: Index
    size: Array
    below: Array
    start: Index
    gather: Array
    top: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Cells:
    """Places along a row; ``leads`` is (cell, cell).

    ``before`` is -1 at the port, where ``has_before`` is 0, else 1.

    A film that holds a share of the bore is ``film_per_held`` thick and weighs
    ``weight_per_held`` down the slope, each times that share. [m], [Pa].
    """

    segment: Index
    before: Index
    leads: Array
    volume: Array
    length: Array
    film_per_held: Array
    weight_per_held: Array
    share_of_segment: Array
    has_before: Array
    most_volume: Array
    outlet_of: Index
    pools: Pools


def cut(row: Row) -> Cells:
    """Cut a row's pipes into places.

    Parameters
    ----------
    row : Row
        A row that can be computed. [-]

    Returns
    -------
    Cells
        Arrays over the places, and the pools they drain to. [SI]
    """
    segment: list[int] = []
    before: list[int] = []
    height: list[float] = []
    last_of: dict[int, int] = {}
    for j, part in enumerate(row.segments):
        count = max(1, math.ceil(part.length_m / PLACE_LENGTH_M - 1e-9))
        previous = last_of.get(part.before, -1)
        for c in range(count):
            share = (c + 0.5) / count
            height.append(part.z_start_m + share * (part.z_end_m - part.z_start_m))
            before.append(previous)
            segment.append(j)
            previous = len(segment) - 1
        last_of[j] = previous
    seg = np.array(segment, np.intp)
    up = np.array(before, np.intp)
    counts = np.bincount(seg, minlength=len(row.segments))[seg]
    leads = np.zeros((len(seg), len(seg)))
    inner = up >= 0
    leads[up[inner], np.flatnonzero(inner)] = 1.0
    outlet_of = np.full(len(seg), -1, np.intp)
    for h, outlet in enumerate(row.outlets):
        outlet_of[last_of[outlet.segment]] = h
    volume = np.array([s.volume_m3 for s in row.segments])[seg] / counts
    film = 0.25 * np.array([s.diameter_m for s in row.segments])
    slope = np.array([s.sin_slope for s in row.segments])
    pools = _find_pools(np.array(height), up, volume)
    return Cells(
        segment=seg,
        before=up,
        leads=leads,
        volume=volume,
        length=np.array([s.length_m for s in row.segments])[seg] / counts,
        film_per_held=film[seg],
        weight_per_held=(WATER_DENSITY * STANDARD_GRAVITY * film * slope)[seg],
        share_of_segment=_shares(seg, counts, len(row.segments)),
        has_before=inner.astype(np.float64),
        most_volume=FULLEST * volume,
        outlet_of=outlet_of,
        pools=pools,
    )


def _shares(segment: Index, counts: Index, segments: int) -> Array:
    shares = np.zeros((len(segment), segments))
    shares[np.arange(len(segment)), segment] = 1.0 / counts
    return shares


def _find_pools(height: Array, before: Index, volume: Array) -> Pools:
    group = _level_groups(height, before)
    members: dict[int, list[int]] = {}
    for cell, g in enumerate(group):
        members.setdefault(g, []).append(cell)
    level = {g: float(np.mean(height[cells])) for g, cells in members.items()}
    beside: dict[int, set[int]] = {g: set() for g in members}
    for cell, b in enumerate(before):
        if b >= 0 and group[cell] != group[b]:
            beside[group[cell]].add(group[b])
            beside[group[b]].add(group[cell])
    rest: dict[int, int] = {}
    for g in sorted(members, key=lambda key: level[key]):
        lowest = min(beside[g], key=lambda key: level[key], default=g)
        rest[g] = rest[lowest] if level[lowest] < level[g] else g
    roots = sorted(set(rest.values()))
    pool = np.array([roots.index(rest[g]) for g in group], np.intp)
    tiers: list[tuple[int, float, float]] = []
    tier_of: dict[int, int] = {}
    for number, root in enumerate(roots):
        below = 0.0
        for g in sorted(
            (g for g in rest if rest[g] == root), key=lambda key: level[key]
        ):
            size = float(volume[members[g]].sum())
            tier_of[g] = len(tiers)
            tiers.append((number, below, size))
            below += size
    pool_of_tier = np.array([t[0] for t in tiers], np.intp)
    gather = np.zeros((len(pool), len(roots)))
    gather[np.arange(len(pool)), pool] = 1.0
    return Pools(
        of=pool,
        pool_of_tier=pool_of_tier,
        tier=np.array([tier_of[g] for g in group], np.intp),
        size=np.array([t[2] for t in tiers]),
        below=np.array([t[1] for t in tiers]),
        start=np.array([members[root][0] for root in roots], np.intp),
        gather=gather,
        top=np.append(pool_of_tier[1:] != pool_of_tier[:-1], True),
    )


def _level_groups(height: Array, before: Index) -> list[int]:
    group = list(range(len(height)))
    for cell, b in enumerate(before):
        if b >= 0 and abs(height[cell] - height[b]) < LEVEL_M:
            group[cell] = group[b]
    return group


def settle(cells: Cells, held: Array) -> Array:
    """Let the water run to the low places.

    Parameters
    ----------
    cells : Cells
        The row's places. [-]
    held : array
        Share of each place's bore that is water, (lane, cell). [-]

    Returns
    -------
    array
        The same after settling; the volume in each pool is unchanged. [-]
    """
    pools = cells.pools
    volume = (held * cells.volume) @ pools.gather
    filled = (volume[:, pools.pool_of_tier] - pools.below) / pools.size
    filled = np.maximum(filled, 0.0)
    # Only the topmost tier of a pool may take more than its bore: nothing is lost.
    filled = np.where(pools.top, filled, np.minimum(filled, 1.0))
    return np.asarray(filled[:, pools.tier], dtype=np.float64)
