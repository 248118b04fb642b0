"""Pressure let off: a zone run for a moment, or a drain opened a little."""

from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.names import part_words, zone_place
from maintenance.engine.procedure.step import Change, Step

_TAPS = ("drain", "test_cock", "test_cocks", "first_cock", "hydrant")
"""What can be opened a little, so that pressure leaves slowly."""


def relieve(draft: Draft) -> None:
    """Write the steps after which no section is under pressure any more.

    Parameters
    ----------
    draft : Draft
        The list so far, every source shut. [-]
    """
    for valve in _zone_valves(draft.given):
        if _pressure_before(draft, valve):
            draft.add(_run(draft, valve))
    for section in draft.dry():
        if draft.state.section(section).pressure == "relieved":
            continue
        taps = [o for o in draft.openings(section) if o.kind in _TAPS]
        if taps:
            element = max(taps, key=draft.given.height_m).element
            draft.add(_crack(draft, element))


def _zone_valves(given: Given) -> list[str]:
    """Return the zone valves, those to run first first: from a controller, then low.

    An anti-siphon valve is run last: it should not stand with water over it. Heads
    with checks hold some pressure back.
    """
    lowest: dict[str, tuple[bool, float]] = {}
    for opening in given.piping.openings:
        for valve in opening.valves:
            found = (opening.kind == "checked_head", given.height_m(opening))
            lowest[valve] = min(found, lowest.get(valve, found))
    return sorted(
        given.zones,
        key=lambda v: (
            bool(given.valves[v].anti_siphon),
            given.by_hand(v),
            lowest.get(v, (True, 0.0)),
        ),
    )


def _pressure_before(draft: Draft, valve: str) -> bool:
    """Whether pressure may still stand before a zone valve, and no source does."""
    given, standing = draft.given, draft.standing
    before = given.gates[valve].start
    section = standing.cells[standing.section_of[before]]
    dry = section in draft.dry()
    return dry and draft.state.section(section).pressure != "relieved"


def _run(draft: Draft, valve: str) -> Step:
    given = draft.given
    where = zone_place(given.zones[valve], given.valves[valve])
    how = "Open by hand" if given.by_hand(valve) else station(draft.given, valve)
    return Step(
        key=f"relieve {valve}",
        act="relieve",
        on=valve,
        to="heads down",
        text=f"{how}: {where}. Leave it on until its heads drop, then shut it.",
        why="The water still under pressure leaves by its heads; then caps can be opened.",
        cautions=(cautions.HEADS,),
        source=citations.RELIEVED,
        minutes=3,
        during=(Change(valve, "open"),),
        sees=(valve,),
    )


def station(given: Given, valve: str) -> str:
    """Say how a zone is started from its controller.

    Parameters
    ----------
    given : Given
        The site. [-]
    valve : str
        Id of its valve. [-]

    Returns
    -------
    str
        For example ``Start station 30``. [-]
    """
    number = given.valves[valve].station
    return "Start the station" if number is None else f"Start station {number}"


def _crack(draft: Draft, element: str) -> Step:
    given = draft.given
    part = given.piping.elements[element].part
    points, links = given.graph.points, given.graph.links
    name = part_words(points.get(part) or links[part])
    if element != part:
        name = f"the test cocks of {part}"
    return Step(
        key=f"relieve {element}",
        act="relieve",
        on=element,
        to="open",
        text=f"Open {name} a little. Wait until nothing sprays, then open it fully.",
        why="What stands shut in may still be under pressure.",
        cautions=(cautions.SPURTS,),
        source=citations.RELIEVED,
        minutes=3,
        changes=(Change(element, "open"),),
        sees=(element,),
    )
