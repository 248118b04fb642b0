"""Where the gauge comes to rest with every pipe dry: rows and cases side by side."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from maintenance.engine.blowout.ladder import (
    Ladder,
    build_ladder,
    ease_of,
    first_guess,
    settle_flows,
)
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.supply import Array, Mask, Supply, supply_of

_ROUNDS, _HOSE_ROUNDS, _SETTLED_PA = 20, 3, 0.5


@dataclass(frozen=True, slots=True)
class Plateau:
    """Absolute pressure and flow at the port, (row, case).

    ``holds`` is true where the regulator holds the pressure: in balance the receiver
    stands at the setting or over it.
    """

    port_pa: Array
    flow_kg_per_s: Array
    holds: Mask


def outlet_areas(rows: Sequence[Row]) -> Array:
    """Return the effective areas of the outlets as recorded.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be computed. [-]

    Returns
    -------
    array
        (row, 1, outlet), zero where a row has fewer outlets. [m²]
    """
    areas = np.zeros((len(rows), 1, max(len(row.outlets) for row in rows)))
    for i, row in enumerate(rows):
        areas[i, 0, : len(row.outlets)] = [outlet.area_m2 for outlet in row.outlets]
    return areas


def find_plateau(
    rows: Sequence[Row], machines: Sequence[Machine], setting_pa: Array, areas: Array
) -> Plateau:
    """Find the plateau: what a row passes is what the compressor delivers.

    Parameters
    ----------
    rows : sequence of Row
        Rows that can be computed. [-]
    machines : sequence of Machine
        The compressor on each, all at one site. [-]
    setting_pa : array
        Absolute setting, (row). [Pa]
    areas : array
        Effective areas of the outlets, (row, case, outlet). [m²]

    Returns
    -------
    Plateau
        In balance, the receiver neither filling nor emptying. [SI]
    """
    built = [build_ladder(r, m) for r, m in zip(rows, machines, strict=True)]
    ladder = replace(_stack(built), areas=areas)
    supply = supply_of(machines, cases=True)
    setting = np.repeat(setting_pa[:, None], areas.shape[1], axis=1)
    port = 0.5 * (supply.atmosphere_pa + setting)
    air = first_guess(ladder, port)
    settle_flows(ladder, air, port, rounds=6)
    for _ in range(_ROUNDS):
        last = port
        port = _meet(supply, setting, ease_of(ladder, air), last)
        settle_flows(ladder, air, port, rounds=4)
        if np.abs(port - last).max() < _SETTLED_PA:
            break
    holds = supply.hose_flow(setting, port) <= supply.air_kg_per_s
    return Plateau(port, air.total, holds)


def _meet(supply: Supply, setting: Array, ease: Array, guess: Array) -> Array:
    """Find the port pressure at which hose, compressor and row pass the same flow.

    The row passes W² = E (p² - p_atm²). The compressor gives its delivery or what the
    hose passes from the setting, W² = G (p_set² - p²), whichever is less.
    """
    back2 = supply.atmosphere_pa**2
    through_hose = np.minimum(guess, setting)
    for _ in range(_HOSE_ROUNDS):
        hose = supply.hose_ease(setting, through_hose)
        through_hose = np.sqrt((hose * setting**2 + ease * back2) / (hose + ease))
    return np.minimum(np.sqrt(back2 + supply.air_kg_per_s**2 / ease), through_hose)


def _stack(ladders: Sequence[Ladder]) -> Ladder:
    """Put ladders side by side; a row with fewer parts is filled up with free ones."""
    wide = max(len(each.area) for each in ladders)
    many = max(each.path.shape[0] for each in ladders)

    def filled(name: str, *shape: int, fill: float = 0.0) -> Array:
        result = np.full((len(ladders), *shape), fill)
        for i, each in enumerate(ladders):
            own = np.atleast_2d(getattr(each, name))
            result[i, : own.shape[0], : own.shape[1]] = own
        return result

    return Ladder(
        path=filled("path", many, wide),
        upstream=filled("upstream", wide, wide),
        before=np.zeros((len(ladders), 0), np.intp),
        areas=filled("areas", 1, many),
        area=filled("area", 1, wide, fill=1.0),
        roughness=filled("roughness", 1, wide, fill=1e-4),
        reynolds_per_flow=filled("reynolds_per_flow", 1, wide),
        friction_cost=filled("friction_cost", 1, wide),
        valve_cost=filled("valve_cost", 1, wide),
        rt=ladders[0].rt,
        atmosphere_pa=ladders[0].atmosphere_pa,
    )
