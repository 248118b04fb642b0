"""Pumps: power off and proved dead, unless something else needs them; then drained."""

from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.site import Pump, Supply

_PROOF = {
    "hand": "Turn its own switch on: it must not start. Switch off again.",
    "pressure_switch": (
        "Let water off until the gauge falls below its cut-in: it must not start."
    ),
    "start_relay": "Start one station: the pump must not start. Stop the station.",
    "variable_speed": (
        "Start one station: drive and pump must stay still. Stop the station."
    ),
}
_ANY_PROOF = "Call for water: start a station or open a tap. The pump must not start."


def stop_pumps(draft: Draft, stopped: tuple[str, ...]) -> None:
    """Write the steps that take power from pumps and see that they are dead.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    stopped : tuple of str
        Ids of the pumps that feed nothing else. [-]
    """
    for pump in _pumps(draft, stopped):
        at = f" at {pump.power_disconnect}" if pump.power_disconnect else ""
        more = (cautions.RESIDUAL_CHARGE,) if pump.control == "variable_speed" else ()
        draft.add(
            Step(
                key=f"switch_off {pump.id}",
                act="switch_off",
                on=pump.id,
                to="off",
                text=f"Switch the power of pump {pump.id} off{at}. Lock it off.",
                why="A pump that starts on an empty line runs dry and is lost.",
                cautions=(cautions.POWER, *more),
                source=citations.LOCKED_OUT,
                minutes=3,
                changes=(Change(pump.id, "off"),),
            )
        )
        draft.add(
            Step(
                key=f"prove_dead {pump.id}",
                act="prove_dead",
                on=pump.id,
                to="dead",
                text=_PROOF.get(pump.control or "", _ANY_PROOF),
                why="The breaker that was pulled may be the wrong one.",
                source=citations.PUMP_PAGES,
                minutes=3,
                changes=(Change(pump.id, "proved_dead"),),
            )
        )


def drain_pumps(draft: Draft, stopped: tuple[str, ...]) -> None:
    """Write the steps that empty stopped pumps and their tanks.

    Parameters
    ----------
    draft : Draft
        The list so far, with the lines relieved and their drains open. [-]
    stopped : tuple of str
        Ids of the pumps that feed nothing else. [-]
    """
    for pump in _pumps(draft, stopped):
        if pump.pressure_tank is not None:
            _tank(draft, pump)
        text, source = _casing(draft, pump)
        draft.add(
            Step(
                key=f"drain {pump.id}",
                act="drain",
                on=pump.id,
                to="empty",
                text=text,
                why="Ice splits the casing, and the pump is the dearest part of the line.",
                cautions=("Power locked off first.",),
                source=source,
                minutes=15,
            )
        )


def _tank(draft: Draft, pump: Pump) -> None:
    size = pump.pressure_tank.text if pump.pressure_tank else ""
    draft.add(
        Step(
            key=f"drain tank of {pump.id}",
            act="drain",
            on=pump.id,
            to="tank empty",
            text=(
                f"Drain the pressure tank of {pump.id} ({size}): tank first, then the "
                "lines, then shut its drain."
            ),
            why="Its air cushion goes on pressing water into the line.",
            cautions=(cautions.SPURTS,),
            source=citations.OREGON_HEALTH,
            minutes=15,
        )
    )


def _casing(draft: Draft, pump: Pump) -> tuple[str, str]:
    if pump.pump == "submersible":
        if pump.drains_back == "yes":
            text = (
                f"See that the riser of {pump.id} has drained back into the well: "
                "nothing runs at the well head."
            )
        else:
            text = (
                f"Drain the riser of {pump.id} at the well head down to below frost: "
                "a check may hold its water."
            )
        return text, citations.MEMORY
    source = draft.given.graph.points.get(pump.from_)
    lifted = isinstance(source, Supply) and source.source == "surface"
    suction = (
        "Lift its intake and foot valve, or drain the suction line. "
        if lifted or pump.pump == "jet"
        else ""
    )
    text = (
        f"{suction}Take the drain plugs out of the casing of {pump.id}. Keep them in a "
        "bag on the pump. Cover it, or store it indoors."
    )
    return text, f"{citations.GOLF}; {citations.PUMP_PAGES}"


def _pumps(draft: Draft, keys: tuple[str, ...]) -> list[Pump]:
    links = draft.given.graph.links
    return [link for key in keys if isinstance(link := links[key], Pump)]
