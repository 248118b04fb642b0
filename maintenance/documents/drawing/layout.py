"""Gives every point of a site a place, and says which places are only assumed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from maintenance.documents.drawing.around import fit_around
from maintenance.documents.drawing.graph import Graph, graph_of
from maintenance.documents.drawing.sheet import Spot
from maintenance.documents.drawing.tree import arrange
from maintenance.engine.site import Site

Kind = Literal["recorded", "partly", "schematic"]
HEADINGS: Mapping[Kind, str] = {
    "recorded": "",
    "partly": "dashed: place not recorded",
    "schematic": "schematic, not to place",
}


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a point is drawn: x to the east, y to the north."""

    x: float
    y: float
    recorded: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """The places of all points, and the bends of links that are not straight.

    Places are in metres where any is recorded, in steps of the tree where none is.
    """

    kind: Kind
    points: dict[str, Placed]
    bends: dict[str, tuple[Spot, ...]]


def lay_out(site: Site) -> Layout:
    """Return a place for every point, the recorded one where there is one."""
    graph = graph_of(site)
    recorded = {
        id_: point.position
        for id_, point in graph.points.items()
        if point.position is not None
    }
    if not recorded:
        return _schematic(graph)
    places = fit_around(graph, recorded)
    points = {
        id_: Placed(*places[id_], recorded=id_ in recorded) for id_ in graph.points
    }
    kind: Kind = "recorded" if len(recorded) == len(graph.points) else "partly"
    return Layout(kind, points, {})


def _schematic(graph: Graph) -> Layout:
    arranged = arrange(graph)
    points = {
        id_: Placed(*arranged.places[id_], recorded=False) for id_ in graph.points
    }
    return Layout("schematic", points, arranged.bends)
