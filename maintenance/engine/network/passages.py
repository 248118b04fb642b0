"""Which links pass water, in which direction, and what head that takes."""

from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.network.positions import DEVICES_THAT_SHUT, Positions
from maintenance.engine.site import (
    Backflow,
    CheckValve,
    InlineDevice,
    IsolationValve,
    Link,
    Position,
    Pump,
    ZoneValve,
)


@dataclass(frozen=True, slots=True)
class Passage:
    """Head that a link holds back along and against its direction; None: no way."""

    forward_m: float | None
    backward_m: float | None


BOTH_WAYS: Final = Passage(0.0, 0.0)
SHUT: Final = Passage(None, None)


def is_open(position: Position | None) -> bool:
    """Whether a part in this position passes water.

    Parameters
    ----------
    position : Position or None
        None where the part has no position. [-]

    Returns
    -------
    bool
        True where it is open or half open. [-]
    """
    return position in ("open", "half_open")


def find_passages(graph: Graph, positions: Positions) -> dict[str, Passage]:
    """Say of every link how water passes it.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    positions : mapping of str to Position
        Position of the parts that are set by hand; a valve without one is shut. [-]

    Returns
    -------
    dict of str to Passage
        By id of the link. [m]

    Notes
    -----
    A backflow assembly passes nothing: its springs hold more than is recorded, so
    that water behind it is taken to stay. Its openings are told by `find_openings`.
    """
    return {
        link.id: _passage(link, positions.get(link.id)) for link in graph.links.values()
    }


def _passage(link: Link, position: Position | None) -> Passage:
    match link:
        case CheckValve() if position is None:
            return Passage(link.holds.value if link.holds else 0.0, None)
        case Pump() if position is None and link.drains_back == "yes":
            return Passage(None, 0.0)
        case Backflow():
            return SHUT
        case IsolationValve() | ZoneValve() | CheckValve() | Pump():
            return BOTH_WAYS if is_open(position) else SHUT
        case InlineDevice() if link.kind in DEVICES_THAT_SHUT:
            return BOTH_WAYS if is_open(position) else SHUT
        case _:
            return BOTH_WAYS
