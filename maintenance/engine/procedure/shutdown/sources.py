"""Sources: each one shut, or turned off where no valve parts it."""

from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import Isolation
from maintenance.engine.procedure.shutdown.names import (
    WATERS,
    listed,
    noted,
    part_words,
)
from maintenance.engine.procedure.shutdown.users import users_of
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.site import Backflow, IsolationValve, Supply


def shut_source(draft: Draft, isolation: Isolation) -> None:
    """Write the steps that part a source from the irrigation.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    isolation : Isolation
        Where the source is parted. [-]
    """
    source = draft.given.graph.points[isolation.supply]
    if not isinstance(source, Supply):
        return
    for valve in isolation.valves:
        draft.add(_shut(draft, valve, source))
    if isolation.turn_off:
        draft.add(_turned_off(source))
    if isolation.reaches:
        users = users_of(draft.given, source.id)
        draft.warn(
            "source_not_parted",
            f"No recorded valve parts {source.id} from the irrigation and leaves "
            f"{listed(users)} with water: fit or enter one. What {source.id} presses on "
            "is neither drained nor blown by this list.",
            source.id,
            *users,
        )


def _shut(draft: Draft, valve: str, source: Supply) -> Step:
    links, elements = draft.given.graph.links, draft.given.piping.elements
    link = links[elements[valve].part]
    kept = users_of(draft.given, source.id)
    why = f"It parts {WATERS[source.source]} {source.id} from the irrigation."
    if kept:
        why += f" {listed(kept)} {'keeps' if len(kept) == 1 else 'keep'} water."
    pit = isinstance(link, IsolationValve) and link.type == "stop_and_waste"
    buried = isinstance(link, Backflow) and link.placement == "buried"
    name = part_words(link)
    if isinstance(link, Backflow):
        name = f"the first shut-off of {link.id} ({valve})"
    return Step(
        key=f"close {valve}",
        act="close",
        on=valve,
        to="closed",
        text=f"Shut {name}.{noted(link)}",
        why=why,
        cautions=(cautions.PIT,) if pit or buried else (),
        source=citations.OREGON_CITY,
        minutes=3,
        changes=(Change(valve, "closed"),),
    )


def _turned_off(source: Supply) -> Step:
    texts = {
        "public": (
            "Shut the town water off ahead of the irrigation. Its valve is not recorded: "
            "look indoors, in the meter pit or by the street, and enter it."
        ),
        "well": (
            "Switch the well pump off at its breaker and lock it. It is not recorded: "
            "enter it."
        ),
        "surface": (
            "Shut the intake, or ask the district for the day on which it shuts off."
        ),
        "tank": "Shut the outlet of the tank. Its valve is not recorded: enter it.",
    }
    district = source.source == "surface"
    return Step(
        key=f"close {source.id}",
        act="close",
        on=source.id,
        to="off",
        text=f"{source.id}: {texts[source.source]}{noted(source)}",
        why="No recorded valve parts it from the irrigation.",
        cautions=() if district else (cautions.PIT,),
        source=citations.UTAH_DISTRICT if district else citations.OREGON_CITY,
        minutes=5,
        changes=(Change(source.id, "off"),),
    )
