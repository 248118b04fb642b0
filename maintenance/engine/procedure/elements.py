"""Everything on a site that a person can move, and where it may be left.

An element is named by the id of its part; parts of an assembly are ``B1/shutoff_1``,
``B1/shutoff_2`` and ``B1/test_cocks``; a controller is ``controller:K1``; the one
compressor is ``compressor``. Automatic drains and vents move by themselves and are no
elements.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    Controller,
    Drain,
    InlineDevice,
    IsolationValve,
    Link,
    Outlet,
    Point,
    Pump,
    Supply,
    ZoneValve,
)

COMPRESSOR: Final = "compressor"
SHUTOFF_1, SHUTOFF_2, TEST_COCKS = "shutoff_1", "shutoff_2", "test_cocks"
VALVE_WORDS: Final = ("open", "half_open", "closed")
COCK_WORDS: Final = (*VALVE_WORDS, "open_but_first")
"""The first cock of an RP or a DC stands upstream of the first shut-off; where that
shut-off is the only one, the cock stays closed (contractors' practice)."""
TAKEN_OUT_KINDS: Final = ("filter", "injector", "meter", "flow_sensor")
WITH_SHUTOFFS: Final = ("RP", "DC", "PVB", "SVB")
"""Assemblies of these kinds are made with two shut-offs, recorded or not."""


@dataclass(frozen=True, slots=True)
class Element:
    """Something that can be moved.

    ``part`` is the point, link or controller it belongs to. ``summer`` and ``winter``
    hold the positions that it may be left in, the one to choose first; where the
    site names one, it is the only one.
    """

    id: str
    kind: str
    part: str
    words: tuple[str, ...]
    summer: tuple[str, ...]
    winter: tuple[str, ...]


def controller_element(controller: str) -> str:
    """Return the element of a controller, whose id may also be a point's.

    Parameters
    ----------
    controller : str
        Id of the controller. [-]

    Returns
    -------
    str
        Id of the element. [-]
    """
    return f"controller:{controller}"


def part_element(assembly: str, part: str) -> str:
    """Return the element of a shut-off or of the test cocks of an assembly.

    Parameters
    ----------
    assembly : str
        Id of the link. [-]
    part : str
        ``SHUTOFF_1``, ``SHUTOFF_2`` or ``TEST_COCKS``. [-]

    Returns
    -------
    str
        Id of the element. [-]
    """
    return f"{assembly}/{part}"


def site_elements(graph: Graph) -> dict[str, Element]:
    """Return every element of a site.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to Element
        By id, in the order of the file; the compressor last. [-]
    """
    found: list[Element] = []
    for point in graph.points.values():
        found.extend(_of_point(graph, point))
    for link in graph.links.values():
        found.extend(_of_link(link))
    found.extend(_of_controller(each) for each in graph.site.controllers)
    found.append(
        Element(COMPRESSOR, COMPRESSOR, COMPRESSOR, ("off", "on"), ("off",), ("off",))
    )
    return {element.id: element for element in found}


def _valve(
    id_: str, part: str, kind: str, summer: str | None, winter: str | None
) -> Element:
    """Return an element with a valve's three positions; a named one stands alone."""
    custom = ("half_open", "closed", "open")
    if kind == "isolation_valve":
        custom = ("closed", "half_open", "open")
    return Element(
        id_,
        kind,
        part,
        VALVE_WORDS,
        (summer,) if summer else VALVE_WORDS,
        (winter,) if winter else custom,
    )


def _of_point(graph: Graph, point: Point) -> Iterator[Element]:
    key = point.id
    match point:
        case Supply():
            yield Element(key, "supply", key, ("on", "off"), ("on",), ("on", "off"))
        case BlowoutPort():
            words = ("plug_in", "hose_connected", "open")
            yield Element(
                key, point.kind, key, words, ("plug_in",), ("plug_in", "open")
            )
        case Drain() if point.drain == "manual":
            winter = ("open", "half_open", "closed")
            yield Element(key, "drain", key, VALVE_WORDS, ("closed",), winter)
        case Outlet(kind="quick_coupler"):
            keys = ("key_out", "key_in", "hose_connected")
            yield Element(key, point.kind, key, keys, ("key_out",), ("key_out",))
        case Outlet(kind="test_cock"):
            winter = ("open", "half_open", "closed")
            yield Element(key, point.kind, key, VALVE_WORDS, ("closed",), winter)
        case Outlet(kind="hydrant" | "end"):
            winter = ("closed", "open", "half_open")
            yield Element(key, point.kind, key, VALVE_WORDS, ("closed",), winter)
        case Outlet(kind="open_end"):
            summer = "closed" if _meets_water(graph, key) else "open"
            winter = ("open", "half_open", "closed")
            yield Element(key, point.kind, key, VALVE_WORDS, (summer,), winter)


def _meets_water(graph: Graph, start: str) -> bool:
    """Whether an open end would run in summer, so that it must be capped then."""
    seen, queue = {start}, [start]
    while queue:
        point = queue.pop()
        if isinstance(graph.points[point], Supply):
            return True
        for link_id in graph.joined[point]:
            link = graph.links[link_id]
            shut = isinstance(link, ZoneValve) or (
                isinstance(link, IsolationValve) and link.summer == "closed"
            )
            other = graph.other_end(link, point)
            if not shut and other not in seen:
                seen.add(other)
                queue.append(other)
    return False


def _of_link(link: Link) -> Iterator[Element]:
    key = link.id
    match link:
        case IsolationValve():
            yield _valve(key, key, link.kind, link.summer, link.winter)
        case Backflow():
            yield from _of_assembly(link)
        case ZoneValve():
            by_hand = ("half_open", "open") if link.opens_by == "hand" else ()
            yield Element(
                key, link.kind, key, VALVE_WORDS, ("closed",), ("closed", *by_hand)
            )
        case Pump():
            yield _of_pump(link)
        case InlineDevice(kind="master_valve"):
            winter = ("closed", "open")
            yield Element(key, link.kind, key, ("open", "closed"), ("open",), winter)
        case InlineDevice() if link.kind in TAKEN_OUT_KINDS:
            words = ("in_place", "taken_out")
            yield Element(key, "device", key, words, ("in_place",), words)


def _of_assembly(link: Backflow) -> Iterator[Element]:
    words = ("in_place", "removed")
    yield Element(link.id, "assembly", link.id, words, ("in_place",), words)
    for name, recorded in (
        (SHUTOFF_1, link.shutoff_1),
        (SHUTOFF_2, link.shutoff_2),
    ):
        if recorded is None and link.device not in WITH_SHUTOFFS:
            continue
        summer = recorded.summer if recorded and recorded.summer else "open"
        left = recorded.winter if recorded else None
        yield _valve(part_element(link.id, name), link.id, "shutoff", summer, left)
    if link.device in WITH_SHUTOFFS or link.test_cocks is not None:
        cocks = link.test_cocks
        named = cocks.winter if cocks else None
        winter: tuple[str, ...] = ("half_open", "open", "closed", "open_but_first")
        if named is not None:
            but_first = () if named == "closed" else ("open_but_first",)
            winter = (named, *but_first)
        key = part_element(link.id, TEST_COCKS)
        yield Element(key, TEST_COCKS, link.id, COCK_WORDS, ("closed",), winter)


def _of_pump(link: Pump) -> Element:
    words = ("on", "off", "proved_dead")
    summer = ("off", "on") if link.control == "hand" else ("on",)
    winter = ("on", "proved_dead", "off") if link.also_feeds else ("proved_dead", "off")
    return Element(link.id, link.kind, link.id, words, summer, winter)


def _of_controller(controller: Controller) -> Element:
    return Element(
        controller_element(controller.id),
        "controller",
        controller.id,
        ("on", "suspended", "off"),
        ("on",),
        ("off", "suspended"),
    )
