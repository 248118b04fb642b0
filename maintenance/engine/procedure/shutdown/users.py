"""Other uses of the same water: which source each keeps, and what stays open for it."""

from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.names import WATERS, listed
from maintenance.engine.procedure.spread import BACKWARD, FORWARD
from maintenance.engine.site import OtherUse, Supply


def users_of(given: Given, supply: str) -> list[str]:
    """Return the other uses that keep the water of a source.

    Parameters
    ----------
    given : Given
        The site. [-]
    supply : str
        Id of the source. [-]

    Returns
    -------
    list of str
        A use that several sources feed keeps the one nearest to it. [-]
    """
    return [user for user in given.users if _home(given, user) == supply]


def keep_open(draft: Draft) -> None:
    """Name everything on the way of the water to a use that keeps it.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    given = draft.given
    points = given.graph.points
    for link in given.graph.links.values():
        if link.kind != "pump":
            continue
        users = sorted(set(link.also_feeds or ()) - given.choices.agreed)
        power = f": leave {link.power_disconnect} on" if link.power_disconnect else ""
        if users:
            draft.stay(link.id, f"feeds {listed(users)}{power}")
    for user in given.users:
        supply = _home(given, user)
        part, water = points[user], points.get(supply)
        if not isinstance(water, Supply):
            continue
        what = part.what if isinstance(part, OtherUse) else user
        draft.stay(supply, f"{WATERS[water.source]} for {user} ({what})")
        for gate in way_of_water(given, user):
            draft.stay(gate, f"on the way of the water from {supply} to {user}")


def way_of_water(given: Given, user: str) -> list[str]:
    """Return the valves and pumps on the way of the water that a use keeps.

    Parameters
    ----------
    given : Given
        The site. [-]
    user : str
        Id of the other use. [-]

    Returns
    -------
    list of str
        From its source on; empty where no source feeds it. [-]
    """
    supply = _home(given, user)
    return _way(given, supply, user) or [] if supply else []


def _home(given: Given, user: str) -> str:
    """Return the source that a use keeps: the one with the fewest valves between."""
    ways = {key: _way(given, key, user) for key in sorted(given.fed_by(user))}
    found = {key: len(way) for key, way in ways.items() if way is not None}
    return min(found, key=lambda key: found[key], default="")


def _way(given: Given, supply: str, user: str) -> list[str] | None:
    """Return the valves and pumps on the shortest way of the water in summer."""
    piping = given.piping
    start, goal = piping.supplies[supply], piping.users[user]
    ways = tuple(
        FORWARD if gate.kind == "pump" else way
        for way, gate in zip(given.start.standing.passing, piping.gates, strict=True)
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
    if goal not in came:
        return None
    found, cell = [], goal
    while cell != start:
        cell, name = came[cell]
        found.append(name)
    return [name for name in reversed(found) if name]
