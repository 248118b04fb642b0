"""A network of 2,000 links for the drainage: a main that waves, 200 zones of eight pipes.

Invented from a seed. One point of the main in ten has a drain; one zone in five has
heads with checks; 38 pipes and two check valves join the main to itself in rings.
"""

from functools import cache

import numpy as np

from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.site import (
    CheckValve,
    Drain,
    Head,
    InlineDevice,
    IsolationValve,
    Junction,
    Link,
    Pipe,
    Place,
    Point,
    Site,
    Supply,
    Zone,
    ZoneValve,
)
from maintenance.engine.units import Quantity

ZONES, HEADS = 194, 8
"""194 x (main + valve + 8 pipes) + 19 drains + main valve + 2 checks + 38 = 2,000."""


@cache
def large_network() -> Graph:
    """Return the graph, built once: only what is asked of it is measured."""
    rng = np.random.default_rng(2000)
    points: list[Point] = [
        Supply(id="S", source="public", elevation=_metres(0.0)),
        Junction(id="M0", elevation=_metres(0.0)),
    ]
    links: list[Link] = [
        IsolationValve(id="V0", from_="S", to="M0", summer="open", winter="closed")
    ]
    for zone in range(1, ZONES + 1):
        level = float(rng.uniform(-1.0, 1.0))
        points.append(Junction(id=f"M{zone}", elevation=_metres(level)))
        links.append(_pipe(f"PM{zone}", f"M{zone - 1}", f"M{zone}", "2", 18.0))
        if zone % 10 == 0:
            points.append(
                Drain(id=f"D{zone}", drain="manual", elevation=_metres(level - 0.1))
            )
            links.append(
                InlineDevice(
                    id=f"F{zone}", kind="fitting", from_=f"M{zone}", to=f"D{zone}"
                )
            )
        _add_zone(rng, points, links, zone, level)
    links += [
        CheckValve(id=f"C{n}", from_=f"M{n}", to=f"M{n + 90}", holds=_metres(0.3))
        for n in (5, 55)
    ]
    links += [
        _pipe(f"R{n}", f"M{n}", f"M{n + 3}", "1-1/2", 40.0) for n in range(2, 192, 5)
    ]
    site = Site(
        id="large",
        name="Large",
        place=Place(elevation=_metres(0.0), time_zone="America/Denver"),
        points=tuple(points),
        links=tuple(links),
        zones=tuple(Zone(id=str(n), valve=f"Z{n}") for n in range(1, ZONES + 1)),
    )
    return build_graph(site)


def _add_zone(
    rng: np.random.Generator,
    points: list[Point],
    links: list[Link],
    zone: int,
    level: float,
) -> None:
    points.append(Junction(id=f"L{zone}", elevation=_metres(level)))
    links.append(
        ZoneValve(id=f"Z{zone}", from_=f"M{zone}", to=f"L{zone}", zone=str(zone))
    )
    before = f"L{zone}"
    for number in range(HEADS):
        level += float(rng.uniform(-0.5, 0.4))
        points.append(
            Head(
                id=f"H{zone}.{number}",
                head="spray",
                elevation=_metres(level),
                nozzle_height=_metres(0.15),
                check_valve=_metres(2.0) if zone % 5 == 0 else None,
            )
        )
        links.append(_pipe(f"P{zone}.{number}", before, f"H{zone}.{number}", "1", 4.5))
        before = f"H{zone}.{number}"


def _pipe(id_: str, start: str, end: str, size: str, length_m: float) -> Pipe:
    return Pipe(
        id=id_,
        from_=start,
        to=end,
        pipe="PVC SDR-21",
        size=size,
        length=_metres(length_m),
    )


def _metres(value: float) -> Quantity:
    return Quantity(value, f"{value} m")
