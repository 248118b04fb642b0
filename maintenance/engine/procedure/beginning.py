"""The state at the head of a list: a system in use, or one left for winter."""

from functools import lru_cache

from maintenance.engine.procedure.contents import Contents, History, Holds, Pressure
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.sources import is_public
from maintenance.engine.procedure.spread import BOTH, FORWARD, spread
from maintenance.engine.procedure.state import State, drains
from maintenance.engine.procedure.step import Season
from maintenance.engine.procedure.ways_out import WASTE


def begin(piping: Piping, season: Season, left: Positions | None = None) -> State:
    """Return the state at the head of a list for a season.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    season : str
        The shutdown and the frost night begin in summer, the start-up in winter. [-]
    left : mapping of str to str, optional
        How every element was left, where that is on record. [-]

    Returns
    -------
    State
        Cells that a source presses on hold water under pressure. The rest holds water
        of the sources that reach it in summer when its zone runs; in winter nobody
        recorded how much of it, and whatever stands open counts as seen. [-]
    """
    fed = fed_in_summer(piping)
    if season != "startup" and left is None:
        return _begin(_in_summer(piping), fed, frozenset(), "water")
    winter = {key: each.winter[0] for key, each in piping.elements.items()}
    found = stand(piping, winter if left is None else left)
    seen = frozenset(
        opening.element
        for openings in found.open.values()
        for opening in openings
        if opening.element and opening.kind != WASTE
    )
    return _begin(found, fed, seen, "unknown")


def _in_summer(piping: Piping) -> Standing:
    return stand(piping, {k: e.summer[0] for k, e in piping.elements.items()})


def _begin(
    standing: Standing,
    fed: tuple[frozenset[str], ...],
    seen: frozenset[str],
    usual: Holds,
) -> State:
    piping = standing.piping
    every = frozenset(piping.supplies)
    contents = []
    for cell, sources in enumerate(fed):
        section = standing.cells[standing.section_of[cell]]
        potable = all(is_public(piping, each) for each in sources or every)
        history: History = "potable" if potable else "not_potable"
        if standing.sources_at(cell):
            contents.append(Contents("water", "on", history))
            continue
        holds = usual if sources else "unknown"
        if drains(standing, seen, section):
            holds = "part"
        open_ = any(standing.open.get(each) for each in section)
        pressure: Pressure = "relieved" if open_ else "may_stand"
        contents.append(Contents(holds, pressure, history))
    return State(standing, tuple(contents), frozenset(), seen)


@lru_cache(maxsize=16)
def fed_in_summer(piping: Piping) -> tuple[frozenset[str], ...]:
    """Return the sources that reach each cell in summer when zones and pumps run.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    tuple of frozenset of str
        Ids of sources, by cell. [-]
    """
    standing = _in_summer(piping)
    ways = tuple(
        BOTH if gate.kind == "diaphragm" else FORWARD if gate.kind == "pump" else way
        for way, gate in zip(standing.passing, piping.gates, strict=True)
    )
    reach = {key: spread(piping, [at], ways) for key, at in piping.supplies.items()}
    return tuple(
        frozenset(key for key, cells in reach.items() if cell in cells)
        for cell in range(len(piping.members))
    )
