"""Lays a site out as an orthogonal tree, for points whose place is not recorded.

The main runs to the right; what branches off it stands above and below, alternately;
what branches off that runs to the right or left again. Each branch has a strip of
its own, so no two branches of the tree ever cross.
"""

from collections import deque
from dataclasses import dataclass, field

from maintenance.documents.drawing.graph import Graph, roots
from maintenance.documents.drawing.sheet import Spot
from maintenance.engine.site import ZoneValve

_BUS = 0.5
_BETWEEN = 1.0
_BETWEEN_COMPONENTS = 2.0


@dataclass(slots=True)
class Arranged:
    """Places in steps of the tree, and the bends of links that are not straight."""

    places: dict[str, Spot] = field(default_factory=dict)
    bends: dict[str, tuple[Spot, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Tree:
    children: dict[str, list[str]]
    link: dict[str, str]
    by_valve: frozenset[str]
    weight: dict[str, int]
    turns: bool


@dataclass(slots=True)
class _Block:
    """A laid-out branch: u runs along it, v across it; it starts at (0, 0)."""

    places: dict[str, Spot] = field(default_factory=dict)
    bends: dict[str, tuple[Spot, ...]] = field(default_factory=dict)

    def extent(self) -> tuple[float, float, float, float]:
        """Return least and greatest u, least and greatest v."""
        spots = [*self.places.values(), *(s for b in self.bends.values() for s in b)]
        us, vs = [u for u, _ in spots], [v for _, v in spots]
        return min(us), max(us), min(vs), max(vs)


def arrange(graph: Graph, points: frozenset[str] | None = None) -> Arranged:
    """Lay out all points, or those given, from (0, 0) right and down (y negative).

    Parts that are joined to nothing else stand under each other.
    """
    wanted = frozenset(graph.points) if points is None else points
    arranged = Arranged()
    below = 0.0
    for root in roots(graph):
        if root not in wanted or root in arranged.places:
            continue
        tree = _spanning_tree(graph, root, wanted)
        block = _branch(tree, root, in_lateral=False)
        u0, _, v0, v1 = block.extent()
        for id_, (u, v) in block.places.items():
            arranged.places[id_] = (u - u0, v0 - v - below)
        for id_, bend in block.bends.items():
            arranged.bends[id_] = tuple((u - u0, v0 - v - below) for u, v in bend)
        below += v1 - v0 + _BETWEEN_COMPONENTS
    return arranged


def _spanning_tree(graph: Graph, root: str, wanted: frozenset[str]) -> _Tree:
    children: dict[str, list[str]] = {root: []}
    link_to: dict[str, str] = {}
    by_valve = set()
    order = [root]
    waiting = deque([root])
    while waiting:
        point = waiting.popleft()
        for other, link in graph.neighbours(point):
            if other in children or other not in wanted:
                continue
            children[other] = []
            children[point].append(other)
            link_to[other] = link.id
            if isinstance(link, ZoneValve):
                by_valve.add(other)
            order.append(other)
            waiting.append(other)
    weight = dict.fromkeys(order, 1)
    for point in reversed(order):
        weight[point] += sum(weight[child] for child in children[point])
    return _Tree(children, link_to, frozenset(by_valve), weight, len(by_valve) > 1)


def _branch(tree: _Tree, start: str, *, in_lateral: bool) -> _Block:
    block = _Block()
    # How far each side is taken up along the branch: v > 0 and v < 0.
    used = {1: -1e9, -1: -1e9}
    point: str | None = start
    u = 0.0
    while point is not None:
        onward = _onward(tree, point, in_lateral)
        aside = [child for child in tree.children[point] if child != onward]
        branches = [
            (
                child,
                _branch(tree, child, in_lateral=in_lateral or child in tree.by_valve),
            )
            for child in aside
        ]
        u = _room_for(branches, used, u)
        block.places[point] = (u, 0.0)
        furthest = u
        for child, branch in branches:
            furthest = max(furthest, _attach(tree, block, used, u, (child, branch)))
        u = furthest + 1.0
        point = onward
    return block


def _onward(tree: _Tree, point: str, in_lateral: bool) -> str | None:
    """Return the child in which the branch runs on: the heaviest."""
    children = tree.children[point]
    if tree.turns and not in_lateral:
        children = [child for child in children if child not in tree.by_valve]
    return max(children, key=lambda child: tree.weight[child], default=None)


def _across(branch: _Block, side: int) -> tuple[float, float]:
    """Return the strip along the parent that a branch takes, from its own start."""
    _, _, v0, v1 = branch.extent()
    return (v0, v1) if side > 0 else (-v1, -v0)


def _side_for(used: dict[int, float]) -> int:
    return 1 if used[1] <= used[-1] else -1


def _room_for(
    branches: list[tuple[str, _Block]], used: dict[int, float], u: float
) -> float:
    """Return where a point may stand so that its first two branches are straight."""
    taken = dict(used)
    for _, branch in branches[:2]:
        side = _side_for(taken)
        low, high = _across(branch, side)
        u = max(u, taken[side] + _BETWEEN - low)
        taken[side] = u + high
    return u


def _attach(
    tree: _Tree,
    block: _Block,
    used: dict[int, float],
    u: float,
    child_branch: tuple[str, _Block],
) -> float:
    """Put a branch beside its parent; return how far along that reached."""
    child, branch = child_branch
    side = _side_for(used)
    low, high = _across(branch, side)
    at = max(u, used[side] + _BETWEEN - low)
    used[side] = at + high
    off = 1.0 - min(0.0, branch.extent()[0])

    def turned(spot: Spot) -> Spot:
        return (at + side * spot[1], side * (off + spot[0]))

    for id_, spot in branch.places.items():
        block.places[id_] = turned(spot)
    for id_, bend in branch.bends.items():
        block.bends[id_] = tuple(turned(spot) for spot in bend)
    if at > u:
        block.bends[tree.link[child]] = ((u, side * _BUS), (at, side * _BUS))
    return at
