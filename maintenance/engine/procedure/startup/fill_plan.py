"""Each filling before it is written down: what fills, through what, how fast."""

from collections.abc import Collection
from dataclasses import dataclass

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions, summer_positions
from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.startup.air_outlets import (
    HANDIEST,
    AirOutlet,
    air_outlets,
)
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.fill_amounts import Amounts, fill_amounts
from maintenance.engine.procedure.startup.fill_ways import (
    FillWay,
    by_hand,
    find_fill_ways,
    wastes_half_open,
)


@dataclass(frozen=True, slots=True)
class Fill:
    """One filling: where the water gets in, what fills, where the air leaves.

    ``little`` is how the gate stands meanwhile; ``main`` holds the cells without those
    behind a zone valve that serves as outlet, ``cells`` all that fill; ``stuck`` the
    ids of points whose air has no way out on record.
    """

    way: FillWay
    little: str
    main: frozenset[int]
    cells: frozenset[int]
    outlets: tuple[AirOutlet, ...]
    stuck: tuple[str, ...]
    amounts: Amounts


def plan_fills(
    piping: Piping,
    left: Positions,
    choices: StartupChoices,
    *,
    kept_out: Collection[str] = (),
) -> tuple[Fill, ...]:
    """Plan every filling of a start-up, in the order of the sources.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    left : mapping of str to str
        How every element was left for winter. [-]
    choices : StartupChoices
        Speeds. [-]
    kept_out : collection of str, optional
        What is turned to let in a source that must not be: it fills nothing. [-]

    Returns
    -------
    tuple of Fill
        Everything else is taken to stand in its summer position by then. [-]
    """
    ways = find_fill_ways(piping, left)
    positions = summer_positions(piping.graph)
    for way in ways:
        positions |= {way.gate: "closed"} if way.gate else {way.source: "off"}
        if left[way.source] == "off":
            positions[way.source] = "off"
        positions |= {pump: "off" for pump in way.pumps if left[pump] != "on"}
    fills = []
    for way in ways:
        if way.turned in kept_out:
            continue
        fill = _plan(piping, way, positions, choices)
        fills.append(fill)
        positions |= _let_in(piping, way, "open")
        positions |= {pump: "off" for pump in way.pumps if by_hand(piping, pump)}
    return tuple(fills)


def _let_in(piping: Piping, way: FillWay, gate: str) -> dict[str, str]:
    opened = {way.source: "on", **dict.fromkeys(way.pumps, "on")}
    return opened | ({way.gate: gate} if way.gate else {})


def _plan(
    piping: Piping, way: FillWay, positions: Positions, choices: StartupChoices
) -> Fill:
    little = "open" if wastes_half_open(piping, way.gate) else "half_open"
    full = {**positions, **_let_in(piping, way, little)}
    before, after = stand(piping, positions), stand(piping, full)
    main = _pressed(after) - _pressed(before)
    outlets, stuck = air_outlets(piping, after, main, kinds=_kinds(piping, way))
    open_ = {each.element: each.position for each in outlets}
    filling = stand(piping, {**full, **open_})
    cells = _pressed(filling) - _pressed(before)
    return Fill(
        way,
        little,
        main,
        cells,
        outlets,
        tuple(sorted(point for cell in stuck for point in _points(piping, cell))),
        fill_amounts(piping, way, filling, cells, outlets, choices),
    )


def _kinds(piping: Piping, way: FillWay) -> tuple[str, ...]:
    """Return what may let the air out; a key needs the water shut off once more."""
    if wastes_half_open(piping, way.gate):
        # Shut again, a stop-and-waste valve would empty what was just filled.
        return tuple(kind for kind in HANDIEST if kind != "quick_coupler")
    return HANDIEST


def _pressed(standing: Standing) -> frozenset[int]:
    return frozenset[int]().union(*standing.reach.values())


def _points(piping: Piping, cell: int) -> tuple[str, ...]:
    return tuple(p for p in piping.members[cell] if p in piping.graph.points)
