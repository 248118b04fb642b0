"""Where a site can be open to the air: drains, cocks, couplers, ports, heads."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.elements import TEST_COCKS, Element, part_element
from maintenance.engine.site import (
    Backflow,
    Drain,
    Head,
    IsolationValve,
    Link,
    Outlet,
    Point,
    ZoneValve,
)

FIRST_COCK_UPSTREAM: Final = ("RP", "DC")
"""Their first test cock stands upstream of the first shut-off (from memory)."""
OPEN_WORDS: Final = frozenset({"open", "half_open", "key_in", "removed"})


WASTE: Final = "waste"
"""The side port of a stop-and-waste valve: open while the valve is shut, in the ground,
so that nobody sees it pass."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A way from a cell to the open air; ``valves`` are the zone valves of a head."""

    element: str
    kind: str
    cell: int
    point: str
    valves: tuple[str, ...] = ()


def find_openings(
    graph: Graph,
    elements: Mapping[str, Element],
    cell_of: Mapping[str, int],
    fed_by: Mapping[int, tuple[str, ...]],
) -> tuple[Opening, ...]:
    """Find every opening of a site, open or not.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    elements : mapping of str to Element
        What can be moved. [-]
    cell_of : mapping of str to int
        Cell of each point. [-]
    fed_by : mapping of int to tuple of str
        Zone valves that feed each cell. [-]

    Returns
    -------
    tuple of Opening
        A zone without a recorded head is taken to have one behind its valve. [-]
    """
    found = [
        opening
        for point in graph.points.values()
        if (opening := _opening(point, cell_of[point.id], fed_by)) is not None
    ]
    watering = {valve for opening in found for valve in opening.valves}
    for link in graph.links.values():
        found.extend(_of_link(link, cell_of, elements))
        if isinstance(link, ZoneValve) and link.id not in watering:
            cell = cell_of[link.to]
            found.append(Opening("", "head", cell, link.to, fed_by[cell]))
    return tuple(found)


def _opening(
    point: Point, cell: int, fed_by: Mapping[int, tuple[str, ...]]
) -> Opening | None:
    match point:
        case Head():
            held = point.check_valve is not None and point.check_valve.value > 0
            kind = "checked_head" if held else "head"
            return Opening("", kind, cell, point.id, fed_by.get(cell, ()))
        case Drain(drain="automatic"):
            return Opening("", "automatic_drain", cell, point.id)
        case (
            Drain()
            | Outlet(
                kind="test_cock" | "hydrant" | "end" | "open_end" | "quick_coupler"
            )
        ):
            return Opening(point.id, point.kind, cell, point.id)
    if point.kind == "blowout_port":
        return Opening(point.id, point.kind, cell, point.id)
    return None


def _of_link(
    link: Link, cell_of: Mapping[str, int], elements: Mapping[str, Element]
) -> Iterator[Opening]:
    if isinstance(link, Backflow):
        yield from _of_assembly(link, cell_of, elements)
    if isinstance(link, IsolationValve) and link.type == "stop_and_waste":
        yield Opening(link.id, WASTE, cell_of[link.to], link.to)


def _of_assembly(
    link: Backflow, cell_of: Mapping[str, int], elements: Mapping[str, Element]
) -> list[Opening]:
    inside = [cell_of[f"{link.id}/inlet"], cell_of[f"{link.id}/outlet"]]
    outside = [cell_of[link.from_], cell_of[link.to]]
    found = [
        Opening(link.id, "assembly", cell, link.id)
        for cell in dict.fromkeys((*outside, *inside))
    ]
    cocks = part_element(link.id, TEST_COCKS)
    if cocks not in elements:
        return found
    found.extend(Opening(cocks, TEST_COCKS, cell, link.id) for cell in inside)
    if link.device in FIRST_COCK_UPSTREAM:
        found.append(Opening(cocks, "first_cock", outside[0], link.id))
    return found
