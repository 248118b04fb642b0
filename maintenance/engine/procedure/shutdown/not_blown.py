"""Zones that no air goes through: their water runs back, and what stays is said."""

from collections.abc import Mapping

from maintenance.engine.procedure.shutdown import citations
from maintenance.engine.procedure.shutdown.air import Planned
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.names import (
    capital,
    noted,
    zone_place,
    zone_words,
)
from maintenance.engine.procedure.shutdown.row_steps import outlet_of
from maintenance.engine.procedure.shutdown.run_off import trapped_in_zone
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step
from maintenance.engine.site import Head, Point
from maintenance.engine.units import display


def drain_zones(draft: Draft, planned: Planned) -> None:
    """Write the steps that drain the zones that are not blown, the lowest first.

    Parameters
    ----------
    draft : Draft
        The list so far, the drains open. [-]
    planned : Planned
        What is blown, and why the rest is not. [-]
    """
    given = draft.given
    blown = {outlet_of(given, row) for row in planned.rows}
    left = [valve for valve in given.zones if valve not in blown]
    for valve in sorted(left, key=lambda v: _elevation(_lowest(given, v))):
        if draft.standing.sources_at(given.gates[valve].start):
            continue
        step = _drained(draft, valve, planned.refused)
        broken = draft.breaks(step)
        if broken:
            draft.warn(
                "not_drained", f"{valve} is not opened to drain: {broken}", valve
            )
            continue
        draft.add(step)
        _draw_out(draft, valve)


def warn_of_refused(draft: Draft, refused: Mapping[str, str]) -> None:
    """Warn of each row of the sheet that the list does not blow.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    refused : mapping of str to str
        Why, by row. [-]
    """
    about: dict[str, list[str]] = {}
    for row, why in refused.items():
        about.setdefault(why, []).append(row)
    for why, rows in about.items():
        draft.warn("not_blown", f"Not blown: {', '.join(rows)}. {why}", *rows)


def _drained(draft: Draft, valve: str, refused: Mapping[str, str]) -> Step:
    given = draft.given
    zone, link = given.zones[valve], given.valves[valve]
    source = NO_SOURCE
    why = "What stands above the drains runs back through the open valve."
    if link.anti_siphon:
        why = "With no pressure its air inlet opens and its body empties."
        source = citations.MEMORY
    if zone.id in refused:
        why = f"{why} Not blown: {refused[zone.id]}"
    return Step(
        key=f"drain {valve}",
        act="drain",
        on=valve,
        to="run out",
        text=(
            f"Open {zone_place(zone, link)} by hand, with stem or bleed screw, until "
            f"nothing more runs. Then shut it.{noted(zone)}"
        ),
        why=why,
        source=source,
        minutes=5,
        during=(Change(valve, "open"),),
        sees=(valve,),
    )


def _draw_out(draft: Draft, valve: str) -> None:
    """Write that the water is drawn out of a zone that does not run empty."""
    given, zone = draft.given, draft.given.zones[valve]
    positions = {**draft.positions, valve: "open"}
    water = trapped_in_zone(given.graph, positions, zone.id)
    if water is not None and water <= 0.0:
        return
    amount = "an amount that is not known"
    if water is not None:
        amount = f"about {display(water, 'volume', given.units, 'up')}"
    lowest = _lowest(given, valve)
    name = f"the bonnet of {valve}"
    if isinstance(lowest, Head):
        name = f"head {lowest.id}, the lowest,"
    draft.add(
        Step(
            key=f"draw {valve}",
            act="drain",
            on=lowest.id,
            to="drawn out",
            text=(
                f"Take {name} off and draw the water out of {zone_words(zone)} with a "
                "hand pump or a wet vacuum cleaner, until only air comes."
            ),
            why=f"{capital(amount)} may stay in its pipe otherwise.",
            cautions=("Water and power: only on a ground-fault protected outlet.",),
            source=NO_SOURCE,
            minutes=10,
        )
    )


def _lowest(given: Given, valve: str) -> Point:
    """Return the lowest place of a zone that can be opened: a head or its valve."""
    at_valve = given.graph.points[given.valves[valve].to]
    return min([*_heads(given, valve), at_valve], key=_elevation)


def _heads(given: Given, valve: str) -> list[Head]:
    return [
        point
        for opening in given.piping.openings
        if valve in opening.valves
        and isinstance(point := given.graph.points.get(opening.point), Head)
    ]


def _elevation(point: Point) -> float:
    return point.elevation.value
