"""The way that foreign water or air would take, and the fewest valves that stop it."""

from collections import deque
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from maintenance.engine.procedure.piping import Gate, Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sections import is_shut

Barrier = Callable[[Gate], int | None]
"""What an assembly costs against its direction: None where nothing gets past it."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way with the fewest things shut on it: how many, and which valves they are."""

    shut: int
    valves: tuple[str, ...]


def fewest_shut(
    piping: Piping,
    positions: Positions,
    starts: Mapping[int, int],
    goals: Collection[int],
    barrier: Barrier,
    *,
    without: Gate | None = None,
) -> Way | None:
    """Find the way from some cells to others past the fewest shut valves.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]
    starts : mapping of int to int
        Cells where it begins, and what is shut before them already. [-]
    goals : collection of int
        Cells where it must not get to. [-]
    barrier : callable
        What an assembly, or a zone valve with a vacuum breaker, costs backwards. [-]
    without : Gate, optional
        A gate that is left out. [-]

    Returns
    -------
    Way or None
        None where no way is left even with every valve counted as open. [-]

    Notes
    -----
    Shortest path with weights 0 and 1 (double-ended queue), searched from the goals,
    since little lies before a barrier. Isolation valves and
    shut-offs weigh 1 where shut; a pump at rest weighs 1 forward; check valves, zone
    valves and pumps backwards weigh nothing: none of them is a barrier.
    """
    best: Way | None = None
    done: set[int] = set()
    queue: deque[tuple[int, Way]] = deque((cell, Way(0, ())) for cell in goals)
    while queue:
        cell, way = queue.popleft()
        if best is not None and way.shut >= best.shut:
            break
        if cell in done:
            continue
        done.add(cell)
        if cell in starts and (best is None or way.shut + starts[cell] < best.shut):
            best = Way(way.shut + starts[cell], way.valves)
        for number in piping.at[cell]:
            gate = piping.gates[number]
            forward = gate.end == cell
            cost = _cost(piping, positions, gate, forward, barrier)
            other = gate.start if forward else gate.end
            if cost is None or other in done or gate is without:
                continue
            if cost == 0:
                queue.appendleft((other, way))
            else:
                queue.append((other, Way(way.shut + cost, (gate.id, *way.valves))))
    return best


def blocks(piping: Piping, *devices: str) -> Barrier:
    """Return the barrier that some kinds of assembly make, and no other.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    *devices : str
        Kinds as in the site file. [-]

    Returns
    -------
    callable
        The barrier. [-]
    """

    def barrier(gate: Gate) -> int | None:
        link = piping.assembly(gate)
        return None if link is not None and link.device in devices else 0

    return barrier


def _cost(
    piping: Piping, positions: Positions, gate: Gate, forward: bool, barrier: Barrier
) -> int | None:
    if positions.get(gate.link) == "removed":
        return None
    if gate.kind == "assembly":
        return 0 if forward else barrier(gate)
    if gate.kind == "valve":
        return int(is_shut(piping, positions, gate.id))
    if gate.kind == "pump" and forward:
        return int(positions[gate.id] != "on")
    if gate.kind == "diaphragm" and not forward:
        return barrier(gate)
    return 0
