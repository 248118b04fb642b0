"""Fits points without a place in among those that have one.

Points on a way between recorded ones are spread along it in proportion to length;
dead ends are hung on at their length, each in the direction with the most room;
parts joined to nothing recorded are laid out as a tree below the plan.
"""

import math
from collections import deque
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from maintenance.documents.drawing.graph import Graph
from maintenance.documents.drawing.sheet import Spot
from maintenance.documents.drawing.tree import arrange
from maintenance.engine.site import Link, Pipe

_DIRECTIONS = 16


def fit_around(graph: Graph, recorded: Mapping[str, Spot]) -> dict[str, Spot]:
    """Return a place for every point; the recorded ones stay where they are."""
    places: dict[str, Spot] = dict(recorded)
    step = _step(recorded)
    between = _between(graph, recorded)
    places.update(_spread(graph, places, between, step))
    _hang_on(graph, places, step)
    _set_below(graph, places, step)
    return places


def _step(recorded: Mapping[str, Spot]) -> float:
    """Return the length drawn for a part without one: a small part of the site. [m]."""
    xs, ys = zip(*recorded.values(), strict=True)
    extent: float = max(max(xs) - min(xs), max(ys) - min(ys), 20.0)
    return extent / 40


def _drawn_length(link: Link, step: float) -> float:
    return link.length.value if isinstance(link, Pipe) else step


def _between(graph: Graph, recorded: Mapping[str, Spot]) -> list[str]:
    """Return the points that lie on a way between two recorded ones."""
    left = {id_ for id_ in graph.points if id_ not in recorded}
    degree = {id_: len({other for other, _ in graph.neighbours(id_)}) for id_ in left}
    ends = deque(id_ for id_ in left if degree[id_] < 2)
    while ends:
        end = ends.popleft()
        left.discard(end)
        for other in {other for other, _ in graph.neighbours(end)} & left:
            degree[other] -= 1
            if degree[other] == 1:
                ends.append(other)
    anchored = _anchored(graph, left, recorded)
    return [id_ for id_ in graph.points if id_ in anchored]


def _anchored(graph: Graph, left: set[str], recorded: Mapping[str, Spot]) -> set[str]:
    """Return those joined to two recorded points: a loop may hang on one, or none."""
    anchored: set[str] = set()
    seen: set[str] = set()
    for start in sorted(left):
        if start in seen:
            continue
        part, anchors, waiting = {start}, set(), [start]
        while waiting:
            for other, _ in graph.neighbours(waiting.pop()):
                if other in recorded:
                    anchors.add(other)
                elif other in left and other not in part:
                    part.add(other)
                    waiting.append(other)
        seen |= part
        if len(anchors) > 1:
            anchored |= part
    return anchored


def _spread(
    graph: Graph, places: Mapping[str, Spot], between: list[str], step: float
) -> dict[str, Spot]:
    """Place each point at the mean of its neighbours, the nearer ones weighing more."""
    row = {id_: index for index, id_ in enumerate(between)}
    matrix = np.zeros((len(row), len(row)))
    right = np.zeros((len(row), 2))
    for id_, index in row.items():
        for other, link in graph.neighbours(id_):
            if other not in row and other not in places:
                continue
            weight = 1.0 / max(_drawn_length(link, step), 1e-3)
            matrix[index, index] += weight
            if other in row:
                matrix[index, row[other]] -= weight
            else:
                right[index] += weight * np.array(places[other])
    solved = np.linalg.solve(matrix, right) if row else right
    return {id_: (float(x), float(y)) for id_, (x, y) in zip(row, solved, strict=True)}


def _hang_on(graph: Graph, places: dict[str, Spot], step: float) -> None:
    """Hang dead ends on, each in the direction that keeps furthest from the rest."""
    waiting = deque(places)
    while waiting:
        point = waiting.popleft()
        for other, link in graph.neighbours(point):
            if other not in places:
                length = _drawn_length(link, step)
                places[other] = _freest(graph, places, point, length)
                waiting.append(other)


def _freest(
    graph: Graph, places: Mapping[str, Spot], point: str, length: float
) -> Spot:
    x, y = places[point]
    others = np.array([spot for id_, spot in places.items() if id_ != point])
    ahead = _ahead(graph, places, point)
    best, best_score = (x + length, y), -math.inf
    for turn in range(_DIRECTIONS):
        angle = ahead + turn * 2 * math.pi / _DIRECTIONS
        end = (x + length * math.cos(angle), y + length * math.sin(angle))
        middle = ((x + end[0]) / 2, (y + end[1]) / 2)
        room = min(_distance(others, end), 1.5 * _distance(others, middle), length)
        # Straight on is best, a right angle next, an odd angle last.
        score = room / length + 0.15 * math.cos(turn * 2 * math.pi / _DIRECTIONS)
        score += 0.1 * (turn % 4 == 0)
        if score > best_score + 1e-9:
            best, best_score = end, score
    return best


def _ahead(graph: Graph, places: Mapping[str, Spot], point: str) -> float:
    """Return the direction away from what is joined to a point already. [rad]."""
    x, y = places[point]
    for other, _ in graph.neighbours(point):
        if other in places and math.dist(places[other], (x, y)) > 1e-6:
            return math.atan2(y - places[other][1], x - places[other][0])
    return 0.0


def _distance(spots: NDArray[np.float64], to: Spot) -> float:
    if len(spots) == 0:
        return math.inf
    return float(np.hypot(spots[:, 0] - to[0], spots[:, 1] - to[1]).min())


def _set_below(graph: Graph, places: dict[str, Spot], step: float) -> None:
    """Set what is joined to nothing recorded under the rest."""
    loose = frozenset(graph.points) - frozenset(places)
    if not loose:
        return
    left = min(x for x, _ in places.values())
    bottom = min(y for _, y in places.values())
    for id_, (x, y) in arrange(graph, loose).places.items():
        places[id_] = (left + 2 * step * x, bottom + 2 * step * (y - 2))
