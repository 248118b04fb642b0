"""Laying out quick zones: a straight run of equal heads from a zone's valve."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.site.links import Link, Pipe, ZoneValve
from maintenance.engine.site.points import Head, Junction, Point
from maintenance.engine.site.quantities import ASSUMED
from maintenance.engine.site.requirements import UNKNOWN_SIZE
from maintenance.engine.site.whole import QuickZone, Site, Zone
from maintenance.engine.units import Quantity, parse_number, parse_quantity

# Hundredths of a millimetre, or of a thou: finer than anyone lays pipe.
_DECIMALS: Final = 5


def quick_part_ids(zone_id: str, heads: int) -> Iterator[str]:
    """Name the parts that a quick zone is laid out with.

    Parameters
    ----------
    zone_id : str
        Id of the zone. [-]
    heads : int
        Number of heads. [-]

    Yields
    ------
    str
        Valve, its outlet, then each head and the pipe before it. [-]

    Examples
    --------
    >>> list(quick_part_ids("4", 1))
    ['4.v', '4.s', '4.h1', '4.p1']
    """
    yield f"{zone_id}.v"
    yield f"{zone_id}.s"
    for number in range(1, heads + 1):
        yield f"{zone_id}.h{number}"
        yield f"{zone_id}.p{number}"


def assumed_zones(site: Site) -> frozenset[str]:
    """Return the zones whose layout is assumed and not recorded.

    Parameters
    ----------
    site : Site
        The site as recorded, before it is laid out. [-]

    Returns
    -------
    frozenset of str
        Ids of its quick zones. [-]
    """
    return frozenset(zone.id for zone in site.zones if zone.quick is not None)


def expand_quick_zones(site: Site, *, only: str | None = None) -> Site:
    """Lay out every quick zone of a site, or one of them.

    Parameters
    ----------
    site : Site
        A site that has passed its checks. [-]
    only : str, optional
        Id of the one zone to lay out; every other stays as it is. [-]

    Returns
    -------
    Site
        The same site with valve, pipes and heads in place of each quick zone; what
        nobody recorded has the origin ``assumed``. [-]

    Raises
    ------
    InputError
        If a quick zone begins at no point of the site.

    Notes
    -----
    The run is straight and falls evenly, the heads are evenly spaced with the last
    at the end, and the pipe is buried.
    """
    if not assumed_zones(site):
        return site
    points = {point.id: point for point in site.points}
    new_points: list[Point] = []
    new_links: list[Link] = []
    zones: list[Zone] = []
    for zone in site.zones:
        if zone.quick is None or only not in (None, zone.id):
            zones.append(zone)
            continue
        if zone.quick.from_ not in points:
            raise InputError(
                f'zone {zone.id} begins at "{zone.quick.from_}", which is no point; '
                "write the id of a point",
                input="from",
            )
        begin = points[zone.quick.from_].elevation
        run_points, run_links = _run(zone.id, zone.quick, begin)
        new_points.extend(run_points)
        new_links.extend(run_links)
        zones.append(replace(zone, valve=f"{zone.id}.v", quick=None))
    return replace(
        site,
        points=(*site.points, *new_points),
        links=(*site.links, *new_links),
        zones=tuple(zones),
    )


def as_straight_run(site: Site, zone: Zone) -> Site:
    """Put a quick zone back in the place of the parts that it was laid out with.

    Parameters
    ----------
    site : Site
        The site with the zone laid out. [-]
    zone : Zone
        The zone as it was before. [-]

    Returns
    -------
    Site
        The site without those parts, not yet checked. [-]
    """
    if zone.quick is None:
        return site
    gone = frozenset(quick_part_ids(zone.id, zone.quick.heads))
    return replace(
        site,
        points=tuple(point for point in site.points if point.id not in gone),
        links=tuple(link for link in site.links if link.id not in gone),
        zones=tuple(zone if each.id == zone.id else each for each in site.zones),
    )


def _run(
    zone_id: str, quick: QuickZone, begin: Quantity
) -> tuple[list[Point], list[Link]]:
    outlet = f"{zone_id}.s"
    spacing = scaled(quick.length, 1 / quick.heads)
    points: list[Point] = [
        Junction(id=outlet, elevation=assumed(begin.value, begin, "height"))
    ]
    links: list[Link] = [
        ZoneValve(id=f"{zone_id}.v", from_=quick.from_, to=outlet, zone=zone_id)
    ]
    fall = quick.fall.value if quick.fall is not None else 0.0
    before = outlet
    for number in range(1, quick.heads + 1):
        level = begin.value - fall * number / quick.heads
        head = Head(
            id=f"{zone_id}.h{number}",
            head=quick.head,
            elevation=assumed(level, begin, "height"),
            flow=quick.flow,
            at_pressure=quick.at_pressure,
        )
        links.append(
            Pipe(
                id=f"{zone_id}.p{number}",
                from_=before,
                to=head.id,
                pipe=quick.pipe,
                size=None if quick.size == UNKNOWN_SIZE else quick.size,
                length=spacing,
                depth=quick.depth,
                placement="buried",
            )
        )
        points.append(head)
        before = head.id
    return points, links


def assumed(si: float, like: Quantity, dimension: str) -> Quantity:
    """Write an SI value in the unit of another quantity, as assumed.

    Parameters
    ----------
    si : float
        The value. [SI]
    like : Quantity
        A quantity whose unit is used. [SI]
    dimension : str
        Name in `DIMENSIONS`; its units have no offset. [-]

    Returns
    -------
    Quantity
        Rounded as its text is, so that text and value are one. [SI]

    Examples
    --------
    >>> assumed(0.3048, Quantity(0.6096, "2 ft"), "height").text
    '1 ft'
    """
    unit = parse_number(like.text)[1]
    number = round(si / parse_quantity(f"1 {unit}", dimension), _DECIMALS)
    whole = f"{number:.{_DECIMALS}f}".rstrip("0").rstrip(".")
    text = f"{'0' if whole in ('-0', '') else whole} {unit}"
    return Quantity(parse_quantity(text, dimension), text, ASSUMED)


def scaled(length: Quantity, share: float) -> Quantity:
    """Return a share of a length, as assumed, and never less than a hair.

    Parameters
    ----------
    length : Quantity
        The whole. [m]
    share : float
        The share. [-]

    Returns
    -------
    Quantity
        The part. [m]
    """
    unit = parse_number(length.text)[1]
    number = length.value * share / parse_quantity(f"1 {unit}", "length")
    text = f"{number:.9g} {unit}"
    return Quantity(parse_quantity(text, "length"), text, ASSUMED)
