"""What is known at one moment of a list, and how it is carried over to the next.

What is parted keeps what it held, on both sides. Pressure counts as let off only
through an opening that was seen to pass.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from maintenance.engine.procedure.contents import (
    HISTORIES,
    Contents,
    History,
    Holds,
    Pressure,
    merged,
)
from maintenance.engine.procedure.sections import LOW_OPENINGS, Standing
from maintenance.engine.procedure.sources import is_public, pushed_through
from maintenance.engine.procedure.spread import FORWARD, spread
from maintenance.engine.procedure.ways_out import WASTE, Opening


@dataclass(frozen=True, slots=True)
class State:
    """How the site stands, what each cell holds, what was proved and what was seen.

    ``proved`` holds shut valves that were watched for ten minutes and passed nothing;
    ``seen`` the openings that were seen to pass since they were opened.
    """

    standing: Standing
    contents: tuple[Contents, ...]
    proved: frozenset[str]
    seen: frozenset[str]

    def section(self, cells: Iterable[int]) -> Contents:
        """Return what some cells hold together.

        Parameters
        ----------
        cells : iterable of int
            The cells of a section. [-]

        Returns
        -------
        Contents
            Their contents merged. [-]
        """
        found = [self.contents[cell] for cell in cells]
        return merged(found) if len(found) > 1 else found[0]

    def seen_open(self, cell: int) -> tuple[Opening, ...]:
        """Return the openings of a cell that are open and were seen to pass.

        Parameters
        ----------
        cell : int
            The cell. [-]

        Returns
        -------
        tuple of Opening
            A head counts on its own zone, and beyond its zone valve once that was
            seen; automatic drains do not count, they may be plugged. [-]
        """
        return seen_openings(self.standing, self.seen, cell)


def seen_openings(
    standing: Standing, seen: frozenset[str], cell: int
) -> tuple[Opening, ...]:
    """Return the openings of a cell that are open and were seen to pass.

    Parameters
    ----------
    standing : Standing
        How the site stands. [-]
    seen : frozenset of str
        Elements seen to pass. [-]
    cell : int
        The cell. [-]

    Returns
    -------
    tuple of Opening
        As `State.seen_open`. [-]
    """
    found = []
    for opening in standing.open.get(cell, ()):
        if opening.element:
            counts = opening.element in seen
        elif opening.kind == "automatic_drain":
            counts = False
        else:
            on = [v for v in opening.valves if standing.positions[v] != "closed"]
            counts = not on or any(valve in seen for valve in on)
        if counts:
            found.append(opening)
    return tuple(found)


def settle(
    before: State,
    standing: Standing,
    *,
    seen: frozenset[str],
    proved: frozenset[str],
    blown: bool = False,
) -> State:
    """Carry what cells hold over to new positions.

    Parameters
    ----------
    before : State
        State before. [-]
    standing : Standing
        How the site stands now. [-]
    seen, proved : frozenset of str
        What was seen to pass and proved to hold, as of now. [-]
    blown : bool, optional
        True where a row of the blow-out has just been carried out. [-]

    Returns
    -------
    State
        State after. [-]
    """
    contents = list(before.contents)
    fed = frozenset[int]().union(*standing.reach.values())
    for section in standing.cells:
        was = before.section(section)
        pressed, air = not fed.isdisjoint(section), not standing.air.isdisjoint(section)
        if not pressed and not air and _rests(standing, before, section, was):
            continue
        pressure = _pressure(standing, seen, section, was, pressed or air)
        history = was.history
        if pressed or standing.piping.injectors:
            history = _worse_water(standing, section, history)
        runs_off = drains(standing, seen, section)
        dry = pressed and any(before.contents[c].holds != "water" for c in section)
        fills = dry and vents(standing, seen, section)
        for cell in section:
            holds = before.contents[cell].holds
            if pressed:
                holds = "water" if holds == "water" or fills else "part"
            elif blown and air:
                holds, history = "air", "air"
            elif (air or runs_off) and holds in ("water", "unknown"):
                holds = "part"
            contents[cell] = _now(before.contents[cell], holds, pressure, history)
    return State(standing, _spread_bad_water(standing, contents), proved, seen)


def _now(was: Contents, holds: Holds, pressure: Pressure, history: History) -> Contents:
    """Return what a cell holds now: the same value where nothing changed."""
    same = was.holds == holds and was.pressure == pressure and was.history == history
    return was if same else Contents(holds, pressure, history)


def _rests(
    standing: Standing, before: State, section: tuple[int, ...], was: Contents
) -> bool:
    """Whether nothing is left to change in a section that nothing presses on."""
    if was.pressure != "relieved" or was.holds not in ("part", "air"):
        return False
    # What is merged of equal contents is the first of them.
    if was is not before.contents[section[0]]:
        return False
    dosed = standing.piping.injectors.values()
    return not dosed or not any(cell in section for cell in dosed)


def _pressure(
    standing: Standing,
    seen: frozenset[str],
    section: tuple[int, ...],
    was: Contents,
    pressed: bool,
) -> Pressure:
    if pressed:
        return "on"
    if was.pressure == "relieved" or vents(standing, seen, section):
        return "relieved"
    return "may_stand"


def vents(standing: Standing, seen: frozenset[str], section: Iterable[int]) -> bool:
    """Whether pressure leaves some cells, by an opening of theirs or on through checks.

    Parameters
    ----------
    standing : Standing
        How the site stands. [-]
    seen : frozenset of str
        Elements seen to pass. [-]
    section : iterable of int
        The cells. [-]

    Returns
    -------
    bool
        False where no opening was seen to pass. [-]
    """
    onward = spread(standing.piping, section, _flows(standing))
    return any(seen_openings(standing, seen, cell) for cell in onward)


def drains(standing: Standing, seen: frozenset[str], section: Iterable[int]) -> bool:
    """Whether water leaves a section by its own weight, as far as the levels let it.

    Parameters
    ----------
    standing : Standing
        How the site stands. [-]
    seen : frozenset of str
        Elements seen to pass. [-]
    section : iterable of int
        The cells. [-]

    Returns
    -------
    bool
        True by a low opening seen to pass, a head without check, an automatic drain
        or the waste of a shut valve; a coupler or a hydrant lets air in and keeps the
        water. [-]
    """
    for cell in section:
        for opening in standing.open.get(cell, ()):
            if opening.kind in ("automatic_drain", WASTE):
                return True
        for opening in seen_openings(standing, seen, cell):
            if opening.kind == "head" or opening.kind in LOW_OPENINGS:
                return True
    return False


def _flows(standing: Standing) -> tuple[int, ...]:
    """Return the ways that water takes: also through a pump that it is pushed through."""
    pushed = pushed_through(standing.piping)
    return tuple(
        FORWARD if gate.id in pushed else way
        for way, gate in zip(standing.passing, standing.piping.gates, strict=True)
    )


def _worse_water(
    standing: Standing, section: tuple[int, ...], history: History
) -> History:
    piping = standing.piping
    found = [history]
    for cell in section:
        found.extend(
            "potable" if is_public(piping, source) else "not_potable"
            for source in standing.sources_at(cell)
        )
    dosed = any(
        cell in section and standing.positions[injector] == "in_place"
        for injector, cell in piping.injectors.items()
    )
    if dosed and max(found, key=HISTORIES.index) != "air":
        return "not_potable"
    return max(found, key=HISTORIES.index)


def _spread_bad_water(
    standing: Standing, contents: list[Contents]
) -> tuple[Contents, ...]:
    """Carry non-potable water on through checks, pumps and assemblies that run."""
    bad = [
        cell
        for cell, each in enumerate(contents)
        if each.history == "not_potable" and each.pressure == "on"
    ]
    onward = spread(standing.piping, bad, _flows(standing)) if bad else ()
    for cell in onward:
        each = contents[cell]
        if each.pressure == "on" and each.history != "not_potable":
            contents[cell] = replace(contents[cell], history="not_potable")
    return tuple(contents)
