"""Rules about opening, filling and pumping."""

from collections.abc import Iterator
from typing import Final

from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.procedure.sections import LOW_OPENINGS, is_open
from maintenance.engine.procedure.spread import FORWARD, spread
from maintenance.engine.procedure.ways_out import WASTE, Opening
from maintenance.engine.site import Pump, ZoneValve

_RELIEVING: Final = frozenset(
    {"drain", "test_cock", "test_cocks", "first_cock", "hydrant"}
)
"""Valves that can be opened a little to let pressure off; a cap, a plug, a key cannot."""
_KEYS_AND_PLUGS: Final = frozenset({"quick_coupler", "blowout_port"})
_ALWAYS_LOW: Final = frozenset({"drain", "test_cocks", "first_cock", "assembly"})


def _opened_under_pressure(moment: Moment) -> Iterator[Breach]:
    before = moment.before
    was, now = before.standing.positions, moment.after.standing.positions
    for opening in moment.piping.openings:
        if opening.kind == WASTE or was.get(opening.element) == now.get(
            opening.element
        ):
            continue
        opened = is_open(opening, moment.after.standing.positions)
        if not opened and opening.kind not in _KEYS_AND_PLUGS:
            continue
        standing = before.standing
        cells = standing.cells[standing.section_of[opening.cell]]
        pressure = before.section(cells).pressure
        if pressure == "relieved" or _meant(moment, opening, pressure):
            continue
        where = f"the section at {standing.name(opening.cell)}"
        state = (
            "is under pressure" if pressure == "on" else "may still be under pressure"
        )
        yield Breach(
            (opening.element,),
            f"{opening.element} is moved while {where} {state}: let it off first and "
            "see it gone.",
        )
    yield from _turned_under_air(moment)


def _meant(moment: Moment, opening: Opening, pressure: str) -> bool:
    """Whether an opening may be moved against what stands behind it."""
    act = moment.step.act if moment.step else ""
    if opening.kind == "hydrant":
        return True
    if act == "test" and opening.kind in ("test_cocks", "first_cock"):
        return True
    return act == "relieve" and pressure == "may_stand" and opening.kind in _RELIEVING


def _turned_under_air(moment: Moment) -> Iterator[Breach]:
    air = moment.before.standing.air
    for gate in moment.piping.gates if air else ():
        link = moment.piping.graph.links[gate.link]
        if not isinstance(link, ZoneValve) or link.opens_by != "hand":
            continue
        if moment.moved(gate.id) and air & {gate.start, gate.end}:
            yield Breach(
                (gate.id,),
                f"{gate.id} is turned by hand while air presses on it: air off and gauge "
                "at zero first.",
            )


def _filled_blindly(moment: Moment) -> Iterator[Breach]:
    before, after = moment.before.standing, moment.after.standing
    new = {
        cell
        for key, cells in after.reach.items()
        for cell in cells - before.reach[key]
        if not before.sources_at(cell)
    }
    for cell in sorted(new):
        onward = spread(moment.piping, [cell], after.passing)
        outlets = _outlets(moment, cell, onward)
        low = [o for o in after.open.get(cell, ()) if _is_low(moment, o, outlets)]
        if low:
            yield Breach(
                ("low", low[0].element),
                f"Water is let in at {after.name(cell)} while {low[0].element} stands "
                "open: shut what lies low first.",
            )
        if moment.before.contents[cell].holds == "water":
            continue
        if onward & set(moment.piping.users.values()):
            continue
        if all(_is_low(moment, each, outlets) for each in outlets):
            yield Breach(
                ("no outlet", after.name(cell)),
                f"Water is let in at {after.name(cell)}, and no opening was seen "
                "that lets the air out.",
            )


def _outlets(moment: Moment, at: int, onward: frozenset[int]) -> list[Opening]:
    """Return what lets air out of a cell: its own heads, and openings seen to pass."""
    after = moment.after
    heads = [o for o in after.standing.open.get(at, ()) if o.kind.endswith("head")]
    seen = [each for cell in sorted(onward) for each in after.seen_open(cell)]
    return heads + seen


def _is_low(moment: Moment, opening: Opening, outlets: list[Opening]) -> bool:
    """Whether water would run out of an opening before the air is out."""
    if opening.kind in _ALWAYS_LOW:
        return True
    if opening.kind not in LOW_OPENINGS:
        return False
    points = moment.piping.graph.points
    height = points[opening.point].elevation.value
    return any(
        points[each.point].elevation.value > height
        for each in outlets
        if each.point in points
    )


def _pumped_against_nothing(moment: Moment) -> Iterator[Breach]:
    piping, standing = moment.piping, moment.after.standing
    for gate in piping.gates:
        link = piping.graph.links[gate.link]
        if not isinstance(link, Pump) or standing.positions[gate.id] != "on":
            continue
        by_hand = link.control == "hand"
        called = not by_hand and _is_called(moment)
        ways = tuple(
            FORWARD if called and each.kind == "diaphragm" else way
            for way, each in zip(standing.passing, piping.gates, strict=True)
        )
        onward = spread(piping, [gate.end], ways)
        if onward & set(piping.users.values()) or _relief_in(moment, onward):
            continue
        if not any(_takes_water(moment, cell, by_hand) for cell in onward):
            yield Breach(
                (gate.id,),
                f"{gate.id} pumps against a closed line: nothing that it leads to is "
                "open.",
            )


def _is_called(moment: Moment) -> bool:
    """Whether zone valves may open when the pump runs: no controller, or one not off."""
    site, positions = moment.piping.graph.site, moment.after.standing.positions
    return not site.controllers or any(
        positions[controller_element(each.id)] != "off" for each in site.controllers
    )


def _takes_water(moment: Moment, cell: int, by_hand: bool) -> bool:
    """Whether water leaves a cell, or may be drawn from it at any time."""
    opened = moment.after.standing.open.get(cell, ())
    if any(opening.kind not in ("automatic_drain", WASTE) for opening in opened):
        return True
    drawn = ("quick_coupler", "hydrant")
    return not by_hand and any(
        opening.cell == cell and opening.kind in drawn
        for opening in moment.piping.openings
    )


def _relief_in(moment: Moment, cells: frozenset[int]) -> bool:
    cell_of = moment.piping.cell_of
    return any(
        link.kind == "relief_valve" and cell_of[link.from_] in cells
        for link in moment.piping.graph.links.values()
    )


RELIEVED_FIRST = Rule(
    "I4",
    "Nothing is opened under pressure",
    "A drain, cock, coupler, plug or assembly is opened only where no source presses "
    "and the pressure was seen to be let off.",
    "danger",
    "WAC 296-45-17535, by analogy: stored energy is relieved before work",
    _opened_under_pressure,
)
FILLED_WITH_AIR_OUT = Rule(
    "I5",
    "Water is let in only with the drains shut and a way out for the air",
    "A source is opened only into pipes whose low openings are shut and which have an "
    "opening that lets the air out.",
    "damage",
    "American Fork (UT) code 15.01.790; UF/IFAS Circular 828 (air let out at the top)",
    _filled_blindly,
)
PUMP_WITH_A_WAY = Rule(
    "I8",
    "No pump against a closed line",
    "A pump runs only with an open way to something that takes its water, or to a "
    "relief valve.",
    "damage",
    "engineering practice, from memory",
    _pumped_against_nothing,
)
