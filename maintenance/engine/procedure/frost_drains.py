"""The draining of a frost card: what is opened, in which order, where the water runs."""

from collections.abc import Collection, Iterator
from typing import Final

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.elements import (
    SHUTOFF_1,
    SHUTOFF_2,
    TEST_COCKS,
    part_element,
)
from maintenance.engine.procedure.exposed import Exposed, exposed_cells
from maintenance.engine.procedure.frost_water import Lowering, choose_lowering
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.wording import both
from maintenance.engine.procedure.step import Procedure, StaysOpen
from maintenance.engine.site import ZoneValve

_ADVICE: Final = (
    "KUSA and KMTV (19 April 2024), advice to owners: drain the assembly for the night, "
    "valves at 45 degrees"
)
_ICE: Final = "The water freezes where it runs: lead it off paths, and keep people off."
_COCKS_STAY: Final = "So that the body of the assembly stays empty."
_VALVE_STAYS: Final = "So that no water is caught in the ball of the valve."
_FACE: Final = "Keep your face away: the first water may still squirt."
_MINUTES: Final = {"turn": 2.0, "drain": 5.0, "run": 10.0}
"""Common practice, no source [min]."""
_SAID: Final = {"open": "fully open", "half_open": "half open (45 degrees)"}


def drain_exposed(
    draft: Draft, exposed: Exposed, pressed: Collection[str]
) -> tuple[StaysOpen, ...]:
    """Write how the exposed parts are drained, the water being off.

    Parameters
    ----------
    draft : Draft
        The card so far. [-]
    exposed : Exposed
        What stands in the open air. [-]
    pressed : collection of str
        Exposed parts that a source still presses on: they are left alone. [-]

    Returns
    -------
    tuple of StaysOpen
        What must stay open till the morning. [-]
    """
    piping = draft.piping
    draft.block = "Drain what stands in the open"
    assemblies = [key for key in exposed.assemblies if key not in pressed]
    parts = [
        each
        for key in assemblies
        for each in winter_parts(piping, key)
        if draft.positions[each[0]] != each[1]
    ]
    lowering = choose_lowering(piping, {**draft.positions, **dict(parts)}, exposed)
    zones = lowering.zones or _for_relief(draft, assemblies)
    for number, valve in enumerate(zones):
        _run_down(draft, valve, lowering, first=number == 0)
    for drain in lowering.drains:
        _open_drain(draft, drain)
    for key in assemblies:
        _open_assembly(draft, key, dict(parts))
    for valve in zones:
        _shut_again(draft, valve, lowers=valve in lowering.zones)
    for valve in exposed.valves:
        if valve not in pressed:
            _empty_valve(draft, valve)
    if lowering.still_wet:
        draft.warnings.append(
            Warning(
                "stays_wet",
                "Water stays in these exposed pipes whatever is opened: wrap them.",
                lowering.still_wet,
            )
        )
    return tuple(_stays(draft, lowering, parts))


def winter_parts(piping: Piping, assembly: str) -> list[tuple[str, str]]:
    """Return how the parts of an assembly stand for a night: as for winter.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    assembly : str
        Id of the link. [-]

    Returns
    -------
    list of (str, str)
        Shut-offs, then test cocks, with their positions. [-]
    """
    found = []
    for part in (SHUTOFF_1, SHUTOFF_2, TEST_COCKS):
        element = piping.elements.get(part_element(assembly, part))
        if element is not None:
            found.append((element.id, element.winter[0]))
    return found


def _for_relief(draft: Draft, assemblies: Collection[str]) -> tuple[str, ...]:
    """Return a zone valve that lets the pressure off behind the assemblies."""
    standing, piping = draft.standing, draft.piping
    cells = {
        cell
        for each in exposed_cells(piping, assemblies)
        for cell in standing.cells[standing.section_of[each]]
        if draft.holds(each).pressure != "relieved" and not standing.sources_at(each)
    }
    watering = {valve for o in piping.openings for valve in o.valves}
    found = [
        gate.id
        for gate in piping.gates
        if gate.kind == "diaphragm" and gate.start in cells and gate.id in watering
    ]
    return tuple(found[:1])


def _run_down(draft: Draft, valve: str, lowering: Lowering, *, first: bool) -> None:
    amount = ""
    if first and valve in lowering.zones and lowering.let_out_m3:
        amount = f" About {both(lowering.let_out_m3, 'volume', 'up')} run out in all."
    link = draft.piping.graph.links[valve]
    station = link.station if isinstance(link, ZoneValve) else None
    how = f"Run station {station}, " if station is not None else "Open "
    draft.add(
        "relieve",
        valve,
        f"{how}{draft.name(valve)}, and leave it on.{amount}",
        to="open",
        why=(
            "Its heads let the pressure off, and lie low enough to let the water down."
            if valve in lowering.zones
            else "Its heads let the pressure off."
        ),
        cautions=(_ICE,),
        moves=[(valve, "open")],
        sees=(valve,),
        minutes=_MINUTES["turn"],
    )


def _open_drain(draft: Draft, drain: str) -> None:
    draft.add(
        "relieve",
        drain,
        f"Open {draft.name(drain)}: the water runs out there.{draft.where(drain)}",
        to="open",
        why="What lies under the assembly empties here, and what weeps runs off.",
        cautions=_ice_once(draft),
        source=_ADVICE,
        moves=[(drain, "open")],
        sees=(drain,),
        minutes=_MINUTES["drain"],
    )


def _open_assembly(draft: Draft, assembly: str, parts: dict[str, str]) -> None:
    cocks = part_element(assembly, TEST_COCKS)
    own = [key for key in parts if draft.piping.elements[key].part == assembly]
    for key in own:
        position = parts[key]
        said = _SAID.get(position, position.replace("_", " "))
        is_cocks = key == cocks
        draft.add(
            "relieve" if is_cocks else "set",
            key,
            f"Turn {draft.name(key)} {said}"
            + (": the water runs out there." if is_cocks else ".")
            + draft.where(key),
            to=position,
            why=(
                "The body empties through them, and air gets in."
                if is_cocks
                else "Half turned, the ball of the valve keeps no water."
            ),
            cautions=(_FACE, _ICE) if is_cocks else (),
            source=_ADVICE,
            moves=[(key, position)],
            sees=(key,) if is_cocks and position != "closed" else (),
            minutes=_MINUTES["drain"] if is_cocks else _MINUTES["turn"],
        )


def _shut_again(draft: Draft, valve: str, *, lowers: bool) -> None:
    draft.add(
        "close",
        valve,
        f"Wait until the heads of {draft.short(valve)} run no more; then shut it.",
        to="closed",
        why=(
            "By then the water stands lower than what is exposed."
            if lowers
            else "By then the pressure is gone."
        ),
        moves=[(valve, "closed")],
        minutes=_MINUTES["run"] if lowers else _MINUTES["turn"],
    )


def _empty_valve(draft: Draft, valve: str) -> None:
    draft.add(
        "run",
        valve,
        f"With the water off, open {draft.name(valve)} until nothing drips; then shut "
        f"it.{draft.where(valve)}",
        why="So the valve body empties, and its vacuum breaker lets air in.",
        cautions=_ice_once(draft),
        source="from memory: an anti-siphon valve empties when its zone is opened with the water off",
        during=[(valve, "open")],
        sees=(valve,),
        minutes=_MINUTES["drain"],
    )


def _ice_once(draft: Draft) -> tuple[str, ...]:
    """Return the caution about ice, unless a step before has it."""
    return () if any(_ICE in step.cautions for step in draft.steps) else (_ICE,)


def positions_run_down(procedure: Procedure, ending: Positions) -> dict[str, str]:
    """Return how a frost card leaves the site, its run-down zones counted as open.

    Parameters
    ----------
    procedure : Procedure
        The card. [-]
    ending : mapping of str to str
        Positions at its end. [-]

    Returns
    -------
    dict of str to str
        For the map of water: what ran off through a zone's heads does not come back
        when the zone is shut. [-]
    """
    ran = {
        change.element: change.position
        for step in procedure.steps
        if step.act == "relieve"
        for change in step.changes
    }
    return {**ending, **ran}


def _stays(
    draft: Draft, lowering: Lowering, parts: list[tuple[str, str]]
) -> Iterator[StaysOpen]:
    for drain in lowering.drains:
        yield StaysOpen(drain, "What weeps past the shut valve runs off here.")
    for key, position in parts:
        if position != "closed":
            yield StaysOpen(
                key, f"{draft.name(key)}: so that no water is caught in it."
            )
