"""Sections: what hangs together as the valves stand, and what presses on it.

Shut valves part sections. So does what passes one way only (check valve, pump,
assembly): the water before and behind it need not be the same water.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.piping import Gate, Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sources import pushes
from maintenance.engine.procedure.spread import BACKWARD, BOTH, FORWARD, spread
from maintenance.engine.procedure.ways_out import OPEN_WORDS, WASTE, Opening
from maintenance.engine.site import Supply

LOW_OPENINGS: Final = frozenset(
    {"drain", "test_cock", "test_cocks", "first_cock", "assembly", "end", "open_end"}
    | {"blowout_port"}
)
"""Openings that let water run to daylight; heads and couplers stand higher."""


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """How a site stands with its elements in some positions.

    ``passing`` gives for each gate the ways it passes (`FORWARD`, `BACKWARD`, both or
    none); ``section_of`` for each cell the number of its section; ``cells`` the cells of
    each section; ``reach`` the cells that each source presses on; ``air`` the cells
    that the compressor presses on; ``open`` the openings that stand open, by cell.
    """

    piping: Piping
    positions: Positions
    passing: tuple[int, ...]
    section_of: tuple[int, ...]
    cells: tuple[tuple[int, ...], ...]
    reach: Mapping[str, frozenset[int]]
    air: frozenset[int]
    open: Mapping[int, tuple[Opening, ...]]

    def sources_at(self, cell: int) -> tuple[str, ...]:
        """Return the sources that press on a cell.

        Parameters
        ----------
        cell : int
            The cell. [-]

        Returns
        -------
        tuple of str
            Ids of supplies, in the order of the file. [-]
        """
        return tuple(key for key, cells in self.reach.items() if cell in cells)

    def name(self, cell: int) -> str:
        """Return the id of the section of a cell: its smallest point.

        Parameters
        ----------
        cell : int
            The cell. [-]

        Returns
        -------
        str
            Id of a point; of the inside of an assembly where there is nothing else. [-]
        """
        points = self.piping.graph.points
        section = self.cells[self.section_of[cell]]
        ids = [point for each in section for point in self.piping.members[each]]
        return min(ids, key=lambda id_: (id_ not in points, id_))


def stand(piping: Piping, positions: Positions) -> Standing:
    """Work out how a site stands.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]

    Returns
    -------
    Standing
        Sections, reach of sources and air, openings. [-]
    """
    passing = tuple(_passes(piping, positions, gate) for gate in piping.gates)
    section_of, cells = _sections(piping, passing)
    may_pass = _may_pass(piping, passing)
    reach = {
        key: _reach_of(piping, positions, key, may_pass) for key in piping.supplies
    }
    opened: dict[int, list[Opening]] = {}
    for opening in piping.openings:
        if is_open(opening, positions):
            opened.setdefault(opening.cell, []).append(opening)
    return Standing(
        piping,
        positions,
        passing,
        section_of,
        cells,
        reach,
        _air(piping, positions, may_pass),
        {cell: tuple(each) for cell, each in opened.items()},
    )


def is_open(opening: Opening, positions: Positions) -> bool:
    """Whether an opening stands open; one half open counts as open.

    Parameters
    ----------
    opening : Opening
        The opening. [-]
    positions : mapping of str to str
        Position of every element. [-]

    Returns
    -------
    bool
        Heads always are; automatic drains are, once nothing presses on them. [-]
    """
    if not opening.element:
        return True
    position = positions[opening.element]
    if opening.kind == WASTE:
        return position == "closed"
    if opening.kind == "test_cocks" and position == "open_but_first":
        return True
    return position in OPEN_WORDS


def is_shut(piping: Piping, positions: Positions, valve: str) -> bool:
    """Whether a valve parts what it joins.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]
    valve : str
        Id of a valve, a zone valve or a shut-off. [-]

    Returns
    -------
    bool
        A selector valve only while another one at the same point stands open, since
        it turns from one way to the other and never shuts both. [-]
    """
    if positions[valve] != "closed":
        return False
    if valve not in piping.selectors:
        return True
    return any(positions[mate] == "open" for mate in piping.selectors[valve])


def _passes(piping: Piping, positions: Positions, gate: Gate) -> int:
    if gate.kind in ("valve", "diaphragm"):
        if positions.get(gate.link) == "removed":
            return 0
        return 0 if is_shut(piping, positions, gate.id) else BOTH
    if gate.kind == "pump":
        return FORWARD if positions[gate.id] == "on" else 0
    if gate.kind == "assembly":
        return FORWARD if positions[gate.id] == "in_place" else 0
    return FORWARD


def _may_pass(piping: Piping, passing: tuple[int, ...]) -> tuple[int, ...]:
    """Return the ways counted against us: a shut diaphragm may pass backwards."""
    return tuple(
        way | BACKWARD if gate.kind == "diaphragm" else way
        for way, gate in zip(passing, piping.gates, strict=True)
    )


def _reach_of(
    piping: Piping, positions: Positions, supply: str, ways: tuple[int, ...]
) -> frozenset[int]:
    point = piping.graph.points[supply]
    if positions[supply] != "on":
        return frozenset()
    if isinstance(point, Supply) and pushes(point):
        ways = tuple(
            FORWARD if gate.kind == "pump" else way
            for way, gate in zip(ways, piping.gates, strict=True)
        )
    return spread(piping, [piping.supplies[supply]], ways)


def _air(piping: Piping, positions: Positions, ways: tuple[int, ...]) -> frozenset[int]:
    if positions[COMPRESSOR] != "on":
        return frozenset()
    hoses = [
        opening.cell
        for opening in piping.openings
        if opening.element and positions[opening.element] == "hose_connected"
    ]
    return spread(piping, hoses, ways)


def _sections(
    piping: Piping, passing: tuple[int, ...]
) -> tuple[tuple[int, ...], tuple[tuple[int, ...], ...]]:
    """Gather cells into sections, each named by its first cell."""
    first = list(range(len(piping.members)))
    for way, gate in zip(passing, piping.gates, strict=True):
        if way == BOTH:
            one, other = _first_of(first, gate.start), _first_of(first, gate.end)
            first[max(one, other)] = min(one, other)
    found: dict[int, list[int]] = {}
    for cell in range(len(first)):
        found.setdefault(_first_of(first, cell), []).append(cell)
    cells = tuple(map(tuple, found.values()))
    section_of = [0] * len(first)
    for number, section in enumerate(cells):
        for cell in section:
            section_of[cell] = number
    return tuple(section_of), cells


def _first_of(first: list[int], cell: int) -> int:
    while first[cell] != cell:
        first[cell] = first[first[cell]]
        cell = first[cell]
    return cell
