"""The card for the morning after: everything back in reverse, the programmes last."""

from datetime import datetime
from typing import Final

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.frost_night import compile_frost_night
from maintenance.engine.procedure.piping import Piping, lay_piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.letting_in import let_in, newly_pressed
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Backflow, Site
from maintenance.engine.site.card import site_from_card

_SQUIRT: Final = "What is left open squirts when the water comes: look at each one."
_MINUTES: Final = {"turn": 2.0, "look": 5.0}
"""Common practice, no source [min]."""


def compile_frost_undo(
    site: Site, *, night: Procedure | None = None, now: datetime | None = None
) -> Procedure:
    """Compile the card that takes a frost night back.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    night : Procedure, optional
        The card that was carried out; default the one compiled for this site. [-]
    now : datetime, optional
        When the work begins. [-]

    Returns
    -------
    Procedure
        What the night moved last is put back first; the controllers come last. Its
        check begins where the check of the night ends. [-]
    """
    card = night or compile_frost_night(site)
    piping = lay_piping(build_graph(site_from_card(site)))
    start = begin(piping, "frost_night")
    draft = Draft(piping, _after(piping, start, card), now)
    draft.block = "Look first"
    draft.add(
        "check",
        "parts above ground",
        "Is it above freezing and rising? Look for cracks and ice at what was drained.",
        why="Ice that is still in a part splits it when the water comes.",
        cautions=("Do not thaw or turn what is frozen: call the water supplier.",),
        source="Avion Water (Central Oregon), notices: never thaw it yourself",
        minutes=_MINUTES["look"],
    )
    moved = reversed(_moved(start.standing.positions, draft.positions, card))
    order = sorted(moved, key=lambda k: piping.elements[k].kind == "controller")
    controllers = [k for k in order if piping.elements[k].kind == "controller"]
    draft.block = "Put everything back"
    for key in order[: len(order) - len(controllers)]:
        _put_back(draft, key, start.standing.positions[key])
    _look_at_assemblies(draft, card)
    draft.block = "Programmes last"
    for key in controllers:
        _give_back(draft, key)
    return draft.finished("frost_undo")


def _after(piping: Piping, start: State, card: Procedure) -> State:
    replay = Replay(piping, start)
    for n, step in enumerate(card.steps, start=1):
        for _ in replay.do(n, step):
            pass
    return replay.state


def _moved(before: Positions, after: Positions, card: Procedure) -> list[str]:
    """Return what the card left otherwise than it was, in the order of the last move."""
    order: dict[str, None] = {}
    for step in card.steps:
        for change in step.changes:
            order.pop(change.element, None)
            order[change.element] = None
    return [key for key in order if before[key] != after[key]]


def _put_back(draft: Draft, key: str, target: str) -> None:
    piping = draft.piping
    if newly_pressed(draft, key, target):
        let_in(draft, key, target)
        return
    kind = piping.elements[key].kind
    name = draft.name(key)
    if target == "on":
        act, text = "switch_on", f"Switch {name} on."
    elif target == "open":
        act, text = "open", f"Open {name} fully."
    else:
        act, text = "close", f"Shut {name}."
    draft.add(
        act,  # type: ignore[arg-type]
        key,
        text + draft.where(key),
        to=target,
        why="It was moved for the night.",
        cautions=(_SQUIRT,) if kind in ("test_cocks", "drain") else (),
        moves=[(key, target)],
        minutes=_MINUTES["turn"],
    )


def _look_at_assemblies(draft: Draft, card: Procedure) -> None:
    parts = {
        draft.piping.elements[c.element].part for s in card.steps for c in s.changes
    }
    for link in draft.piping.graph.links.values():
        if isinstance(link, Backflow) and link.id in parts:
            draft.add(
                "check",
                link.id,
                f"Look at assembly {link.id} under pressure for five minutes: nothing "
                "should drip or spit any more.",
                why="A body that cracked in the frost shows now.",
                cautions=("If it drips, shut the water off and call a tester.",),
                minutes=_MINUTES["look"],
            )


def _give_back(draft: Draft, key: str) -> None:
    draft.add(
        "switch_on",
        key,
        f"Let the programmes of controller {draft.piping.elements[key].part} run again.",
        to="on",
        why="Nothing may start by itself before the water is back.",
        moves=[(key, "on")],
        minutes=_MINUTES["turn"],
    )
