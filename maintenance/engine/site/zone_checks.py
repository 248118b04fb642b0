"""Faults of zones: their valves, quick runs, the card, and heads on no zone."""

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from maintenance.engine.site.card import CARD_HEADS_LIMIT, heads_of_card
from maintenance.engine.site.faults import Fault
from maintenance.engine.site.links import ZoneValve
from maintenance.engine.site.points import Head, Supply
from maintenance.engine.site.shapes import LIST_LIMITS
from maintenance.engine.site.whole import Site, Zone
from maintenance.engine.site.wording import nearest, shown

_SAME: Final = 1e-6
_PARTS: Final = LIST_LIMITS["points"]


def zone_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    """Find zones whose valve is missing, of another kind, or taken.

    Parameters
    ----------
    site : Site
        The site or a draft of it. [-]
    broken : frozenset of str
        Paths of parts with a known fault. [-]

    Yields
    ------
    Fault
        Each with its path. [-]
    """
    links = {link.id: (index, link) for index, link in enumerate(site.links)}
    users: dict[str, str] = {}
    for index, zone in enumerate(site.zones):
        path = f"zones[{index}].valve"
        if not zone.valve or "links" in broken:
            continue
        if zone.valve in users:
            yield Fault(
                path,
                f'"{shown(zone.valve)}" is already the valve of zone '
                f'"{shown(users[zone.valve])}"; write the valve of this zone',
            )
            continue
        users[zone.valve] = zone.id
        if zone.valve not in links:
            valves = [id_ for id_, (_, x) in links.items() if isinstance(x, ZoneValve)]
            yield Fault(
                path,
                f'no link is called "{shown(zone.valve)}"{nearest(zone.valve, valves)};'
                " write the id of a zone valve, or add it to the links",
            )
            continue
        place, link = links[zone.valve]
        if not isinstance(link, ZoneValve) and f"links[{place}]" not in broken:
            yield Fault(
                path,
                f'"{shown(zone.valve)}" is of kind "{link.kind}"; write the '
                'id of a link of kind "zone_valve"',
            )


def valve_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    """Find zone valves that name a zone which is not theirs.

    Parameters
    ----------
    site : Site
        The site or a draft of it. [-]
    broken : frozenset of str
        Paths of parts with a known fault. [-]

    Yields
    ------
    Fault
        Each with its path. [-]
    """
    zones: dict[str, tuple[int, Zone]] = {}
    for index, zone in enumerate(site.zones):
        zones.setdefault(zone.id, (index, zone))
    if "zones" in broken:
        return
    for index, link in enumerate(site.links):
        if not isinstance(link, ZoneValve) or not link.zone:
            continue
        path = f"links[{index}].zone"
        if link.zone not in zones:
            yield Fault(
                path,
                f'no zone is called "{shown(link.zone)}"{nearest(link.zone, zones)}; '
                "write the id of a zone, or add it to the zones",
            )
            continue
        place, zone = zones[link.zone]
        if f"zones[{place}]" in broken or zone.valve == link.id:
            continue
        if zone.quick is not None:
            text = (
                f'zone "{shown(zone.id)}" is a quick zone and lays out its own valve; '
                'take this valve out, or replace "quick" by "valve"'
            )
        else:
            text = (
                f'zone "{shown(zone.id)}" has the valve "{shown(zone.valve or "")}"; '
                "give each valve a zone of its own"
            )
        yield Fault(path, text)


def quick_faults(site: Site, broken: frozenset[str]) -> Iterator[Fault]:
    """Find quick zones that begin nowhere or fall further than they are long.

    Parameters
    ----------
    site : Site
        The site or a draft of it. [-]
    broken : frozenset of str
        Paths of parts with a known fault. [-]

    Yields
    ------
    Fault
        Each with its path. [-]
    """
    ids = {point.id for point in site.points if point.id}
    heads = 0
    for index, zone in enumerate(site.zones):
        quick = zone.quick
        if quick is None or f"zones[{index}]" in broken:
            continue
        heads += quick.heads
        path = f"zones[{index}].quick"
        if quick.from_ not in ids and "points" not in broken:
            yield Fault(
                f"{path}.from",
                f'no point is called "{shown(quick.from_)}"'
                f"{nearest(quick.from_, ids)}; write the id of the point that feeds "
                "the zone's valve",
            )
        if quick.fall is not None:
            fall, length = abs(quick.fall.value), quick.length.value
            if fall > length * (1 + _SAME):
                yield Fault(
                    f"{path}.fall",
                    f'"{quick.fall.text}" is more than the length of '
                    f'"{quick.length.text}"; measure one of them again',
                )
    if heads + len(site.points) > _PARTS:
        yield Fault(
            "zones",
            f"the quick zones have {heads} heads in all; the tool takes at most "
            f"{_PARTS} points, so split the site",
        )


def card_faults(site: Site) -> Iterator[Fault]:
    """Find a card whose zones would be larger than the tool lays out.

    Parameters
    ----------
    site : Site
        The site or a draft of it. [-]

    Yields
    ------
    Fault
        Each with its path. [-]
    """
    card = site.card
    if card is None:
        return
    heads = heads_of_card(card)
    if heads > CARD_HEADS_LIMIT and card.largest_zone is not None:
        yield Fault(
            "card.largest_zone",
            f'"{card.largest_zone.text}" is more than a zone of {CARD_HEADS_LIMIT} '
            "heads takes; write the flow of one zone",
        )
    elif (card.zones or 0) * heads > _PARTS:
        yield Fault(
            "card.zones",
            f"{card.zones} zones of such a flow have {card.zones * heads} heads; the "
            f"tool takes at most {_PARTS}, so split the site",
        )


def head_faults(site: Site) -> Iterator[Fault]:
    """Find heads that no zone waters.

    Parameters
    ----------
    site : Site
        A site whose ends and zones are right. [-]

    Yields
    ------
    Fault
        Each with its path. [-]

    Notes
    -----
    Heads are reached from a zone's valve without crossing a zone valve and without
    passing through a supply.
    """
    valves = {zone.valve for zone in site.zones}
    joined: dict[str, list[str]] = defaultdict(list)
    waiting: list[str] = []
    for link in site.links:
        if not isinstance(link, ZoneValve):
            joined[link.from_].append(link.to)
            joined[link.to].append(link.from_)
        elif link.id in valves:
            waiting.append(link.to)
    supplies = {point.id for point in site.points if isinstance(point, Supply)}
    reached: set[str] = set()
    while waiting:
        point = waiting.pop()
        if point not in reached:
            reached.add(point)
            if point not in supplies:
                waiting.extend(joined[point])
    for index, each in enumerate(site.points):
        if isinstance(each, Head) and each.id not in reached:
            yield Fault(
                f"points[{index}]",
                f'head "{shown(each.id)}" is on no zone; join it by links to what lies '
                "behind a zone's valve",
            )
