"""Where water stays on a site that is left to drain, with all that is said of it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from maintenance.engine.figure import Figure, Warning, without_repeats
from maintenance.engine.network.drain_states import drain_states, state_warnings
from maintenance.engine.network.drain_warnings import drain_warnings
from maintenance.engine.network.drainage import Drainage, find_drainage
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.network.next_drains import NextDrain, rank_next_drains
from maintenance.engine.network.pools import AirLock, find_air_locks
from maintenance.engine.network.positions import (
    Positions,
    changed_positions,
    winter_positions,
)
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card

METHOD = (
    "Water falls to the lowest level at which it can still reach an opening, with what "
    "checks hold; what lies below that level stays. Siphons are taken to break."
)
SOURCES = (
    (
        "Barnes, Lehman and Mulla, Computers & Geosciences 62, 117-127, 2014 (the same pass "
        "on a grid)"
    ),
)
ASSUMPTIONS = (
    "all pipe is full at first, and each pipe is straight between its ends",
    "no film, no water in joints, valves and devices",
    "bores from outside diameter and least wall: the most that a pipe holds",
    "a level is good to about one pipe diameter",
)


@dataclass(frozen=True, slots=True)
class DrainedSite:
    """A site left to drain: the positions, the water, what to open or fit next.

    ``opens`` and ``shuts`` are the ids that differ from the winter positions.
    """

    site: str
    site_name: str
    graph: Graph
    opens: tuple[str, ...]
    shuts: tuple[str, ...]
    positions: Positions
    drainage: Drainage
    air_locks: tuple[AirLock, ...]
    next_drains: tuple[NextDrain, ...]
    figures: Mapping[str, Figure]
    warnings: tuple[Warning, ...]


def drain_site(
    site: Site, *, opens: Iterable[str] = (), shuts: Iterable[str] = ()
) -> DrainedSite:
    """Work out where water stays on a site, its parts in winter position.

    Parameters
    ----------
    site : Site
        As recorded, checked; a one-card site is laid out by assumption. [-]
    opens, shuts : iterable of str
        Ids of parts that are opened or shut besides. [-]

    Returns
    -------
    DrainedSite
        Everything a face shows. [SI]

    Raises
    ------
    InputError
        If an id is unknown, named both ways, or of a part that nobody opens or shuts.
    """
    opens, shuts = tuple(dict.fromkeys(opens)), tuple(dict.fromkeys(shuts))
    graph = build_graph(site_from_card(site))
    positions = changed_positions(
        graph, winter_positions(graph), opens=opens, shuts=shuts
    )
    drainage = find_drainage(graph, drain_states(graph, positions))
    air_locks = find_air_locks(graph, drainage)
    return DrainedSite(
        site=site.id,
        site_name=site.name,
        graph=graph,
        opens=opens,
        shuts=shuts,
        positions=positions,
        drainage=drainage,
        air_locks=air_locks,
        next_drains=rank_next_drains(graph, drainage),
        figures={"trapped_m3": _trapped(drainage)},
        warnings=without_repeats(
            (
                *assumed_layout(site),
                *drain_warnings(graph, drainage, air_locks),
                *state_warnings(graph, positions),
            )
        ),
    )


def _trapped(drainage: Drainage) -> Figure:
    return Figure(
        drainage.trapped_m3,
        "volume",
        METHOD,
        SOURCES,
        assumptions=ASSUMPTIONS,
        rounding="up",
        missing="unknown: enter the size of the pipes that hold water",
    )


def assumed_layout(site: Site) -> tuple[Warning, ...]:
    """Say which layout is not recorded but assumed.

    Parameters
    ----------
    site : Site
        As recorded, before it is laid out. [-]

    Returns
    -------
    tuple of Warning
        At most one. [-]
    """
    if site.card is not None:
        text = "The layout is assumed from one card: every figure is an estimate."
        return (Warning("assumed_layout", text),)
    quick = tuple(zone.id for zone in site.zones if zone.quick is not None)
    if not quick:
        return ()
    text = "Assumed layout in these zones: a straight run of equal heads."
    return (Warning("assumed_layout", text, quick),)
