"""Positions of the parts that are set by hand: in winter, and as a person changes them.

A part without a position does what it does by itself: a check valve checks, an
automatic drain waits for little pressure, a head leaks at its nozzle.
"""

from collections.abc import Iterable, Mapping
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import Graph
from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    CheckValve,
    Drain,
    Head,
    InlineDevice,
    IsolationValve,
    Link,
    Outlet,
    Point,
    Position,
    Pump,
    ZoneValve,
)
from maintenance.engine.site.wording import nearest, shown

Positions = Mapping[str, Position]
DEVICES_THAT_SHUT: Final = ("master_valve", "relief_valve")
"""Devices in the line that stand shut without power or pressure."""
_WINTER: Final[dict[str, Position]] = {
    "test_cock": "open",
    "open_end": "open",
    "quick_coupler": "closed",
    "end": "closed",
    "hydrant": "closed",
    "tank": "closed",
    "blowout_port": "closed",
}


def assembly_parts(device: Backflow) -> tuple[str, str, str]:
    """Name the parts of a backflow assembly that have positions of their own.

    Parameters
    ----------
    device : Backflow
        The assembly. [-]

    Returns
    -------
    tuple of str
        Shut-off before it, shut-off behind it, test cocks. [-]

    Examples
    --------
    >>> assembly_parts(Backflow(id="B1", from_="J3", to="J4", device="RP"))
    ('B1/shutoff_1', 'B1/shutoff_2', 'B1/test_cocks')
    """
    return (
        f"{device.id}/shutoff_1",
        f"{device.id}/shutoff_2",
        f"{device.id}/test_cocks",
    )


def winter_positions(graph: Graph) -> dict[str, Position]:
    """Return the position of every part that is set by hand, left for the winter.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to Position
        Drains, test cocks and open ends open; couplers, ports, ends, hydrants, tanks
        and zone valves closed; isolation valves and the parts of an assembly as
        recorded for winter, closed where nothing is recorded. [-]
    """
    positions: dict[str, Position] = {}
    for point in graph.points.values():
        if isinstance(point, Drain):
            if point.drain == "manual":
                positions[point.id] = "open"
        elif point.kind in _WINTER:
            positions[point.id] = _WINTER[point.kind]
    for link in graph.links.values():
        if isinstance(link, IsolationValve):
            positions[link.id] = link.winter or "closed"
        elif isinstance(link, Backflow):
            parts = (link.shutoff_1, link.shutoff_2, link.test_cocks)
            for name, part in zip(assembly_parts(link), parts, strict=True):
                positions[name] = (part.winter if part else None) or "closed"
        elif isinstance(link, ZoneValve) or _is_shutting_device(link):
            positions[link.id] = "closed"
    return positions


def changed_positions(
    graph: Graph,
    positions: Positions,
    *,
    opens: Iterable[str] = (),
    shuts: Iterable[str] = (),
) -> dict[str, Position]:
    """Open and shut some parts.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to Position
        Positions before; they are left as they are. [-]
    opens, shuts : iterable of str
        Ids of parts; an assembly stands for its shut-offs and test cocks, which may
        be named one by one too (``B1/shutoff_1``). [-]

    Returns
    -------
    dict of str to Position
        All positions. [-]

    Raises
    ------
    InputError
        If an id is unknown, named twice, or of a part that nobody opens or shuts.
    """
    opened = _parts_named(graph, opens, "opened")
    shut = _parts_named(graph, shuts, "shut")
    for part in opened:
        if part in shut:
            raise InputError(
                f'"{shown(part)}" cannot be open and shut at once: name it once.',
                input="shut",
            )
    changes: dict[str, Position] = dict.fromkeys(opened, "open")
    return {**positions, **changes, **dict.fromkeys(shut, "closed")}


def _parts_named(graph: Graph, ids: Iterable[str], done: str) -> dict[str, None]:
    known = [link for link in graph.links.values() if isinstance(link, Backflow)]
    inner = {name for device in known for name in assembly_parts(device)}
    found: dict[str, None] = {}
    for id_ in ids:
        part = graph.points.get(id_) or graph.links.get(id_)
        if part is None and id_ not in inner:
            near = nearest(id_, [*graph.points, *graph.links, *inner])
            mend = near or "; look it up in the site file."
            raise InputError(
                f'"{shown(id_)}" cannot be {done}: no part of this site has that id'
                f"{mend}",
                input=id_,
            )
        if part is None:
            found[id_] = None
        elif isinstance(part, Backflow):
            found.update(dict.fromkeys(assembly_parts(part)))
        elif _is_set_by_hand(part):
            found[id_] = None
        else:
            kind = part.kind.replace("_", " ")
            raise InputError(
                f'"{shown(id_)}" cannot be {done}: it is a part of kind {kind}; name '
                "a valve, pump, head, drain, coupler, test cock, port or end.",
                input=id_,
            )
    return found


def _is_set_by_hand(part: Point | Link) -> bool:
    kinds = (IsolationValve, ZoneValve, CheckValve, Pump)
    openings = (Head, Drain, Outlet, BlowoutPort)
    return isinstance(part, (*kinds, *openings)) or _is_shutting_device(part)


def _is_shutting_device(part: Point | Link) -> bool:
    return isinstance(part, InlineDevice) and part.kind in DEVICES_THAT_SHUT
