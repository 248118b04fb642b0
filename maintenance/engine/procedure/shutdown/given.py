"""A site as a list is compiled from it: laid out, with its choices."""

from dataclasses import dataclass

from maintenance.engine.network.air_ways import bar_rings
from maintenance.engine.network.graph import Graph, build_graph, zone_valves
from maintenance.engine.procedure.beginning import begin, fed_in_summer
from maintenance.engine.procedure.piping import Gate, Piping, lay_piping
from maintenance.engine.procedure.shutdown.choices import (
    ShutdownChoices,
    refuse_unknown,
)
from maintenance.engine.procedure.shutdown.names import zones_by_valve
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.ways_out import Opening
from maintenance.engine.site import Site, Zone, ZoneValve
from maintenance.engine.site.card import site_from_card
from maintenance.engine.units import UnitSystem, display


@dataclass(frozen=True, slots=True)
class Given:
    """What a list is compiled from.

    ``valves`` and ``zones`` go by the zone valve, ``gates`` by their element;
    ``barred`` holds the valves that are shut so that air has one way.
    """

    graph: Graph
    piping: Piping
    choices: ShutdownChoices
    units: UnitSystem
    valves: dict[str, ZoneValve]
    zones: dict[str, Zone]
    gates: dict[str, Gate]
    barred: frozenset[str]
    start: State

    @property
    def users(self) -> dict[str, int]:
        """Cells of the other uses that keep their water."""
        agreed = self.choices.agreed
        return {k: c for k, c in self.piping.users.items() if k not in agreed}

    def shown(self, value: float | None, dimension: str) -> str:
        """Write a value rounded down.

        Parameters
        ----------
        value : float or None
            Value. [SI]
        dimension : str
            Its dimension. [-]

        Returns
        -------
        str
            With its unit. [-]
        """
        return display(value, dimension, self.units, "down")

    def fed_by(self, user: str) -> frozenset[str]:
        """Return the sources that feed another use in summer.

        Parameters
        ----------
        user : str
            Id of the other use. [-]

        Returns
        -------
        frozenset of str
            Ids of sources. [-]
        """
        return fed_in_summer(self.piping)[self.piping.users[user]]

    def by_hand(self, valve: str) -> bool:
        """Whether a zone valve is opened by hand rather than from a controller.

        Parameters
        ----------
        valve : str
            Id of the valve. [-]

        Returns
        -------
        bool
            Also where a person chose so, where no controller is recorded, and where
            water in thin tubes works the valves, for that is off by then. [-]
        """
        opens_by = self.valves[valve].opens_by
        controllers = self.graph.site.controllers
        if opens_by == "hand" or self.choices.change_over == "hand":
            return True
        if opens_by is None and not controllers:
            return True
        return bool(controllers) and all(c.wiring == "hydraulic" for c in controllers)

    def height_m(self, opening: Opening) -> float:
        """Return the height of an opening; an assembly's is its higher end.

        Parameters
        ----------
        opening : Opening
            The opening. [-]

        Returns
        -------
        float
            In the site's own elevations. [m]
        """
        points = self.graph.points
        if opening.point in points:
            return points[opening.point].elevation.value
        link = self.graph.links[opening.point]
        return max(points[end].elevation.value for end in (link.from_, link.to))


def gather(site: Site, choices: ShutdownChoices, units: UnitSystem) -> Given:
    """Lay a site out for a list.

    Parameters
    ----------
    site : Site
        As recorded, checked; a one-card site is laid out by assumption. [-]
    choices : ShutdownChoices
        What a person decided. [-]
    units : str
        Units in which the sentences are written. [-]

    Returns
    -------
    Given
        Everything that the list is compiled from. [-]

    Raises
    ------
    InputError
        If a choice names what the site does not have.
    """
    graph = build_graph(site_from_card(site))
    refuse_unknown(graph, choices)
    piping = lay_piping(graph)
    start = begin(piping, "shutdown")
    valves = {valve.id: valve for valve in zone_valves(graph)}
    gates = {gate.id: gate for gate in piping.gates}
    zones = zones_by_valve(graph)
    barred = bar_rings(graph).valves
    return Given(graph, piping, choices, units, valves, zones, gates, barred, start)
