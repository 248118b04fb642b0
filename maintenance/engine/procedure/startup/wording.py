"""Names of parts and amounts, as they are written on a list."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.elements import (
    SHUTOFF_1,
    SHUTOFF_2,
    TEST_COCKS,
    Element,
)
from maintenance.engine.procedure.shutdown.names import (
    listed,
    noted,
    part_words,
    zone_place,
)
from maintenance.engine.site import Backflow, Zone, ZoneValve
from maintenance.engine.units import Rounding, display

MOST_NAMED: Final = 4
_PARTS = {
    SHUTOFF_1: "the first shut-off of",
    SHUTOFF_2: "the second shut-off of",
    TEST_COCKS: "the test cocks of",
}


def name_of(graph: Graph, element: Element) -> str:
    """Name something that can be moved.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    element : Element
        What is moved. [-]

    Returns
    -------
    str
        Kind, id and place. [-]
    """
    _, _, part = element.id.partition("/")
    if part in _PARTS:
        return f"{_PARTS[part]} assembly {element.part}"
    found = graph.points.get(element.part) or graph.links.get(element.part)
    if found is None:
        return element.id
    if isinstance(found, Backflow):
        return f"assembly {found.id}"
    if isinstance(found, ZoneValve):
        zone = zone_of_valve(graph, found.id)
        if zone is not None:
            return zone_place(zone, found)
    return part_words(found)


def short_name(graph: Graph, element: Element) -> str:
    """Name something that was named in full before.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    element : Element
        What is meant. [-]

    Returns
    -------
    str
        Kind and id, of a zone valve the zone. [-]
    """
    zone = zone_of_valve(graph, element.id)
    if zone is not None:
        return f"zone {zone.id}"
    return name_of(graph, element).partition(" (")[0]


def where_of(graph: Graph, part: str) -> str:
    """Return where the power of a part is, and what was noted on it, as sentences.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    part : str
        Id of a point or link. [-]

    Returns
    -------
    str
        Begins with a blank; empty where nothing is recorded. [-]
    """
    found = graph.points.get(part) or graph.links.get(part)
    if found is None:
        return ""
    power = getattr(found, "power_disconnect", None)
    return (f" Its power: {power}." if power else "") + noted(found)


def sentence(text: str) -> str:
    """Give a noted text a capital and a full stop.

    Parameters
    ----------
    text : str
        As entered. [-]

    Returns
    -------
    str
        The same, as a sentence. [-]
    """
    plain = text.strip()
    return plain[:1].upper() + plain[1:] + ("" if plain.endswith((".", "?")) else ".")


def zone_of_valve(graph: Graph, valve: str) -> Zone | None:
    """Return the zone of a valve.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    valve : str
        Id of the zone valve. [-]

    Returns
    -------
    Zone or None
        None where it waters no recorded zone. [-]
    """
    return next((zone for zone in graph.site.zones if zone.valve == valve), None)


def some(ids: Sequence[str]) -> str:
    """Name a few of many ids.

    Parameters
    ----------
    ids : sequence of str
        Ids. [-]

    Returns
    -------
    str
        At most four of them, then how many more there are. [-]

    Examples
    --------
    >>> some(["A", "B", "C", "D", "E", "F"])
    'A, B, C, D and 2 more'
    """
    if len(ids) <= MOST_NAMED + 1:
        return listed(list(ids))
    return f"{', '.join(ids[:MOST_NAMED])} and {len(ids) - MOST_NAMED} more"


def both(value: float, dimension: str, rounding: Rounding = "nearest") -> str:
    """Write an amount in US units and in SI.

    Parameters
    ----------
    value : float
        The amount. [SI]
    dimension : str
        Name in `DIMENSIONS`. [-]
    rounding : str
        ``down`` for limits, ``up`` for needs. [-]

    Returns
    -------
    str
        For example ``10.0 gal (37.9 L)``. [-]
    """
    us = display(value, dimension, "us", rounding)
    return f"{us} ({display(value, dimension, 'si', rounding)})"


def clock(start: datetime | None, minutes: float) -> str:
    """Write a time of day so many minutes after a start.

    Parameters
    ----------
    start : datetime or None
        When the work starts; None where nobody said. [-]
    minutes : float
        Minutes after it. [min]

    Returns
    -------
    str
        Rounded up to a whole minute, as ``14:20``; empty without a start. [-]
    """
    if start is None:
        return ""
    at = start + timedelta(minutes=minutes)
    if at.second or at.microsecond:
        at = at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    return f"{at:%H:%M}"
