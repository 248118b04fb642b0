"""Small random networks with checks, valves and openings, and their own description.

The description (arcs, lips, automatic drains) is written down while the network is
drawn, so that what is worked out from it owes nothing to the engine's reading of parts.
"""

from dataclasses import dataclass, field

import numpy as np

from maintenance.engine.site import (
    CheckValve,
    Drain,
    Head,
    IsolationValve,
    Junction,
    Link,
    Outlet,
    Pipe,
    Place,
    Point,
    Site,
    Zone,
    ZoneValve,
)
from maintenance.engine.units import Quantity

WATER_HEAD_PA = 1000.0 * 9.80665


def metres(value: float) -> Quantity:
    return Quantity(value, f"{value} m")


@dataclass
class RandomNetwork:
    """A site and how it was drawn. ``arcs`` are (from, to, head held) for water."""

    points: list[Point] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    zones: list[Zone] = field(default_factory=list)
    z: dict[str, float] = field(default_factory=dict)
    arcs: list[tuple[str, str, float]] = field(default_factory=list)
    lips: list[tuple[str, float]] = field(default_factory=list)
    automatic: list[tuple[str, float]] = field(default_factory=list)

    @property
    def site(self) -> Site:
        return Site(
            id="random",
            name="Random",
            place=Place(elevation=metres(0.0), time_zone="America/Denver"),
            points=tuple(self.points),
            links=tuple(self.links),
            zones=tuple(self.zones),
        )


def draw_network(seed: int, *, most_points: int = 8) -> RandomNetwork:
    """Draw a connected network, often with rings; levels in quarter metres tie."""
    rng = np.random.default_rng(seed)
    network = RandomNetwork()
    count = int(rng.integers(3, most_points + 1))
    for number in range(count):
        _draw_point(network, rng, f"N{number}")
    for number in range(1, count):
        _draw_link(network, rng, f"N{int(rng.integers(0, number))}", f"N{number}")
    for _ in range(int(rng.integers(0, 4))):
        start, end = rng.choice(count, size=2, replace=False)
        _draw_link(network, rng, f"N{start}", f"N{end}")
    return network


def _draw_point(network: RandomNetwork, rng: np.random.Generator, name: str) -> None:
    level = float(rng.integers(-8, 9)) / 4
    network.z[name] = level
    at = metres(level)
    kind = rng.choice(
        ["junction", "drain", "head", "check_head", "automatic", "coupler", "cock"],
        p=[0.5, 0.12, 0.08, 0.1, 0.1, 0.06, 0.04],
    )
    if kind == "junction":
        network.points.append(Junction(id=name, elevation=at))
    elif kind == "drain":
        network.points.append(Drain(id=name, drain="manual", elevation=at))
        network.lips.append((name, level))
    elif kind == "automatic":
        head = float(rng.integers(1, 13)) / 4 + 0.1
        network.points.append(
            Drain(
                id=name,
                drain="automatic",
                elevation=at,
                opens_below=Quantity(head * WATER_HEAD_PA, f"{head} m"),
            )
        )
        network.automatic.append((name, head))
    elif kind == "coupler":
        network.points.append(Outlet(id=name, kind="quick_coupler", elevation=at))
    elif kind == "cock":
        network.points.append(Outlet(id=name, kind="test_cock", elevation=at))
        network.lips.append((name, level))
    else:
        holds = float(rng.integers(0, 9)) / 4 if kind == "check_head" else None
        network.points.append(
            Head(
                id=name,
                head="spray",
                elevation=at,
                nozzle_height=metres(0.125),
                check_valve=None if holds is None else metres(holds),
            )
        )
        network.lips.append((name, level + 0.125 + (holds or 0.0)))


def _draw_link(
    network: RandomNetwork, rng: np.random.Generator, start: str, end: str
) -> None:
    name = f"K{len(network.links)}"
    kind = rng.choice(["pipe", "check", "open", "shut"], p=[0.6, 0.2, 0.1, 0.1])
    both = [(start, end, 0.0), (end, start, 0.0)]
    if kind == "pipe":
        length = metres(float(rng.integers(20, 60)) / 4)
        network.links.append(
            Pipe(
                id=name, from_=start, to=end, pipe="PVC Sch 40", size="1", length=length
            )
        )
        network.arcs += both
    elif kind == "check":
        holds = float(rng.integers(0, 9)) / 4
        network.links.append(
            CheckValve(id=name, from_=start, to=end, holds=metres(holds))
        )
        network.arcs.append((start, end, holds))
    elif kind == "open":
        winter = rng.choice(["open", "half_open"])
        network.links.append(
            IsolationValve(id=name, from_=start, to=end, winter=winter)
        )
        network.arcs += both
    elif rng.random() < 0.5:
        network.links.append(
            IsolationValve(id=name, from_=start, to=end, winter="closed")
        )
    else:
        network.links.append(ZoneValve(id=name, from_=start, to=end))
        network.zones.append(Zone(id=name, valve=name))


def levels_by_every_path(network: RandomNetwork) -> dict[str, float]:
    """Return the level left at each point, by trying every simple path to every lip."""
    lips = list(network.lips)
    waiting = list(network.automatic)
    while True:
        levels = {point: _best(network, point, lips) for point in network.z}
        opening = [
            (point, head)
            for point, head in waiting
            if levels[point] - network.z[point] < head
        ]
        if not opening:
            return levels
        waiting = [each for each in waiting if each not in opening]
        lips += [(point, network.z[point]) for point, _ in opening]


def _best(network: RandomNetwork, start: str, lips: list[tuple[str, float]]) -> float:
    best = float("inf")
    paths: list[tuple[tuple[str, ...], tuple[float, ...]]] = [((start,), ())]
    while paths:
        points, holds = paths.pop()
        for point, lip in lips:
            if point == points[-1]:
                best = min(best, _level_at_start(network, points, holds, lip))
        for one, other, held in network.arcs:
            if one == points[-1] and other not in points:
                paths.append(((*points, other), (*holds, held)))
    return best


def _level_at_start(
    network: RandomNetwork,
    points: tuple[str, ...],
    holds: tuple[float, ...],
    lip: float,
) -> float:
    level = max(network.z[points[-1]], lip)
    for point, held in zip(reversed(points[:-1]), reversed(holds), strict=True):
        level = max(network.z[point], level + held)
    return level
