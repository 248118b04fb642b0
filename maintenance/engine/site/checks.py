"""Faults between the parts of a site: ends, ids, levels, pipes of the catalogue."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.pipes.catalogue import pipe_row
from maintenance.engine.site.faults import Fault, join
from maintenance.engine.site.links import Pipe, Pump
from maintenance.engine.site.quick import quick_part_ids
from maintenance.engine.site.requirements import UNKNOWN_PIPES, UNKNOWN_SIZE, needs
from maintenance.engine.site.whole import Site
from maintenance.engine.site.wording import nearest, shown
from maintenance.engine.site.zone_checks import (
    card_faults,
    head_faults,
    quick_faults,
    valve_faults,
    zone_faults,
)

_PART: Final = re.compile(r"(points|links|zones|controllers)(\[\d+\])?")
# What two texts in different units, or rounded, may differ by: a millionth, or two
# hundredths of a millimetre.
_SAME: Final = 1e-6
_SAME_M: Final = 2e-5
_HINTS: Final = 50


def check_site(site: Site) -> tuple[Fault, ...]:
    """Find what is wrong between the parts of a site.

    Parameters
    ----------
    site : Site
        The site as recorded, quick zones and card not laid out. [-]

    Returns
    -------
    tuple of Fault
        Every fault with its path, empty where there is none. [-]
    """
    return check_draft(site, ())


def check_draft(site: Site, faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Find what is wrong between parts of which some could not be read.

    Parameters
    ----------
    site : Site
        A site, or what `read_draft` made of one. [-]
    faults : iterable of Fault
        What is already known to be wrong. [-]

    Returns
    -------
    tuple of Fault
        Further faults; none that only follows from a known one. [-]
    """
    known = tuple(faults)
    broken = _parts_of(known)
    of_zones = tuple(zone_faults(site, broken))
    found = [
        *_own_faults(site, broken),
        *_repeated_ids(site),
        *_missing_ends(site, broken),
        *_pipe_faults(site, broken),
        *_pump_faults(site, broken),
        *of_zones,
        *valve_faults(site, broken | _parts_of(of_zones)),
        *quick_faults(site, broken),
        *card_faults(site),
        *_catalogue_faults(site),
    ]
    # Which heads a zone reaches is only known where ends, ids and zones are right.
    if not broken and not any(_unsettles(fault.path) for fault in found):
        found.extend(head_faults(site))
    paths = {fault.path for fault in known}
    return tuple(fault for fault in dict.fromkeys(found) if fault.path not in paths)


def _parts_of(faults: Iterable[Fault]) -> frozenset[str]:
    return frozenset(match[0] for fault in faults if (match := _PART.match(fault.path)))


def _unsettles(path: str) -> bool:
    return path.endswith((".id", ".from", ".to", ".valve", ".zone"))


def _own_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    """Find what the keys of each part lack, as the reader does."""
    yield from (Fault(key, text) for key, text in needs(site))
    yield from (Fault(join("place", key), text) for key, text in needs(site.place))
    lists = {"points": site.points, "links": site.links, "zones": site.zones}
    for name, parts in lists.items():
        for index, part in enumerate(parts):
            path = f"{name}[{index}]"
            if path not in broken:
                yield from (Fault(join(path, key), text) for key, text in needs(part))
    for index, zone in enumerate(site.zones):
        path = f"zones[{index}]"
        if zone.quick is not None and path not in broken:
            inner = join(path, "quick")
            yield from (
                Fault(join(inner, key), text) for key, text in needs(zone.quick)
            )


def _repeated_ids(site: Site) -> Iterator[Fault]:
    points = [(f"points[{n}]", part.id) for n, part in enumerate(site.points)]
    links = [(f"links[{n}]", part.id) for n, part in enumerate(site.links)]
    zones = [(f"zones[{n}]", zone.id) for n, zone in enumerate(site.zones)]
    panels = [(f"controllers[{n}]", each.id) for n, each in enumerate(site.controllers)]
    # Points and links share their ids: history hangs on them.
    for group in ((*points, *links), zones, panels):
        first: dict[str, str] = {}
        for path, id_ in group:
            if id_ and id_ in first:
                yield Fault(
                    f"{path}.id",
                    f'"{shown(id_)}" is already the id of {first[id_]}; give one of '
                    "them a new id",
                )
            first.setdefault(id_, path)
    yield from _quick_ids(site, {id_ for _, id_ in (*points, *links)})


def _quick_ids(site: Site, taken: set[str]) -> Iterator[Fault]:
    for index, zone in enumerate(site.zones):
        if zone.quick is None or not zone.id:
            continue
        ids = tuple(quick_part_ids(zone.id, zone.quick.heads or 0))
        clash = next((each for each in ids if each in taken), None)
        if clash is not None:
            yield Fault(
                f"zones[{index}].quick",
                f'would be laid out with a part "{shown(clash)}", and that id is taken; '
                "rename the zone or the other part",
            )
        taken.update(ids)


def _missing_ends(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    ids = {point.id for point in site.points if point.id}
    if "points" in broken:
        return
    hints = 0
    for index, link in enumerate(site.links):
        for key, end in (("from", link.from_), ("to", link.to)):
            if end and end not in ids:
                hints += 1
                near = nearest(end, ids) if hints < _HINTS else ""
                yield Fault(
                    f"links[{index}].{key}",
                    f'no point is called "{shown(end)}"{near}; write the id of a point, '
                    "or add this one to the points",
                )
        if link.from_ and link.from_ == link.to:
            yield Fault(
                f"links[{index}].to",
                f'"{shown(link.to)}" is also where the link begins; a link joins two '
                "points, so write the other one",
            )


def _pipe_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    points = {point.id: point for point in site.points}
    for index, link in enumerate(site.links):
        path = f"links[{index}]"
        ends = points.get(link.from_), points.get(link.to)
        if not isinstance(link, Pipe) or ends[0] is None or ends[1] is None:
            continue
        rise = abs(ends[0].elevation.value - ends[1].elevation.value)
        if path not in broken and rise > link.length.value * (1 + _SAME) + _SAME_M:
            yield Fault(
                f"{path}.length",
                f'"{link.length.text}" is shorter than the level difference of its '
                f'ends ("{ends[0].elevation.text}" at {shown(link.from_)}, '
                f'"{ends[1].elevation.text}" at {shown(link.to)}); measure the length '
                "or the elevations again",
            )


def _catalogue_faults(site: Site) -> Iterator[Fault]:
    """Find pipes that the catalogue does not hold, each name and size once read."""
    asked = [
        (f"links[{index}]", link.pipe, link.size)
        for index, link in enumerate(site.links)
        if isinstance(link, Pipe)
    ]
    asked.extend(
        (f"zones[{index}].quick", zone.quick.pipe, zone.quick.size)
        for index, zone in enumerate(site.zones)
        if zone.quick is not None
    )
    if site.card is not None:
        asked.append(("card", site.card.pipe, site.card.size))
    answers: dict[tuple[str, str], tuple[str, str]] = {}
    for path, pipe, size in asked:
        if not pipe or not size:
            continue
        unknown_size = pipe in UNKNOWN_PIPES and size == UNKNOWN_SIZE
        if unknown_size and not path.startswith("links"):
            continue
        if (pipe, size) not in answers:
            answers[pipe, size] = _refusal(pipe, size)
        key, text = answers[pipe, size]
        if text:
            yield Fault(join(path, key), text)


def _refusal(pipe: str, size: str) -> tuple[str, str]:
    """Return the key that the catalogue refuses and why, or empty texts."""
    try:
        pipe_row(pipe, size)
    except InputError as error:
        return error.input or "pipe", error.text
    return "", ""


def _pump_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    ids = {point.id for point in site.points if point.id}
    if "points" in broken:
        return
    for index, link in enumerate(site.links):
        if not isinstance(link, Pump):
            continue
        fed = link.also_feeds or ()
        for place, id_ in enumerate(fed):
            if id_ and id_ not in ids:
                yield Fault(
                    f"links[{index}].also_feeds[{place}]",
                    f'no point is called "{shown(id_)}"{nearest(id_, ids)}; write the '
                    'id of a point of kind "other_use", or add it to the points',
                )
        for id_, count in Counter(fed).items():
            if id_ and count > 1:
                yield Fault(
                    f"links[{index}].also_feeds",
                    f'"{shown(id_)}" stands there {count} times; keep one',
                )
