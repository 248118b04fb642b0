"""Which words a plan should carry, the most wanted first."""

from collections import deque
from collections.abc import Iterable
from typing import Final

from maintenance.documents.drawing.graph import Graph, main_points
from maintenance.documents.drawing.labels import Wish
from maintenance.documents.drawing.sheet import Box, Label
from maintenance.documents.drawing.words import (
    detail,
    height_number,
    height_unit,
    short_name,
)
from maintenance.engine.site import Link, Pipe, Point, Site, ZoneValve
from maintenance.engine.units import UnitSystem

# What a person looks for first comes first; heads take the room that is left.
_RANK: Final = {
    "blowout_port": 0,
    "supply": 1,
    "zone_valve": 2,
    "backflow": 2,
    "pump": 2,
    "drain": 3,
    "quick_coupler": 3,
    "other_use": 3,
    "hydrant": 3,
    "tank": 3,
    "isolation_valve": 4,
    "master_valve": 4,
    "filter": 4,
    "pressure_regulator": 4,
    "meter": 4,
    "flow_sensor": 4,
    "injector": 4,
    "relief_valve": 4,
    "check_valve": 4,
    "open_end": 5,
    "end": 5,
    "vent": 5,
    "test_cock": 5,
    "junction": 6,
    "head": 7,
}
_NOUN: Final = {
    "blowout_port": "port",
    "pump": "pump",
    "drain": "drain",
    "quick_coupler": "coupler",
    "isolation_valve": "valve",
    "master_valve": "master valve",
    "filter": "filter",
    "pressure_regulator": "regulator",
    "meter": "meter",
    "flow_sensor": "flow sensor",
    "injector": "injector",
    "relief_valve": "relief valve",
    "check_valve": "check",
}


def plan_wishes(
    site: Site,
    graph: Graph,
    boxes: dict[str, Box],
    *,
    system: UnitSystem,
    short: bool,
) -> tuple[list[Wish], list[Wish]]:
    """Return the labels wanted, and those of heads, for what room is left; ``short`` for a drawing seen at phone size."""
    names = {zone.valve: short_name(zone.id, zone.name) for zone in site.zones}
    marked = _elevation_marks(graph)
    ranked: list[tuple[int, Wish]] = []
    for part in (*graph.points.values(), *graph.links.values()):
        if isinstance(part, Pipe) or part.kind == "fitting":
            continue
        if part.kind == "junction" and part.id not in marked:
            continue
        if part.kind == "head" and short:
            continue
        texts = names.get(part.id) or _texts(part, system)
        rank = _RANK[part.kind]
        box = boxes[part.id]
        wish = Wish(
            part.id,
            texts[-2:] if short else texts,
            (box[0] + box[2]) / 2,
            (box[1] + box[3]) / 2,
            radius=(box[2] - box[0]) / 2 + 1.6,
            over_lines=rank < 6,
            leader=rank < 6,
        )
        ranked.append((rank, wish))
    ranked.sort(key=lambda pair: pair[0])
    heads = _RANK["head"]
    return (
        [wish for rank, wish in ranked if rank != heads],
        [wish for rank, wish in ranked if rank == heads],
    )


def name_wishes(
    site: Site, graph: Graph, boxes: dict[str, Box], placed: Iterable[Label]
) -> list[Wish]:
    """Return the names that found no room at their valve, to stand at the far end."""
    written = {label.mark: label.text for label in placed}
    wishes = []
    for zone in site.zones:
        texts = short_name(zone.id, zone.name)[:-2]
        valve = graph.links.get(zone.valve or "")
        if valve is None or not texts or written.get(valve.id) in texts:
            continue
        x0, y0, x1, y1 = boxes[_far_end(graph, valve)]
        wishes.append(
            Wish(
                valve.id,
                texts,
                (x0 + x1) / 2,
                (y0 + y1) / 2,
                radius=(x1 - x0) / 2 + 1.6,
                over_lines=False,
            )
        )
    return wishes


def _far_end(graph: Graph, valve: Link) -> str:
    """Return the point of a lateral that is the most links away from its valve."""
    seen, last = {valve.from_, valve.to}, valve.to
    waiting = deque([valve.to])
    while waiting:
        last = waiting.popleft()
        for other, _ in graph.neighbours(last):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return last


def _texts(part: Point | Link, system: UnitSystem) -> tuple[str, ...]:
    id_, noun = part.id, _NOUN.get(part.kind, "")
    if part.kind in ("supply", "backflow", "other_use"):
        noun = detail(part)
    if isinstance(part, ZoneValve):
        return (f"zone {part.zone}", part.zone) if part.zone is not None else (id_, id_)
    if part.kind == "junction" and not isinstance(part, Link):
        height = height_number(part.elevation.value, system)
        return (f"{height} {height_unit(system)}",)
    named = noun and noun.lower() not in id_.lower() and id_.lower() != noun.lower()
    texts = (f"{id_} {noun}", id_) if named else (id_,)
    if part.kind == "drain" and not isinstance(part, Link):
        height = height_number(part.elevation.value, system)
        return (f"{texts[0]}, {height} {height_unit(system)}", *texts)
    return texts


def _elevation_marks(graph: Graph) -> frozenset[str]:
    """Return the junctions of the main where its run turns up, turns down or ends."""
    main = main_points(graph)
    marks = set()
    for id_ in main:
        own = graph.points[id_].elevation.value
        rises = [
            graph.points[other].elevation.value - own
            for other, _ in graph.neighbours(id_)
            if other in main
        ]
        turns = (min(rises, default=0) >= 0) != (max(rises, default=0) <= 0)
        if graph.points[id_].kind == "junction" and turns:
            marks.add(id_)
    return frozenset(marks)
