"""Letting a little water in again, with a zone open at the top for the air."""

from typing import Final

from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.startup.air_outlets import air_outlets
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_ways import wastes_half_open

_SLOWLY: Final = "contractors' pages on spring start-up (open slowly, five minutes)"
_MINUTES: Final = {"turn": 2.0, "fill": 5.0}
"""Common practice, no source [min]."""


def newly_pressed(draft: Draft, key: str, target: str) -> frozenset[int]:
    """Return the cells that a source would newly press on.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    key, target : str
        Element and the position that it would be brought to. [-]

    Returns
    -------
    frozenset of int
        Empty where nothing would flow. [-]
    """
    moved = stand(draft.piping, {**draft.positions, key: target})
    return _pressed(moved) - _pressed(draft.standing)


def let_in(draft: Draft, key: str, target: str) -> tuple[str, ...]:
    """Write how water is let in through one part, and that part brought to a position.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    key, target : str
        What is opened or switched on, and to which position. [-]

    Returns
    -------
    tuple of str
        Ids of points whose air has no way out on record. [-]
    """
    piping = draft.piping
    moved = stand(piping, {**draft.positions, key: target})
    new = newly_pressed(draft, key, target)
    outlets, stuck = air_outlets(piping, moved, new, kinds=("zone_valve", "hydrant"))
    outlets = tuple(each for each in outlets if each.kind != "quick_coupler")
    for outlet in outlets:
        draft.add(
            "open",
            outlet.element,
            f"Open {draft.name(outlet.element)}, by hand or from the controller.",
            to="open",
            why="The air leaves by it.",
            moves=[(outlet.element, "open")],
            minutes=_MINUTES["turn"],
        )
    valve = target == "open" and not wastes_half_open(piping, key)
    little = "half_open" if valve else target
    name = draft.name(key)
    runs = listed([draft.short(each.element) for each in outlets]) or "the far end"
    turn = "Switch on" if piping.elements[key].kind == "pump" else "Turn on"
    draft.add(
        "fill",
        key,
        f"{f'Open {name} a little' if target == 'open' else f'{turn} {name}'}, and wait "
        f"until {runs} runs without air.{draft.where(key)}",
        to=little,
        why="Fast water drives the last air out with a blow.",
        source=_SLOWLY,
        moves=[(key, little)],
        sees=tuple(each.element for each in outlets),
        minutes=_MINUTES["fill"],
    )
    for outlet in reversed(outlets):
        draft.add(
            "close",
            outlet.element,
            f"Shut {draft.short(outlet.element)}, slowly.",
            to="closed",
            why="The air is out.",
            moves=[(outlet.element, "closed")],
            minutes=_MINUTES["turn"],
        )
    if little != target:
        draft.add(
            "open",
            key,
            f"Open {name} slowly, all the way: take five minutes.",
            to=target,
            why="The pressure must rise slowly.",
            source=_SLOWLY,
            moves=[(key, target)],
            minutes=_MINUTES["fill"],
        )
    points = (p for cell in stuck for p in piping.members[cell])
    return tuple(sorted(p for p in points if p in piping.graph.points))


def _pressed(standing: Standing) -> frozenset[int]:
    return frozenset[int]().union(*standing.reach.values())
