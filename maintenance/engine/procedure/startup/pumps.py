"""A pump before it gets its power: plugged, primed, bled."""

from typing import Final

from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_ways import by_hand
from maintenance.engine.site import Pump

SOURCE: Final = "pages on lake pumps (prime first, power last)"
SHOCK: Final = (
    "Electricity and water: lock the breaker off while your hands are at the pump; work "
    "on the wiring is for a licensed electrician."
)


def prime(draft: Draft, pump: str) -> None:
    """Write down what a pump needs before its power comes on, if it is off.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    pump : str
        Id of the pump. [-]
    """
    link = draft.piping.graph.links[pump]
    if not isinstance(link, Pump) or draft.positions[pump] == "on":
        return
    name = draft.name(pump)
    if link.pump == "submersible":
        text = f"Look at the cable and the well cap of {name}."
        why = "It hangs in the water and needs no priming."
    else:
        text = (
            f"Screw the drain plugs into {name}, fill its casing with water, and open "
            "its bleed screw until no air comes."
        )
        why = "A pump that runs dry is soon spoilt."
    draft.add(
        "check",
        pump,
        text + draft.where(pump),
        why=why,
        cautions=(SHOCK,),
        source=SOURCE,
        minutes=minutes.PRIME,
    )
    if by_hand(draft.piping, pump) and draft.positions[pump] != "off":
        at = f" at {link.power_disconnect}" if link.power_disconnect else ""
        draft.add(
            "set",
            pump,
            f"Give {name} its power back{at}, and leave it stopped.",
            to="off",
            why="It is started by hand when its pipe is open.",
            cautions=(SHOCK,),
            source=SOURCE,
            moves=[(pump, "off")],
            minutes=minutes.TURN,
        )
