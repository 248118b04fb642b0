"""A card for one frosty night in the season, and the card that takes it back."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.exposed import (
    Exposed,
    Parting,
    find_exposed,
    part_from_water,
)
from maintenance.engine.procedure.frost_drains import drain_exposed
from maintenance.engine.procedure.piping import Piping, lay_piping
from maintenance.engine.procedure.shutdown.names import controller_words, listed
from maintenance.engine.procedure.spread import FORWARD, spread
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_ways import summer_ways
from maintenance.engine.procedure.step import Procedure, StaysOpen, Step
from maintenance.engine.site import Pump, Site
from maintenance.engine.site.card import site_from_card

HOURS_BEFORE_LOW: Final = 7.0
"""How long before the lowest of the night everything is to be done [h].

Our own estimate: where a clear night falls along a cosine from 55 degF at 15 h to 15
degF at 6 h, the air passes freezing 6.8 h before the lowest; a milder night later.
"""
_ADVICE: Final = (
    "KUSA and KMTV (19 April 2024), advice to owners: drain the assembly for the night, "
    "valves at 45 degrees"
)
_TOOLS: Final = (
    "Take along: a torch, a flat screwdriver for the test cocks, a lever or key for the "
    "valves, a bucket, a towel and a bag."
)
_MINUTES: Final = {"hold": 2.0, "turn": 2.0, "cover": 5.0}
"""Common practice, no source [min]."""


def compile_frost_night(
    site: Site, *, low_at: datetime | None = None, now: datetime | None = None
) -> Procedure:
    """Compile the card for one frosty night.

    Parameters
    ----------
    site : Site
        As recorded, checked; it stands as in summer. [-]
    low_at : datetime, optional
        When the lowest of the night is forecast; the card then says by when to be
        done. [-]
    now : datetime, optional
        When the work begins. [-]

    Returns
    -------
    Procedure
        Controllers and pumps held first, then the exposed parts parted from the water
        and drained. [-]

    Raises
    ------
    InputError
        If the lowest of the night is not after the begin of the work.

    Notes
    -----
    What is opened besides the assembly is chosen by the levels that gravity leaves:
    the exposed pipes are to hold no water, with the least let out.
    """
    if low_at is not None and now is not None and low_at <= now:
        raise InputError(
            "the lowest of the night lies before the begin of the work; give the time "
            "of the coming night"
        )
    piping = lay_piping(build_graph(site_from_card(site)))
    draft = Draft(piping, begin(piping, "frost_night"), now)
    exposed = find_exposed(piping)
    _hold(draft)
    parting = part_from_water(piping, exposed, _ways(draft))
    stays: tuple[StaysOpen, ...] = ()
    if exposed.all:
        _part(draft, parting)
        stays = drain_exposed(draft, exposed, frozenset(parting.reached))
        _cover(draft, exposed)
    draft.warnings += _said(exposed, parting)
    draft.steps = _with_clock(draft.steps, low_at)
    return draft.finished("frost_night", stays)


def _ways(draft: Draft) -> tuple[int, ...]:
    """Return the ways each gate passes now, whatever pump may yet start."""
    return tuple(
        FORWARD if gate.kind == "pump" else way
        for gate, way in zip(draft.piping.gates, draft.standing.passing, strict=True)
    )


def _hold(draft: Draft) -> None:
    draft.block = "Hold the controllers and the pump"
    piping = draft.piping
    for controller in piping.graph.site.controllers:
        key = controller_element(controller.id)
        draft.add(
            "set",
            key,
            f"Hold all programmes at {controller_words(controller)}; leave it on.",
            to="suspended",
            why="Watering on a frosty night makes ice, and fills what you drain.",
            moves=[(key, "suspended")],
            minutes=_MINUTES["hold"],
        )
    for pump in _only_irrigation(piping):
        if draft.positions[pump] != "on":
            continue
        draft.add(
            "switch_off",
            pump,
            f"Switch {draft.name(pump)} off.{draft.where(pump)}",
            to="off",
            why="It must not start against shut valves, or fill what you drain.",
            moves=[(pump, "off")],
            minutes=_MINUTES["turn"],
        )


def _only_irrigation(piping: Piping) -> list[str]:
    """Return the pumps that feed nothing else."""
    ways = summer_ways(piping)
    users = set(piping.users.values())
    found = []
    for gate in piping.gates:
        link = piping.graph.links[gate.link]
        if not isinstance(link, Pump) or link.also_feeds:
            continue
        if not users & spread(piping, [gate.end], ways):
            found.append(gate.id)
    return found


def _part(draft: Draft, parting: Parting) -> None:
    draft.block = "Shut the water off"
    for valve in parting.valves:
        draft.add(
            "close",
            valve,
            f"Shut {draft.name(valve)}.{draft.where(valve)}",
            to="closed",
            why="No new water gets to what stands in the open.",
            source=_ADVICE,
            moves=[(valve, "closed")],
            minutes=_MINUTES["turn"],
        )
    for supply in parting.supplies:
        draft.add(
            "switch_off",
            supply,
            f"Turn off {draft.name(supply)} at its own stop.{draft.where(supply)}",
            to="off",
            why="No valve on record parts it from what stands in the open.",
            source=_ADVICE,
            moves=[(supply, "off")],
            minutes=_MINUTES["turn"],
        )


def _cover(draft: Draft, exposed: Exposed) -> None:
    draft.block = "Cover and leave a note"
    parts = exposed.assemblies or exposed.valves
    if parts:
        names = listed([draft.name(key) for key in parts])
        draft.add(
            "install",
            parts[0],
            f"Wrap {names} in a towel, and put a bag over it.",
            why="It buys some hours; it does not replace draining.",
            source=_ADVICE,
            minutes=_MINUTES["cover"],
        )
    draft.add(
        "tag",
        "note",
        "Hang a note where the water is turned on: drained for the frost; shut the "
        "drains and cocks before you turn it on.",
        why="Whoever comes next does not know.",
        minutes=_MINUTES["turn"],
    )


def _with_clock(steps: list[Step], low_at: datetime | None) -> list[Step]:
    """Put the time and the tools on the first step."""
    if not steps:
        return steps
    said = [_TOOLS]
    if low_at is not None:
        took = sum(step.minutes for step in steps)
        done = low_at - timedelta(hours=HOURS_BEFORE_LOW)
        begin_by = done - timedelta(minutes=took)
        said.insert(
            0,
            f"Be done by {done:%H:%M}: the lowest comes at {low_at:%H:%M}, and bare "
            f"brass freezes hours before. All of this takes {took:.0f} minutes: begin "
            f"by {begin_by:%H:%M}.",
        )
    return [replace(steps[0], cautions=(*said, *steps[0].cautions)), *steps[1:]]


def _said(exposed: Exposed, parting: Parting) -> list[Warning]:
    found = []
    if not exposed.all:
        text = (
            "Nothing on record stands in the open air: the card only holds the "
            "controllers. Enter the placement of assemblies and pipes."
        )
        found.append(Warning("nothing_exposed", text))
    if exposed.assumed:
        text = (
            "Where these assemblies stand is not recorded: they are taken to stand in "
            "the open air."
        )
        found.append(Warning("assumed_exposed", text, exposed.assumed))
    if parting.reached:
        text = (
            "Nothing on record parts these from the water without cutting off another "
            "use: they cannot be drained tonight. Cover them."
        )
        found.append(Warning("cannot_part", text, parting.reached))
    return found
