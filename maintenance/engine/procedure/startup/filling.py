"""Letting the water in: air outlet open, slowly, then everything fully open."""

import math

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.shutdown.names import part_words
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.air_outlets import AirOutlet
from maintenance.engine.procedure.startup.air_steps import (
    open_outlet,
    shut_outlet,
    stopper,
)
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_plan import Fill
from maintenance.engine.procedure.startup.fill_ways import (
    by_hand,
)
from maintenance.engine.procedure.startup.fill_words import (
    fill_cautions,
    fill_sources,
    fill_text,
    fill_why,
)
from maintenance.engine.procedure.startup.pumps import SHOCK, SOURCE, prime

_FULL_OPENING = "contractors' pages on spring start-up (at least five minutes)"


def let_water_in(draft: Draft, fill: Fill) -> None:
    """Write down one filling, from the air outlet to the fully open valve.

    Parameters
    ----------
    draft : Draft
        The list; everything else stands as in summer. [-]
    fill : Fill
        What fills. [-]
    """
    supply = draft.piping.graph.points[fill.way.source]
    draft.block = f"Let the water in: {part_words(supply)}"
    for outlet in fill.outlets:
        open_outlet(draft, fill, outlet)
    for pump in fill.way.pumps:
        prime(draft, pump)
    _crack(draft, fill)
    for outlet in sorted(fill.outlets, key=_lowest_first):
        shut_outlet(draft, fill, outlet)
    _open_fully(draft, fill)
    for pump in fill.way.idle:
        if draft.positions[pump] != "on" and not by_hand(draft.piping, pump):
            prime(draft, pump)
            _switch_on(draft, pump)


def _lowest_first(outlet: AirOutlet) -> tuple[bool, float]:
    """Order outlets for shutting; keys come last, for they need the water off."""
    return outlet.kind == "quick_coupler", outlet.height_m


def keep_out(draft: Draft, fill: Fill, reason: str) -> None:
    """Write that a source stays shut, and why.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    fill : Fill
        The filling that must not be. [-]
    reason : str
        The sentence of the rule that it would break. [-]
    """
    turned = fill.way.turned
    draft.block = f"Not to be let in: {fill.way.source}"
    draft.add(
        "check",
        turned,
        f"Leave {draft.name(turned)} shut, and ask the water supplier first.",
        to=draft.positions[turned],
        why=reason,
        cautions=(
            "A shut valve is no barrier against water that is not for drinking.",
        ),
        source="US EPA, Cross-Connection Control Manual (2003), foreword",
        minutes=minutes.LOOK,
    )
    draft.warnings.append(Warning("kept_out", reason, (turned,)))


def _crack(draft: Draft, fill: Fill) -> None:
    """Open what lets the water in; the last thing opened is the one that fills."""
    way = fill.way
    hand = [(p, "on") for p in way.pumps if by_hand(draft.piping, p)]
    started = [(p, "on") for p in way.pumps if not by_hand(draft.piping, p)]
    events = [(way.source, "on"), *started]
    if way.gate:
        events.insert(0, (way.gate, fill.little))
    waiting = [e for e in events if draft.positions[e[0]] != e[1]]
    last = [] if hand else waiting[-1:]
    for key, position in waiting[: len(waiting) - len(last)]:
        _prepare(draft, fill, key, position)
    on, to = (hand or last or [(way.turned, "on")])[0]
    if hand and not fill.outlets:
        # What it leads to is full already; it would press on a closed line.
        return
    time = fill.amounts.time_s
    draft.add(
        "fill",
        on,
        fill_text(draft, fill, on),
        to=to,
        why=fill_why(fill),
        cautions=fill_cautions(draft, fill),
        source=fill_sources(fill),
        moves=last,
        during=hand,
        sees=tuple(outlet.element for outlet in fill.outlets),
        minutes=minutes.FILL_UNKNOWN if time is None else math.ceil(time / 60.0),
    )


def _prepare(draft: Draft, fill: Fill, key: str, position: str) -> None:
    gate = key == fill.way.gate
    how = "fully" if fill.little == "open" else "a little"
    text = f"Open {draft.name(key)} {how}." if gate else f"Turn on {draft.name(key)}."
    why = (
        "Nothing flows yet; the pump or the source comes next."
        if gate
        else "It feeds the valve that was opened a little."
    )
    draft.add(
        "open" if gate else "switch_on",
        key,
        text + draft.where(key),
        to=position,
        why=why,
        moves=[(key, position)],
        minutes=minutes.TURN,
    )


def _open_fully(draft: Draft, fill: Fill) -> None:
    shut = stopper(draft, fill)
    if draft.positions[shut] == "closed" and shut != fill.way.turned:
        _open_slowly(draft, shut, opens=True)
    for pump in fill.way.pumps:
        if draft.positions[pump] != "on" and not by_hand(draft.piping, pump):
            _switch_on(draft, pump)
    _open_slowly(draft, fill.way.turned, opens=fill.way.gate is not None)


def _open_slowly(draft: Draft, turned: str, *, opens: bool) -> None:
    target = draft.piping.elements[turned].summer[0]
    if draft.positions[turned] == target:
        return
    draft.add(
        "open" if opens else "switch_on",
        turned,
        f"Open {draft.name(turned)} slowly, all the way: take five minutes.",
        to=target,
        why="The pressure must rise slowly, with the last air still in the line.",
        source=_FULL_OPENING,
        moves=[(turned, target)],
        minutes=minutes.OPEN_SLOWLY,
    )


def _switch_on(draft: Draft, pump: str) -> None:
    draft.add(
        "switch_on",
        pump,
        f"Switch {draft.name(pump)} on, now that its pipe is full.{draft.where(pump)}",
        to="on",
        why="A pump is switched on last, with water at its inlet.",
        cautions=(SHOCK,),
        source=SOURCE,
        moves=[(pump, "on")],
        minutes=minutes.TURN,
    )
