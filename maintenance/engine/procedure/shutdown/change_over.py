"""From one row to the next: by hand with the air off, or by the controller."""

from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.names import noted, part_words
from maintenance.engine.procedure.shutdown.pressure import station
from maintenance.engine.procedure.shutdown.row_steps import (
    Changes,
    called,
    opening_of,
    place_of,
)
from maintenance.engine.procedure.step import Change, Step


def opened_by_hand(given: Given, row: RowSheet, stopped: Changes) -> Step:
    """Return the step that opens an outlet by hand, the air off.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row. [-]
    stopped : tuple of Change
        What stops at the same time: the station of the row before. [-]

    Returns
    -------
    Step
        Air off, gauge zero, open, walk clear. [-]
    """
    opens = opening_of(given, row)
    point = given.graph.points.get(opens.element)
    name = part_words(point) if point is not None else place_of(given, row)
    kind = point.kind if point is not None else "zone_valve"
    texts = {
        "quick_coupler": f"Put the key into {name}.",
        "end": f"Take the {name} off.",
        "zone_valve": f"Open {name} by hand.",
    }
    note = noted(point) if point is not None else ""
    return Step(
        key=f"open {opens.element} for air",
        act="open",
        on=opens.element,
        to=opens.position.replace("_", " "),
        text=(
            f"Air off, gauge at zero. {texts.get(kind, f'Open {name}.')} See it open, "
            f"then walk clear.{note}"
        ),
        why="Never air with all outlets shut; open is what was seen open.",
        cautions=(cautions.KEY if kind == "quick_coupler" else cautions.ZERO_FIRST,),
        source=citations.TURF,
        minutes=2,
        changes=(*stopped, opens),
        sees=(opens.element,),
    )


def closed_by_hand(row: RowSheet, valve: str) -> Step:
    """Return the step that shuts a zone valve by hand, the air off.

    Parameters
    ----------
    row : RowSheet
        The row that it belongs to. [-]
    valve : str
        Id of the valve. [-]

    Returns
    -------
    Step
        Gauge zero, then shut. [-]
    """
    return Step(
        key=f"close {valve} by hand",
        act="close",
        on=valve,
        to="closed",
        text=f"Air off, gauge at zero. Shut {valve} by hand ({called(row)}).",
        why="The next row gets all the air.",
        cautions=(cautions.ZERO_FIRST,),
        source=citations.TURF,
        minutes=1,
        changes=(Change(valve, "closed"),),
    )


def started(given: Given, row: RowSheet, stopped: Changes, *, while_runs: str) -> Step:
    """Return the step that starts a station, to let the air on or while it is on.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row whose zone starts. [-]
    stopped : tuple of Change
        What stops at the same time, the air being off. [-]
    while_runs : str
        The zone that still runs with the air on; empty where the air is off. [-]

    Returns
    -------
    Step
        Start, see it. [-]
    """
    opens = opening_of(given, row)
    with_air = f" while {while_runs} still runs" if while_runs else ""
    seen = " See its heads pass." if while_runs else ""
    return Step(
        key=f"open {opens.element} for air",
        act="open",
        on=opens.element,
        to="running",
        text=f"{station(given, opens.element)}{with_air}: {place_of(given, row)}.{seen}",
        why="The air must never find all outlets shut.",
        cautions=(cautions.NEVER_ALL_SHUT,) if while_runs else (),
        source=citations.TURF,
        minutes=0.5,
        changes=(*stopped, opens),
        sees=(opens.element,),
    )


def stopped_after(row: RowSheet, valve: str) -> Step:
    """Return the step that stops a station once the next zone is seen running.

    Parameters
    ----------
    row : RowSheet
        The row that stops. [-]
    valve : str
        Id of its valve. [-]

    Returns
    -------
    Step
        Stop. [-]
    """
    return Step(
        key=f"close {valve} with air on",
        act="close",
        on=valve,
        to="closed",
        text=f"The next zone runs: now stop {called(row)}.",
        why="Two zones at once share the air, and neither clears.",
        source=citations.TURF,
        minutes=0.5,
        changes=(Change(valve, "closed"),),
    )
