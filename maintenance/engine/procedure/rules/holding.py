"""No section is left behind a source valve that may weep."""

from collections.abc import Iterator

from maintenance.engine.procedure.piping import Gate
from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.procedure.sections import LOW_OPENINGS
from maintenance.engine.procedure.sources import pushed_through
from maintenance.engine.procedure.spread import BACKWARD, BOTH, FORWARD
from maintenance.engine.procedure.state import State


def _blown_behind_weeping(moment: Moment) -> Iterator[Breach]:
    air = moment.after.standing.air
    if not air:
        return
    for cell, valve in _weeps(moment.after).items():
        if cell in air and not _to_daylight(moment.after, cell):
            yield Breach(
                ("blown", valve),
                f"Air is on behind {valve}, which was not proved to hold: water would "
                "follow the air. Watch a drain behind it for ten minutes first.",
            )


def _left_behind_weeping(moment: Moment) -> Iterator[Breach]:
    if moment.season != "shutdown":
        return
    for cell, valve in _weeps(moment.after).items():
        if not _to_daylight(moment.after, cell):
            at = moment.after.standing.name(cell)
            yield Breach(
                ("left", valve, at),
                f"The section at {at} is left for winter behind {valve}, which was not "
                "proved to hold, and no drain there stands open: prove it, or leave a "
                "drain open.",
            )


def _weeps(state: State) -> dict[int, str]:
    """Return the cells that a weeping source valve could fill, and that valve.

    The leak runs on from valve to valve, and no further than a section that a low
    opening, seen to pass, drains to daylight.
    """
    standing, piping = state.standing, state.standing.piping
    behind = {cell: "" for cells in standing.reach.values() for cell in cells}
    for supply, cell in piping.supplies.items():
        if standing.positions[supply] == "off" and supply not in state.proved:
            behind.setdefault(cell, supply)
    queue = list(behind)
    while queue:
        cell = queue.pop()
        valve = behind[cell]
        drained = bool(valve) and _to_daylight(state, cell)
        for number in piping.at[cell]:
            gate, way = piping.gates[number], standing.passing[number]
            forward = gate.start == cell
            other = gate.end if forward else gate.start
            if other in behind or (drained and way != BOTH):
                continue
            if way & (FORWARD if forward else BACKWARD):
                behind[other] = valve
            elif _may_weep(state, gate):
                behind[other] = valve or gate.id
            else:
                continue
            queue.append(other)
    return {cell: valve for cell, valve in behind.items() if valve}


def _may_weep(state: State, gate: Gate) -> bool:
    """Whether a shut gate that should stop water was never proved to."""
    positions, piping = state.standing.positions, state.standing.piping
    if positions.get(gate.link) == "removed":
        return False
    if gate.kind == "pump":
        dead = positions[gate.id] == "proved_dead"
        return not dead or gate.id in pushed_through(piping)
    return gate.kind in ("valve", "diaphragm") and gate.id not in state.proved


def _to_daylight(state: State, cell: int) -> bool:
    standing = state.standing
    return any(
        opening.kind in LOW_OPENINGS
        for each in standing.cells[standing.section_of[cell]]
        for opening in state.seen_open(each)
    )


PROVED_TO_HOLD = Rule(
    "I11",
    "No section behind a source valve that was not proved to hold",
    "What is blown, or left for winter, stands behind source valves that were watched "
    "and held, or is drained to daylight.",
    "damage",
    "a weeping valve refills the line: contractors' practice (pages, names withheld); ten "
    "minutes: common practice, no source",
    _blown_behind_weeping,
    _left_behind_weeping,
)
