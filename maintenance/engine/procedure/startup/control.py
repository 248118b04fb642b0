"""Controllers: on with the programmes held, and the programmes last."""

from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.shutdown.names import controller_words, listed
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.site import Controller

_CHECKLIST = (
    "Landscape Management, spring start-up checklist, 16 March 2016; Irrigation & "
    "Lighting, on start-up"
)
_WIRING = {
    "battery": "Fit a new battery and look at the seals of its box",
    "two_wire": "Look at the two-wire joints, and call each decoder once",
    "hydraulic": "Fill its tubes with clean water and let the air out of them",
}
_FRESH = "A back-up battery that is older than half a year may not last: change it."


def hold_programmes(draft: Draft) -> None:
    """Write how each controller is brought on without watering by itself.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    """
    draft.block = "Controllers on, programmes held"
    for controller in draft.piping.graph.site.controllers:
        key = controller_element(controller.id)
        own = _WIRING.get(controller.wiring or "")
        draft.add(
            "set",
            key,
            f"Give {controller_words(controller)} its power; set date, time and time "
            f"zone; hold all programmes.{f' {own}.' if own else ''}",
            to="suspended",
            why="Stations can be run one by one, and nothing waters by itself yet.",
            cautions=(_FRESH,),
            source=_CHECKLIST,
            moves=_unless_there(draft, key, "suspended"),
            minutes=minutes.CONTROLLER,
        )


def give_back_programmes(draft: Draft) -> None:
    """Write how sensors and programmes come back, at the very end.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    """
    draft.block = "Sensors, then the programmes, last"
    for controller in draft.piping.graph.site.controllers:
        if controller.sensors:
            _sensors(draft, controller)
    for controller in draft.piping.graph.site.controllers:
        key = controller_element(controller.id)
        draft.add(
            "switch_on",
            key,
            f"Look through the programmes of {controller_words(controller)} and let "
            "them run again.",
            to="on",
            why="Nothing may start by itself before the zones were seen.",
            source=_CHECKLIST,
            moves=_unless_there(draft, key, "on"),
            minutes=minutes.LOOK,
        )


def _sensors(draft: Draft, controller: Controller) -> None:
    kinds = controller.sensors or ()
    names = f"{listed(kinds)} sensor{'s' if len(kinds) > 1 else ''}"
    wet = " Wet the rain sensor and see that watering stops." if "rain" in kinds else ""
    draft.add(
        "check",
        f"sensors of {controller.id}",
        f"Undo every bypass at {controller_words(controller)}: {names}.{wet}",
        why="A bypass that was made for the blow-out is easily forgotten.",
        cautions=("A freeze sensor saves water; it does not keep a path free of ice.",),
        source=(
            "Landscape Management, spring start-up checklist; in Florida a licensed "
            "contractor must test the sensor (Florida Statute 373.62)"
        ),
        minutes=minutes.LOOK,
    )


def _unless_there(draft: Draft, key: str, position: str) -> list[tuple[str, str]]:
    return [] if draft.positions[key] == position else [(key, position)]
