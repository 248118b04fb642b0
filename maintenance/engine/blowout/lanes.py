"""Rows side by side: their trees as padded arrays, one lane for each row."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from maintenance.engine.blowout.rows import Row

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Lanes:
    """Padded arrays of several rows; shapes are (lane, segment) or (lane, outlet).

    ``path`` (lane, outlet, segment) is 1 where a segment lies on the way to an
    outlet; ``before`` indexes the segment upstream, with -1 turned into the extra
    last column of a state that is always "passed".
    """

    full: Mask
    exists: Mask
    length: Array
    diameter: Array
    area: Array
    z_start: Array
    z_end: Array
    valve: Array
    before: npt.NDArray[np.intp]
    path: Array
    outlet: Mask
    at: npt.NDArray[np.intp]
    k: Array
    hold_z: Array
    port_z: Array
    empty_volume: Array


def pack(rows: Sequence[Row], emptied: Sequence[frozenset[str]]) -> Lanes:
    """Pack rows into lanes.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be computed. [-]
    emptied : sequence of frozenset of str
        For each row, the pipes that an earlier row has emptied. [-]

    Returns
    -------
    Lanes
        Padded arrays. [SI]
    """
    lanes = len(rows)
    wide = max((len(row.segments) for row in rows), default=1)
    many = max((len(row.outlets) for row in rows), default=1)
    shape, out_shape = (lanes, wide), (lanes, many)
    data = {
        name: np.full(shape, fill)
        for name, fill in (
            ("length", 1.0),
            ("diameter", 1.0),
            ("z_start", 0.0),
            ("z_end", 0.0),
            ("valve", np.inf),
        )
    }
    exists, full = np.zeros(shape, bool), np.zeros(shape, bool)
    before = np.full(shape, wide, np.intp)
    path = np.zeros((lanes, many, wide))
    outlet, at = np.zeros(out_shape, bool), np.zeros(out_shape, np.intp)
    k, hold = np.zeros(out_shape), np.zeros(out_shape)
    for i, row in enumerate(rows):
        ways: list[tuple[int, ...]] = []
        for j, part in enumerate(row.segments):
            exists[i, j] = True
            # A pipe counts as emptied only if all before it are: air comes that way.
            behind_full = part.before >= 0 and bool(full[i, part.before])
            full[i, j] = behind_full or part.link not in emptied[i]
            data["length"][i, j], data["diameter"][i, j] = (
                part.length_m,
                part.diameter_m,
            )
            data["z_start"][i, j], data["z_end"][i, j] = part.z_start_m, part.z_end_m
            data["valve"][i, j] = part.valve_area_m2
            if part.before >= 0:
                before[i, j] = part.before
            ways.append((*(ways[part.before] if part.before >= 0 else ()), j))
        for h, end in enumerate(row.outlets):
            outlet[i, h], at[i, h], k[i, h] = True, end.segment, end.k_si
            hold[i, h] = (
                row.segments[end.segment].z_end_m + end.height_m + end.holding_m
            )
            path[i, h, list(ways[end.segment])] = 1.0
    area = np.pi / 4 * data["diameter"] ** 2
    volume = area * data["length"]
    return Lanes(
        full=full,
        exists=exists,
        length=data["length"],
        diameter=data["diameter"],
        area=area,
        z_start=data["z_start"],
        z_end=data["z_end"],
        valve=data["valve"],
        before=before,
        path=path,
        outlet=outlet,
        at=at,
        k=k,
        hold_z=hold,
        port_z=np.array([row.port_z_m for row in rows]),
        empty_volume=np.where(exists & ~full, volume, 0.0).sum(axis=1),
    )
