"""Controllers: suspended before the work, off only after the last zone has run."""

import math

from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.shutdown import citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.names import controller_words, listed
from maintenance.engine.procedure.shutdown.row_steps import from_controller
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step
from maintenance.engine.site import Controller, InlineDevice

_SENSORS = {"rain": "rain sensor", "freeze": "freeze sensor", "flow": "flow cut-out"}
_WIRING = {
    "two_wire": (
        "Two-wire: its decoders live on the controller's power. Cut no power and no wire "
        "before the last station has run."
    ),
    "battery": (
        "Battery controllers sit in the boxes: take fresh batteries and the box key along."
    ),
    "hydraulic": (
        "Water in thin tubes works its valves. With the water off they do not answer: "
        "every zone is opened by hand here."
    ),
}


def suspend_controllers(draft: Draft, rows: tuple[RowSheet, ...]) -> None:
    """Write the steps that keep programmes from starting and stations free to run.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    rows : tuple of RowSheet
        Rows of the sheet; the longest pass sets the station time. [-]
    """
    for controller in draft.given.graph.site.controllers:
        draft.add(_suspended(controller))
        if controller.sensors:
            draft.add(_bypassed(controller, undo=False))
    minutes = _station_minutes(draft, rows)
    for controller in draft.given.graph.site.controllers:
        if minutes and controller.wiring != "hydraulic":
            draft.add(_station_time(controller, minutes))


def switch_off_controllers(draft: Draft) -> None:
    """Write the steps after the last zone: run all once, off, bypasses undone.

    Parameters
    ----------
    draft : Draft
        The list so far, the hose off. [-]
    """
    controllers = draft.given.graph.site.controllers
    for controller in controllers:
        draft.add(_run_once(controller))
    hands = [valve for valve in draft.given.zones if draft.given.by_hand(valve)]
    if hands and (draft.given.choices.change_over != "hand" or not controllers):
        draft.add(_by_hand_once(hands))
    for number, controller in enumerate(controllers, start=1):
        masters = _masters(draft) if number == len(controllers) else []
        draft.add(_off(controller, masters))
    for controller in controllers:
        if controller.sensors:
            draft.add(_bypassed(controller, undo=True))


def _suspended(controller: Controller) -> Step:
    wiring = _WIRING.get(controller.wiring or "")
    return Step(
        key=f"suspend {controller.id}",
        act="set",
        on=controller.id,
        to="suspended",
        text=(
            f"Photograph the programmes of {controller_words(controller)}. Suspend them "
            "all, and switch off remote starts and weather adjustment."
        ),
        why="A programme that starts by itself opens zones on people or on air.",
        cautions=(wiring,) if wiring else (),
        source=citations.UTAH,
        minutes=5,
        changes=(Change(controller_element(controller.id), "suspended"),),
    )


def _bypassed(controller: Controller, *, undo: bool) -> Step:
    names = listed([_SENSORS[each] for each in controller.sensors or ()])
    them = "them" if len(controller.sensors or ()) > 1 else "it"
    if undo:
        return Step(
            key=f"bypass undone {controller.id}",
            act="set",
            on=controller.id,
            to="bypass undone",
            text=f"Undo the bypass of {names} at {controller.id}.",
            why=f"In spring nobody thinks of {them}.",
            source=NO_SOURCE,
            minutes=2,
        )
    return Step(
        key=f"bypass {controller.id}",
        act="set",
        on=controller.id,
        to="bypassed",
        text=f"Bypass {names} at {controller.id}.",
        why="In cold or wet weather, or with no flow, the stations would not start.",
        source=NO_SOURCE,
        minutes=2,
    )


def _station_minutes(draft: Draft, rows: tuple[RowSheet, ...]) -> int:
    """Return a station time above the longest stretch of air, in whole minutes."""
    longest = 0.0
    for row in rows:
        if from_controller(draft.given, row) and row.displacement and row.passes:
            front = row.displacement.time_s or 0.0
            longest = max(longest, front + row.passes[0].on_s)
    return math.ceil(longest / 60.0) + 1 if longest else 0


def _station_time(controller: Controller, minutes: int) -> Step:
    return Step(
        key=f"station time {controller.id}",
        act="set",
        on=controller.id,
        to=f"{minutes} min",
        text=(
            f"Set the time of stations started by hand to {minutes} min at "
            f"{controller.id}, or as much as it takes."
        ),
        why="A station that ends while air is on leaves the air no way out.",
        source="the longest pass of the blow-out sheet and a minute more",
        minutes=2,
    )


def _run_once(controller: Controller) -> Step:
    text = (
        f"Run every station of {controller_words(controller)} once more for a few "
        "seconds, without air."
    )
    if controller.wiring == "hydraulic":
        text = (
            f"Drain the thin tubes of {controller_words(controller)} at their lowest "
            "fittings, or as its maker says."
        )
    return Step(
        key=f"run {controller.id}",
        act="run",
        on=controller.id,
        to="empty",
        text=text,
        why="Each valve lets go of the water in its bonnet.",
        source=NO_SOURCE,
        minutes=5,
    )


def _by_hand_once(valves: list[str]) -> Step:
    return Step(
        key="run hand valves",
        act="run",
        on="zones",
        to="empty",
        text=f"Open and shut {listed(valves)} once more by hand, without air.",
        why="Each valve lets go of the water in its bonnet.",
        source=NO_SOURCE,
        minutes=float(len(valves)),
    )


def _off(controller: Controller, masters: list[str]) -> Step:
    more = ""
    if controller.wiring == "battery":
        more = " Take the batteries out and keep them indoors."
    if masters:
        more += f" Master valve {listed(masters)} shuts with it."
    return Step(
        key=f"off {controller.id}",
        act="set",
        on=controller.id,
        to="off",
        text=f"Set {controller_words(controller)} to off. Do not unplug it.{more}",
        why="Power keeps the programme, and keeps the case warm and free of damp.",
        source=citations.UTAH,
        minutes=2,
        changes=(
            Change(controller_element(controller.id), "off"),
            *(Change(master, "closed") for master in masters),
        ),
    )


def _masters(draft: Draft) -> list[str]:
    """Return the master valves that still stand open, three at most in one step."""
    return [
        link.id
        for link in draft.given.graph.links.values()
        if isinstance(link, InlineDevice)
        and link.kind == "master_valve"
        and draft.positions[link.id] == "open"
    ][:3]
