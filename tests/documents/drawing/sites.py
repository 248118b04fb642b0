"""Sites for the drawings: a hillside of any size, and nets of random shape."""

import math
import random
from collections.abc import Sequence
from typing import Literal

from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    CheckValve,
    Drain,
    Head,
    InlineDevice,
    IsolationValve,
    Junction,
    Link,
    OtherUse,
    Outlet,
    Pipe,
    Place,
    Point,
    Pump,
    Site,
    Supply,
    Zone,
    ZoneValve,
)
from maintenance.engine.units import Quantity

Known = Literal["all", "some", "none"]
PLACE = Place(elevation=Quantity(1900.0, "1900 m"), time_zone="UTC")
NAMES = ("Walled garden, north", "Bowls green", "Orchard", "Camp field by the road", "")


def metres(value: float) -> Quantity:
    return Quantity(value, f"{value:g} m")


def height(value: float) -> Quantity:
    return Quantity(value, f"{value:g} m")


def site_of(
    points: Sequence[Point], links: Sequence[Link], zones: Sequence[Zone] = ()
) -> Site:
    return Site(
        id="made",
        name="Made hill",
        place=PLACE,
        points=tuple(points),
        links=tuple(links),
        zones=tuple(zones),
    )


def pipe(id_: str, from_: str, to: str, length: float, **more: str | None) -> Pipe:
    kind = {"pipe": "PVC Sch 40", "size": "1", **more}
    return Pipe(id=id_, from_=from_, to=to, length=metres(length), **kind)  # type: ignore[arg-type]


def hillside(zones: int, *, seed: int = 1, known: Known = "all") -> Site:
    """Return a main with valves in pairs, laterals with heads, drains and a well."""
    chance = random.Random(seed)  # noqa: S311
    points: list[Point] = []
    links: list[Link] = []
    zone_list: list[Zone] = []

    def where(x: float, y: float) -> tuple[float, float] | None:
        if known == "none" or (known == "some" and chance.random() < 0.4):
            return None
        return (round(x, 2), round(y, 2))

    _head_works(points, links, where)
    before, x, y = "J0", 4.0, 0.0
    for number in range(1, zones + 1):
        if number % 2:
            x, y = x + 14, y + 4 * math.sin(number / 3)
            node = f"J{number}"
            points.append(
                Junction(
                    id=node,
                    elevation=height(round(3 * math.sin(number / 2), 2)),
                    position=where(x, y),
                )
            )
            links.append(pipe(f"P{number}", before, node, 15, size="2"))
            before = node
        side = 1 if number % 2 else -1
        _lateral(points, links, where, (number, before, x, y, side), chance)
        name = chance.choice(NAMES) or None
        zone_list.append(Zone(id=str(number), name=name, valve=f"Z{number}"))
    points.append(
        Drain(
            id="DE",
            drain="manual",
            elevation=height(-2),
            position=where(x + 8, y - 3),
        )
    )
    links.append(pipe("PE", before, "DE", 9, size="2"))
    return site_of(points, links, zone_list)


def _head_works(points, links, where):
    points += [
        Supply(id="S1", source="public", elevation=height(0), position=where(0, 0)),
        Supply(id="W1", source="well", elevation=height(-4), position=where(0, -14)),
        Junction(id="A", elevation=height(0), position=where(1, 0)),
        Junction(id="B", elevation=height(0), position=where(2, 0)),
        Junction(id="C", elevation=height(0), position=where(2.4, 0)),
        Junction(id="C2", elevation=height(0), position=where(2.8, 0)),
        BlowoutPort(id="A1", elevation=height(0.3), position=where(3, 1)),
        Junction(id="J0", elevation=height(-0.4), position=where(4, 0)),
        Junction(id="W2", elevation=height(0), position=where(0, -10)),
        Junction(id="W3", elevation=height(0), position=where(1, -10)),
        OtherUse(id="HOUSE", what="house", elevation=height(1), position=where(-5, -9)),
        Outlet(
            id="Q1", kind="quick_coupler", elevation=height(0.5), position=where(6, -4)
        ),
    ]
    links += [
        IsolationValve(id="V1", from_="S1", to="A", type="ball"),
        Backflow(id="B1", from_="A", to="B", device="RP", size="1-1/2"),
        InlineDevice(id="F1", kind="filter", from_="B", to="C"),
        InlineDevice(id="M1", kind="meter", from_="C", to="C2"),
        pipe("P-A", "C2", "J0", 2, size="2"),
        InlineDevice(id="FT", kind="fitting", from_="J0", to="A1"),
        Pump(id="PU", from_="W1", to="W2", pump="submersible"),
        CheckValve(id="C1", from_="W2", to="W3"),
        pipe("P-W", "W3", "J0", 12, pipe="unknown"),
        pipe("P-H", "W2", "HOUSE", 6, size=None),
        pipe("P-Q", "J0", "Q1", 5),
    ]


def _lateral(points, links, where, at, chance):
    number, start, x, y, side = at
    low = f"L{number}"
    points.append(
        Junction(id=low, elevation=height(-0.3), position=where(x, y + side * 0.5))
    )
    links.append(ZoneValve(id=f"Z{number}", from_=start, to=low, zone=str(number)))
    before = low
    kind = chance.choice(["spray", "rotor", "drip_emitters", "impact", "bubbler"])
    for head in range(1, chance.randint(4, 9)):
        id_ = f"H{number:d}{head:02d}"
        points.append(
            Head(
                id=id_,
                head=kind,
                elevation=height(round(chance.uniform(-2, 3), 1)),
                arc=Quantity(chance.choice([90.0, 180.0, 360.0]), "90 deg"),
                position=where(x + (head % 2) * 3, y + side * (2 + 4.5 * head)),
            )
        )
        small = chance.choice(["PE SIDR-15", "unknown PE", "PVC Sch 40"])
        links.append(pipe(f"R{number}-{head}", before, id_, 4.6, pipe=small))
        before = id_


def random_net(seed: int, known: Known) -> Site:
    """Return a net of random shape: loops, parts apart, places on top of each other."""
    chance = random.Random(seed)  # noqa: S311
    count = chance.randint(1, 60)
    kinds = ["junction", "head", "drain", "quick_coupler", "supply", "blowout_port"]
    points: list[Point] = []
    for index in range(count):
        placed = known == "all" or (known == "some" and chance.random() < 0.5)
        points.append(
            _random_point(chance, chance.choice(kinds), f"n{index}", placed=placed)
        )
    links: list[Link] = []
    for index in range(1, count):
        if chance.random() < 0.07:
            continue
        other = chance.randint(max(0, index - 6), index - 1)
        links.append(_random_link(chance, f"k{index}", f"n{other}", f"n{index}"))
    for index in range(chance.randint(0, 3)):
        one, two = chance.randrange(count), chance.randrange(count)
        if one != two:
            links.append(_random_link(chance, f"loop{index}", f"n{one}", f"n{two}"))
    valves = [link.id for link in links if isinstance(link, ZoneValve)]
    zones = [
        Zone(id=str(n), name=chance.choice(NAMES) or None, valve=valve)
        for n, valve in enumerate(valves, 1)
    ]
    return site_of(points, links, zones)


def _random_point(chance, kind, id_, *, placed):
    up = height(round(chance.uniform(-5, 5), 2))
    at = None
    if placed:
        at = (float(chance.randint(0, 40)), float(chance.randint(0, 25)))
    match kind:
        case "junction":
            return Junction(id=id_, elevation=up, position=at)
        case "head":
            return Head(id=id_, head="spray", elevation=up, position=at)
        case "drain":
            return Drain(id=id_, drain="automatic", elevation=up, position=at)
        case "supply":
            return Supply(id=id_, source="tank", elevation=up, position=at)
        case "blowout_port":
            return BlowoutPort(id=id_, elevation=up, position=at)
        case _:
            return Outlet(id=id_, kind="quick_coupler", elevation=up, position=at)


def _random_link(chance, id_, from_, to):
    kind = chance.choice(["pipe", "pipe", "pipe", "valve", "zone", "check"])
    if kind == "valve":
        return IsolationValve(id=id_, from_=from_, to=to, type="gate")
    if kind == "zone":
        return ZoneValve(id=id_, from_=from_, to=to)
    if kind == "check":
        return CheckValve(id=id_, from_=from_, to=to)
    return pipe(id_, from_, to, chance.uniform(12, 40), size=chance.choice(["1", None]))
