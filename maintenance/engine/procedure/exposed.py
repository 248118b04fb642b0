"""What of a site stands in the open air, and what parts it from the water."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from maintenance.engine.procedure.piping import Gate, Piping
from maintenance.engine.procedure.spread import spread
from maintenance.engine.site import Backflow, Pipe, ZoneValve

RISER_M: Final = 24 * 0.0254
"""How far under an assembly its risers are emptied: 18 to 24 in below it stands the
water most worth draining (a broadcast of CBS Denver, 8 October 2019) [m]."""
_HIDDEN: Final = ("buried", "indoors")


@dataclass(frozen=True, slots=True)
class Exposed:
    """Parts that stand in the open air; ``assumed`` are those not recorded so.

    ``valves`` are zone valves with a vacuum breaker of their own; ``risers`` the buried
    pipes that come up to an exposed assembly, with the elevation [m] down to which they
    are to be emptied.
    """

    assemblies: tuple[str, ...]
    valves: tuple[str, ...]
    pipes: tuple[str, ...]
    risers: tuple[tuple[str, float], ...]
    assumed: tuple[str, ...]

    @property
    def all(self) -> tuple[str, ...]:
        """Every one of them."""
        return (*self.assemblies, *self.valves, *self.pipes)


@dataclass(frozen=True, slots=True)
class Parting:
    """What is shut to keep the water off the exposed parts.

    ``valves`` are shut, ``supplies`` turned off; ``reached`` names exposed parts that a
    source still presses on, since nothing on record can part them.
    """

    valves: tuple[str, ...]
    supplies: tuple[str, ...]
    reached: tuple[str, ...]


def find_exposed(piping: Piping) -> Exposed:
    """Find what stands in the open air.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    Exposed
        An assembly without a recorded place is taken to stand above ground, a pipe
        not. [-]
    """
    links = piping.graph.links.values()
    assemblies = [x for x in links if isinstance(x, Backflow)]
    open_air = tuple(x.id for x in assemblies if x.placement not in _HIDDEN)
    valves = tuple(x.id for x in links if isinstance(x, ZoneValve) and x.anti_siphon)
    return Exposed(
        open_air,
        valves,
        tuple(
            x.id for x in links if isinstance(x, Pipe) and x.placement == "above_ground"
        ),
        tuple(_risers(piping, open_air)),
        tuple(x.id for x in assemblies if x.placement is None),
    )


def _risers(piping: Piping, parts: Iterable[str]) -> Iterator[tuple[str, float]]:
    graph = piping.graph
    for key in parts:
        link = graph.links[key]
        for end in (link.from_, link.to):
            floor = graph.points[end].elevation.value - RISER_M
            for other in graph.joined[end]:
                pipe = graph.links[other]
                if isinstance(pipe, Pipe) and pipe.placement in (None, "buried"):
                    yield other, floor


def exposed_cells(piping: Piping, parts: Iterable[str]) -> frozenset[int]:
    """Return the cells that some parts stand in.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    parts : iterable of str
        Ids of links. [-]

    Returns
    -------
    frozenset of int
        Of an assembly also the two inside it. [-]
    """
    found: set[int] = set()
    for key in parts:
        link = piping.graph.links[key]
        found |= {piping.cell_of[link.from_], piping.cell_of[link.to]}
        if isinstance(link, Backflow):
            found |= {piping.cell_of[f"{key}/{end}"] for end in ("inlet", "outlet")}
    return frozenset(found)


def part_from_water(piping: Piping, exposed: Exposed, ways: tuple[int, ...]) -> Parting:
    """Find what to shut so that no source presses on the exposed parts.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    exposed : Exposed
        What stands in the open air. [-]
    ways : tuple of int
        The ways each gate passes as the site stands. [-]

    Returns
    -------
    Parting
        For each part the nearest valve before it that leaves other uses their water
        and may be left shut; else the source itself where nobody else uses it. [-]
    """
    shut: dict[str, None] = {}
    reached: list[str] = []
    for key in exposed.all:
        cells = exposed_cells(piping, [key])
        for source, start in piping.supplies.items():
            if not _presses(piping, source, ways, shut) & cells:
                continue
            valve = _nearest(piping, exposed, (start, cells), ways)
            if valve is not None:
                shut[valve] = None
            elif not spread(piping, [start], ways) & set(piping.users.values()):
                shut[source] = None
            else:
                reached.append(key)
    parted = exposed_cells(piping, (k for k in exposed.all if k not in reached))
    for valve in tuple(shut):
        # What stands behind another shut valve need not be shut as well.
        rest = [each for each in shut if each != valve]
        if not any(_presses(piping, s, ways, rest) & parted for s in piping.supplies):
            del shut[valve]
    return Parting(
        tuple(each for each in shut if each not in piping.supplies),
        tuple(each for each in shut if each in piping.supplies),
        tuple(dict.fromkeys(reached)),
    )


def _presses(
    piping: Piping, source: str, ways: tuple[int, ...], shut: Collection[str]
) -> frozenset[int]:
    """Return where a source presses with some valves shut and sources turned off."""
    if source in shut:
        return frozenset()
    left = tuple(
        0 if gate.id in shut else way
        for gate, way in zip(piping.gates, ways, strict=True)
    )
    return spread(piping, [piping.supplies[source]], left)


def _nearest(
    piping: Piping,
    exposed: Exposed,
    between: tuple[int, frozenset[int]],
    ways: tuple[int, ...],
) -> str | None:
    start, cells = between
    users = spread(piping, [start], ways) & set(piping.users.values())
    found: list[tuple[int, str]] = []
    for number, gate in enumerate(piping.gates):
        if not _may_be_shut(piping, exposed, gate) or not ways[number]:
            continue
        shut = tuple(0 if n == number else way for n, way in enumerate(ways))
        before = spread(piping, [start], shut)
        if not before & cells and users <= before:
            found.append((len(before), gate.id))
    return max(found)[1] if found else None


def _may_be_shut(piping: Piping, exposed: Exposed, gate: Gate) -> bool:
    """Whether a valve is not itself part of what stands in the open air."""
    element = piping.elements.get(gate.id)
    if gate.kind != "valve" or gate.id in piping.selectors or element is None:
        return False
    return gate.link not in exposed.assemblies and "closed" in (
        *element.winter,
        *element.summer,
    )
