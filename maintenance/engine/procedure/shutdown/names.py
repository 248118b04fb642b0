"""How parts are called in a step: what it is, its id, where it stands."""

from typing import Final

from maintenance.engine.network.graph import Graph, zone_valves
from maintenance.engine.site import (
    BlowoutPort,
    Controller,
    IsolationValve,
    Link,
    Outlet,
    Point,
    Supply,
    Zone,
    ZoneValve,
)

WATERS: Final = {
    "public": "town water",
    "well": "well water",
    "surface": "surface water",
    "tank": "tank water",
}
_KINDS: Final = {
    "isolation_valve": "valve",
    "zone_valve": "zone valve",
    "master_valve": "master valve",
    "blowout_port": "port",
    "quick_coupler": "coupler",
    "end": "end cap",
    "open_end": "line end",
    "test_cock": "test cock",
    "flow_sensor": "flow sensor",
}
_TYPES: Final = {
    "ball": "ball valve",
    "gate": "gate valve",
    "stop_and_waste": "stop-and-waste valve",
    "selector": "selector valve",
}


def zones_by_valve(graph: Graph) -> dict[str, Zone]:
    """Return the zone of each zone valve; a valve without one stands for itself.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to Zone
        By the valve's id, in the order of the zones. [-]
    """
    known = {zone.valve: zone for zone in graph.site.zones if zone.valve}
    return {
        valve.id: known.get(valve.id) or Zone(id=valve.zone or valve.id, valve=valve.id)
        for valve in zone_valves(graph)
    }


def zone_words(zone: Zone) -> str:
    """Name a zone by id and name.

    Parameters
    ----------
    zone : Zone
        The zone. [-]

    Returns
    -------
    str
        For example ``zone 30, Top hedge``; the id once where it is in the name. [-]
    """
    name = zone.name or ""
    if not name or name.lower() == f"zone {zone.id}".lower():
        return f"zone {zone.id}"
    return f"zone {zone.id}, {name}"


def zone_place(zone: Zone, valve: ZoneValve) -> str:
    """Name a zone with its valve and its box.

    Parameters
    ----------
    zone : Zone
        The zone. [-]
    valve : ZoneValve
        Its valve. [-]

    Returns
    -------
    str
        For example ``zone 30, Top hedge (Z30, box 23)``. [-]
    """
    where = f", {zone.box}" if zone.box else ""
    return f"{zone_words(zone)} ({valve.id}{where})"


def part_words(part: Point | Link) -> str:
    """Name a part by what it is, its id and where it stands.

    Parameters
    ----------
    part : Point or Link
        The part. [-]

    Returns
    -------
    str
        For example ``port A1 (box 1, beside the assembly)``. [-]
    """
    kind = _KINDS.get(part.kind, part.kind.replace("_", " "))
    if isinstance(part, IsolationValve) and part.type:
        kind = _TYPES[part.type]
    if isinstance(part, Supply):
        kind = WATERS[part.source]
    where = ""
    if isinstance(part, Outlet | BlowoutPort) and part.where:
        where = f" ({part.where})"
    return f"{kind} {part.id}{where}"


def controller_words(controller: Controller) -> str:
    """Name a controller and where it hangs.

    Parameters
    ----------
    controller : Controller
        The controller. [-]

    Returns
    -------
    str
        For example ``controller K1 (mechanical room)``. [-]
    """
    where = f" ({controller.where})" if controller.where else ""
    return f"controller {controller.id}{where}"


def noted(part: Point | Link | Zone) -> str:
    """Return the note that is recorded with a part, as a sentence to append.

    Parameters
    ----------
    part : Point, Link or Zone
        The part. [-]

    Returns
    -------
    str
        Starting with a space; empty without a note. [-]
    """
    if not part.note:
        return ""
    end = "" if part.note.endswith((".", "!", "?")) else "."
    return f" Noted: {part.note}{end}"


def listed(names: tuple[str, ...] | list[str]) -> str:
    """Join names as in a sentence.

    Parameters
    ----------
    names : list of str
        Names. [-]

    Returns
    -------
    str
        ``A, B and C``. [-]

    Examples
    --------
    >>> listed(["A", "B", "C"])
    'A, B and C'
    """
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def capital(text: str) -> str:
    """Begin a text with a capital and leave the rest as it is.

    Parameters
    ----------
    text : str
        Not empty. [-]

    Returns
    -------
    str
        For example ``Zone 30, Top hedge``. [-]

    Examples
    --------
    >>> capital("zone 30, Top hedge")
    'Zone 30, Top hedge'
    """
    return text[0].upper() + text[1:]
