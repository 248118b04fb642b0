"""Whether each source is held: a drain behind it watched for ten minutes."""

from dataclasses import replace
from typing import Final

from maintenance.engine.figure import Figure, Input
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import LOW_OPENINGS, Standing, stand
from maintenance.engine.procedure.shutdown import citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import (
    held_from,
    idle_pumps,
    source_valves,
)
from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.spread import spread
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.units import display, parse_quantity

WATCH_MINUTES: Final = 10.0
"""How long a shut valve is watched; common practice, no source."""
LEAK_M3_PER_S: Final = parse_quantity("0.25 L", "volume") / (WATCH_MINUTES * 60.0)
"""A cup in the time of watching: the least that a person can tell from a drip."""


def prove_sources(draft: Draft, blown: frozenset[int]) -> None:
    """Write the steps that show whether each source is held.

    Parameters
    ----------
    draft : Draft
        The list so far, drained. [-]
    blown : frozenset of int
        Cells that are blown later. [-]
    """
    idle = idle_pumps(draft)
    for valve in source_valves(draft):
        _prove(draft, valve, blown, ())
    for valve in held_from(draft, idle):
        _prove(draft, valve, blown, idle)


def _prove(
    draft: Draft, valve: str, blown: frozenset[int], pumps: tuple[str, ...]
) -> None:
    if valve in draft.state.proved:
        return
    watched = _watched(draft, valve, pumps)
    place = _watching_place(draft, watched)
    if place is None:
        draft.warn(
            "cannot_prove",
            f"Nothing behind {valve} can be opened to see whether it holds: fit a drain "
            "there, or take it that it weeps.",
            valve,
        )
        return
    at, opens = place
    step = _watch(draft, valve, at, opens, pumps)
    weeps = _if_it_weeps(draft, valve, at, watched & blown)
    draft.add(replace(step, cautions=weeps))
    if opens is None:
        draft.watched[valve] = at


def time_to_refill(piping: Piping, standing: Standing, valve: str) -> Figure:
    """Return how soon a source valve that weeps a cup in ten minutes fills its line.

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
    Figure
        Bore of all pipe that the leak can run on to, up to the zone valves, over the
        leak; without a value where a bore is not known. [s]
    """
    volume = volume_behind(piping, standing, valve)
    return Figure(
        None if volume is None else volume / LEAK_M3_PER_S,
        "hours",
        "Bore of all pipe behind the valve, up to the zone valves, over the leak.",
        ("volume over flow",),
        inputs=(
            Input("leak", "0.25 L in 10 min", "assumed"),
            Input("volume", display(volume, "volume"), "computed"),
        ),
        assumptions=(
            "the line is empty and no drain is open",
            "bores from outside diameter and least wall: the most that a pipe holds",
        ),
        rounding="down",
        missing="unknown: enter the size of every pipe behind the valve",
    )


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
    draft: Draft,
    valve: str,
    at: str,
    opens: Change | None,
    pumps: tuple[str, ...],
) -> Step:
    look = f"Watch {at} for ten minutes and catch what comes."
    if opens is not None:
        look = f"Open {at} and watch it for ten minutes."
        if at in draft.given.zones:
            look = f"Open {at} and watch its lowest head for ten minutes."
    run = f"Let {listed(pumps)} run meanwhile. " if pumps else ""
    during = (*(Change(pump, "on") for pump in pumps), *((opens,) if opens else ()))
    return Step(
        key=f"prove_holding {valve}",
        act="prove_holding",
        on=valve,
        to="holds",
        text=f"{run}{look} Nothing more may come: then {valve} holds.",
        why="A valve that weeps fills the emptied line again, unseen, and it freezes.",
        source=citations.CONTRACTORS + "; ten minutes: common practice, no source",
        minutes=WATCH_MINUTES,
        during=during,
        sees=(at,),
    )


def _if_it_weeps(
    draft: Draft, valve: str, at: str, blown: frozenset[int]
) -> tuple[str, ...]:
    given = draft.given
    refill = time_to_refill(given.piping, draft.standing, valve)
    fills = "; how soon it fills the line again is unknown, a pipe's size is missing."
    if refill.value is not None:
        volume = given.shown(refill.value * LEAK_M3_PER_S, "volume")
        fills = f" and fills the {volume} behind it again in about {refill.text()}."
    rate = (
        "If it weeps: litres caught, times 6, is litres an hour. A cup (0.25 L) makes "
        f"{LEAK_M3_PER_S * 3.6e6:.1f} L an hour{fills}"
    )
    stays = at in draft.state.seen and at not in given.zones
    stays = bool(
        stays and {"open", "half_open"} & set(given.piping.elements[at].winter)
    )
    if blown:
        then = (
            "Then no air before it holds, for water would follow the air: shut the next "
            "valve up the line, or have it mended first."
        )
    elif stays:
        then = (
            f"Then leave {at} open all winter, tag it, and have {valve} "
            "mended before spring."
        )
    else:
        then = "Then shut the next valve up the line, or have it mended first."
    return rate, then


def _watched(draft: Draft, valve: str, pumps: tuple[str, ...]) -> frozenset[int]:
    """Return the cells of the sections behind a shut source valve."""
    positions = {**draft.positions, **dict.fromkeys(pumps, "on")}
    standing = stand(draft.given.piping, positions)
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
) -> tuple[str, Change | None] | None:
    """Return what to watch, and how it is opened for that where it is shut.

    The lowest opening that runs; else a port or a cap taken off meanwhile; else a zone.
    """
    given = draft.given
    found = [o for o in draft.openings(watched) if o.kind in LOW_OPENINGS]
    running = [o for o in found if o.element in draft.state.seen]
    if running:
        return min(running, key=given.height_m).element, None
    shut = [o.element for o in sorted(found, key=given.height_m)]
    zones = [
        gate.id
        for gate in given.piping.gates
        if gate.kind == "diaphragm" and gate.start in watched and gate.id in given.zones
    ]
    for element in (*shut, *zones):
        opens = Change(element, "open")
        trial = Step(
            key="try",
            act="check",
            on=element,
            text="",
            during=(opens,),
            sees=(element,),
        )
        if not draft.breaks(trial):
            return element, opens
    return None
