"""Where something gets to from cell to cell."""

from collections.abc import Callable, Iterable
from typing import Final

from maintenance.engine.procedure.piping import Gate, Piping

FORWARD, BACKWARD = 1, 2
BOTH: Final = FORWARD | BACKWARD


def spread(
    piping: Piping,
    starts: Iterable[int],
    passes: Callable[[int, Gate], int] | tuple[int, ...],
) -> frozenset[int]:
    """Return the cells that something spreads to from some cells.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    starts : iterable of int
        Where it begins. [-]
    passes : callable or tuple of int
        The ways each gate passes, by number or from its number and itself. [-]

    Returns
    -------
    frozenset of int
        The starts and all that is reached. [-]
    """
    seen = set(starts)
    queue = list(seen)
    while queue:
        cell = queue.pop()
        for number in piping.at[cell]:
            gate = piping.gates[number]
            way = passes[number] if isinstance(passes, tuple) else passes(number, gate)
            forward = gate.start == cell
            other = gate.end if forward else gate.start
            if other not in seen and way & (FORWARD if forward else BACKWARD):
                seen.add(other)
                queue.append(other)
    return frozenset(seen)
