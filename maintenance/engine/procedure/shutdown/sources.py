"""Sources: each one shut, and what it feeds besides keeps its water."""

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import Standing
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import Isolation
from maintenance.engine.procedure.shutdown.names import (
    WATERS,
    listed,
    noted,
    part_words,
)
from maintenance.engine.procedure.spread import BACKWARD, FORWARD
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.site import Backflow, IsolationValve, OtherUse, Supply


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
        users = [u for u in draft.given.users if source.id in draft.given.fed_by(u)]
        draft.warn(
            "source_not_parted",
            f"No recorded valve parts {source.id} from the irrigation and leaves "
            f"{listed(users)} with water: fit or enter one. What {source.id} presses on "
            "is neither drained nor blown by this list.",
            source.id,
            *users,
        )


def keep_open(draft: Draft) -> None:
    """Name everything on the way of the water to a use that keeps it.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    given = draft.given
    piping, points = given.piping, given.graph.points
    for link in given.graph.links.values():
        if link.kind == "pump":
            users = sorted(set(link.also_feeds or ()) - given.choices.agreed)
            power = (
                f": leave {link.power_disconnect} on" if link.power_disconnect else ""
            )
            if users:
                draft.stay(link.id, f"feeds {listed(users)}{power}")
    for user, cell in given.users.items():
        part = points[user]
        what = part.what if isinstance(part, OtherUse) else user
        for supply in sorted(given.fed_by(user)):
            water = points[supply]
            if isinstance(water, Supply):
                why = f"{WATERS[water.source]} for {user} ({what})"
                draft.stay(supply, why)
            for gate in _way(
                piping, given.start.standing, piping.supplies[supply], cell
            ):
                draft.stay(gate, f"on the way of the water from {supply} to {user}")


def _shut(draft: Draft, valve: str, source: Supply) -> Step:
    links, elements = draft.given.graph.links, draft.given.piping.elements
    link = links[elements[valve].part]
    kept = [u for u in draft.given.users if source.id in draft.given.fed_by(u)]
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


def _way(piping: Piping, standing: Standing, start: int, goal: int) -> list[str]:
    """Return the valves and pumps on the shortest way of the water."""
    ways = tuple(
        FORWARD if gate.kind == "pump" else way
        for way, gate in zip(standing.passing, piping.gates, strict=True)
    )
    came: dict[int, tuple[int, str]] = {start: (start, "")}
    queue = [start]
    for cell in queue:
        for number in piping.at[cell]:
            gate = piping.gates[number]
            forward = gate.start == cell
            other = gate.end if forward else gate.start
            if other not in came and ways[number] & (FORWARD if forward else BACKWARD):
                came[other] = (cell, gate.id if gate.kind in ("valve", "pump") else "")
                queue.append(other)
    found, cell = [], goal
    while cell in came and cell != start:
        cell, name = came[cell]
        found.append(name)
    return [name for name in reversed(found) if name]
