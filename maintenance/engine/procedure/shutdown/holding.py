"""Whether each source is held: a drain behind it watched for ten minutes."""

import math
from typing import Final

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import LOW_OPENINGS, Standing
from maintenance.engine.procedure.shutdown import citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import source_valves
from maintenance.engine.procedure.spread import spread
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.procedure.ways_out import Opening
from maintenance.engine.units import parse_quantity

WATCH_MINUTES: Final = 10.0
"""How long a shut valve is watched; common practice, no source."""
CUP_M3: Final = parse_quantity("0.25 L", "volume")
"""What a person can tell from a drip: a cup."""


def prove_sources(draft: Draft, blown: frozenset[int]) -> None:
    """Write the steps that show whether each source is held.

    Parameters
    ----------
    draft : Draft
        The list so far, drained. [-]
    blown : frozenset of int
        Cells that are blown later. [-]
    """
    for valve in source_valves(draft):
        if valve in draft.state.proved:
            continue
        watched = _watched(draft, valve)
        where = _watching_place(draft, watched)
        if where is None:
            draft.warn(
                "cannot_prove",
                f"Nothing behind {valve} can be opened to see whether it holds: fit a "
                "drain there, or take it that it weeps.",
                valve,
            )
            continue
        opening, zone = where
        if opening is not None:
            draft.watched[valve] = opening.element
        draft.add(_watch(draft, valve, opening, zone, watched & blown))


def volume_behind(piping: Piping, standing: Standing, valve: str) -> float | None:
    """Return the bore of all pipe that a weeping source valve would fill.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    standing : Standing
        How it stands with the valve shut. [-]
    valve : str
        Id of the valve, or of the source where that is turned off. [-]

    Returns
    -------
    float or None
        Up to the zone valves; None where a bore is not known. [m³]
    """
    cells = spread(piping, _dry_ends(piping, standing, valve), standing.passing)
    total = 0.0
    for key, bore in piping.graph.bores.items():
        if piping.cell_of[piping.graph.links[key].from_] not in cells:
            continue
        if bore.volume_m3 is None:
            return None
        total += bore.volume_m3
    return total


def _watch(
    draft: Draft, valve: str, opening: Opening | None, zone: str, blown: frozenset[int]
) -> Step:
    at = opening.element if opening else zone
    during = () if opening else (Change(zone, "open"),)
    look = f"Watch {at} for ten minutes and catch what comes."
    if opening is None:
        look = f"Open {zone} and watch its lowest head for ten minutes."
    return Step(
        key=f"prove_holding {valve}",
        act="prove_holding",
        on=valve,
        to="holds",
        text=f"{look} Nothing more may come: then {valve} holds.",
        why="A valve that weeps fills the emptied line again, unseen, and it freezes.",
        cautions=_if_it_weeps(draft, valve, opening, blown),
        source=citations.CONTRACTORS + "; ten minutes: common practice, no source",
        minutes=WATCH_MINUTES,
        during=during,
        sees=(at,),
    )


def _if_it_weeps(
    draft: Draft, valve: str, opening: Opening | None, blown: frozenset[int]
) -> tuple[str, ...]:
    given = draft.given
    an_hour = CUP_M3 * 60.0 / WATCH_MINUTES
    volume = volume_behind(given.piping, draft.standing, valve)
    fills = "; how soon it fills the line again is unknown, a pipe's size is missing."
    if volume is not None:
        hours = max(1, math.floor(volume / an_hour))
        fills = (
            f" and fills the {given.shown(volume, 'volume')} behind it again in about "
            f"{hours} h."
        )
    rate = (
        f"If it weeps: litres caught, times 6, is litres an hour. A cup (0.25 L) makes "
        f"{an_hour * 1000:.1f} L an hour{fills}"
    )
    element = given.piping.elements[opening.element] if opening else None
    stays = element is not None and {"open", "half_open"} & set(element.winter)
    if blown:
        then = (
            "Then no air before it holds, for water would follow the air: shut the next "
            "valve up the line, or have it mended first."
        )
    elif stays and opening is not None:
        then = (
            f"Then leave {opening.element} open all winter, tag it, and have {valve} "
            "mended before spring."
        )
    else:
        then = "Then shut the next valve up the line, or have it mended first."
    return rate, then


def _watched(draft: Draft, valve: str) -> frozenset[int]:
    """Return the cells of the sections behind a shut source valve."""
    standing = draft.standing
    ends = _dry_ends(draft.given.piping, standing, valve)
    return frozenset(
        cell for end in ends for cell in standing.cells[standing.section_of[end]]
    )


def _dry_ends(piping: Piping, standing: Standing, valve: str) -> list[int]:
    if valve in piping.supplies:
        return [piping.supplies[valve]]
    gate = next(g for g in piping.gates if g.id == valve)
    pressed = {cell for cells in standing.reach.values() for cell in cells}
    return [cell for cell in (gate.start, gate.end) if cell not in pressed]


def _watching_place(
    draft: Draft, watched: frozenset[int]
) -> tuple[Opening | None, str] | None:
    """Return the lowest opening that runs, else a zone to watch, else nothing."""
    given = draft.given
    running = [
        opening
        for opening in draft.openings(watched)
        if opening.element in draft.state.seen and opening.kind in LOW_OPENINGS
    ]
    if running:
        return min(running, key=given.height_m), ""
    valves = [
        gate.id
        for gate in given.piping.gates
        if gate.kind == "diaphragm" and gate.start in watched and gate.id in given.zones
    ]
    return (None, valves[0]) if valves else None
