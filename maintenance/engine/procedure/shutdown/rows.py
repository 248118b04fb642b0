"""Rows of the sheet one after the other, and the change from each to the next.

By the controller the air goes off before the station ends; or the next zone is seen
running before the last one is stopped. By hand: air off, gauge zero, change, walk
clear, open slowly. Each move in between is a change of its own, so that it is checked.
"""

from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.sections import stand
from maintenance.engine.procedure.shutdown.change_over import (
    closed_by_hand,
    opened_by_hand,
    started,
    stopped_after,
)
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.drains import closed_again, shut_openings
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.row_steps import (
    AIR_OFF,
    AIR_ON,
    Changes,
    blown,
    called,
    from_controller,
    opening_of,
    outlet_of,
)
from maintenance.engine.procedure.step import Change, Step


def blow_row(draft: Draft, row: RowSheet, before: RowSheet | None) -> None:
    """Write the steps of one row, from the change-over to its last pass.

    Parameters
    ----------
    draft : Draft
        The list so far, the hose connected and the regulator set. [-]
    row : RowSheet
        The row. [-]
    before : RowSheet or None
        The row before it from the same port, whose outlet is still open. [-]
    """
    given = draft.given
    _shut_in_zone(draft, row, before)
    if _air_stays_on(given, row):
        if before is not None and draft.positions[COMPRESSOR] == "on":
            draft.add(started(given, row, (), while_runs=called(before)))
            draft.add(stopped_after(before, outlet_of(given, before)))
            draft.add(blown(given, row, changes=(), during=()))
            return
        draft.add(started(given, row, _leave(draft, before), while_runs=""))
        draft.add(blown(given, row, changes=(AIR_ON,), during=()))
        return
    air_off(draft)
    stopped = _leave(draft, before)
    if from_controller(given, row):
        moves = (*stopped, opening_of(given, row))
        draft.add(blown(given, row, changes=moves, during=(AIR_ON,)))
    else:
        draft.add(opened_by_hand(given, row, stopped))
        draft.add(blown(given, row, changes=(), during=(AIR_ON,)))


def air_off(draft: Draft) -> None:
    """Write that the air goes off, where it stays on between steps.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    if draft.positions[COMPRESSOR] == "on":
        draft.add(
            Step(
                key="switch_off air",
                act="switch_off",
                on=COMPRESSOR,
                to="off",
                text="Air off. Leave the zone open until the gauge reads zero.",
                why="What comes next is changed with no pressure on it.",
                minutes=1,
                changes=(AIR_OFF,),
            )
        )


def shut_last(draft: Draft, row: RowSheet) -> None:
    """Write that the outlet of the last row is shut, the hose being off.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    row : RowSheet
        The last row from this port. [-]
    """
    why = "It stayed open to let the last air out."
    stopped = _leave(draft, row, why)
    if stopped:
        outlet = stopped[0].element
        draft.add(
            Step(
                key=f"close {outlet}",
                act="close",
                on=outlet,
                to="closed",
                text=f"Now stop {called(row)}.",
                why=why,
                minutes=1,
                changes=stopped,
            )
        )


def _air_stays_on(given: Given, row: RowSheet) -> bool:
    """Whether the air stays on after a row: as chosen, and where one pass does."""
    chosen = given.choices.change_over == "next_first"
    return chosen and len(row.passes) == 1 and from_controller(given, row)


def _shut_in_zone(draft: Draft, row: RowSheet, before: RowSheet | None) -> None:
    """Shut the drains of a zone before it is blown."""
    opens = opening_of(draft.given, row)
    positions = {**draft.positions, opens.element: opens.position, COMPRESSOR: "on"}
    air = stand(draft.given.piping, positions).air
    last = outlet_of(draft.given, before) if before is not None else ""
    shut_openings(draft, air, frozenset({opens.element, row.row.port, last}))


def _leave(draft: Draft, before: RowSheet | None, why: str = "") -> Changes:
    """Shut the outlet of the row before, in steps of its own where by hand.

    Returns what a controller stops by itself, for the next step to carry.
    """
    if before is None:
        return ()
    outlet = outlet_of(draft.given, before)
    if from_controller(draft.given, before):
        return (Change(outlet, "closed"),)
    if before.row.kind == "zone":
        draft.add(closed_by_hand(before, outlet))
        return ()
    everywhere = range(len(draft.given.piping.members))
    for opening in draft.openings(everywhere):
        if opening.element == outlet:
            first = "Air off, gauge at zero. "
            draft.add(closed_again(draft, opening, first=first, why=why))
    return ()
