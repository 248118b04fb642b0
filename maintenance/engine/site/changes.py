"""Pure changes of a site: put a part in, take a part out with what hangs on it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

from maintenance.engine.site.links import Link, ZoneValve
from maintenance.engine.site.points import Head, Point
from maintenance.engine.site.whole import Controller, Site, Zone

Section = Literal["points", "links", "zones", "controllers"]
Part = Point | Link | Zone | Controller
SECTIONS: Final[tuple[Section, ...]] = ("points", "links", "zones", "controllers")


@dataclass(frozen=True, slots=True)
class TakenOut:
    """Parts taken out of a site together."""

    site: Site
    parts: tuple[tuple[Section, Part], ...]


def parts_of(site: Site, section: Section) -> tuple[Part, ...]:
    """Return the parts of one section.

    Parameters
    ----------
    site : Site
        The site. [-]
    section : str
        One of `SECTIONS`. [-]

    Returns
    -------
    tuple of Part
        In the site's order. [-]
    """
    held: dict[Section, tuple[Part, ...]] = {
        "points": site.points,
        "links": site.links,
        "zones": site.zones,
        "controllers": site.controllers,
    }
    return held[section]


def part_of(site: Site, section: Section, part_id: str) -> Part | None:
    """Return one part, None where the site has none of that id.

    Parameters
    ----------
    site : Site
        The site. [-]
    section : str
        One of `SECTIONS`. [-]
    part_id : str
        Its id. [-]

    Returns
    -------
    Part or None
        The part. [-]
    """
    return next((p for p in parts_of(site, section) if p.id == part_id), None)


def with_part(site: Site, section: Section, part: Part) -> Site:
    """Put a part in: in the place of the one with its id, else at the end.

    Parameters
    ----------
    site : Site
        The site. [-]
    section : str
        Where the part belongs. [-]
    part : Part
        The part. [-]

    Returns
    -------
    Site
        The changed site, not yet checked. [-]
    """
    held = parts_of(site, section)
    if any(each.id == part.id for each in held):
        kept = tuple(part if each.id == part.id else each for each in held)
    else:
        kept = (*held, part)
    return _with_section(site, section, kept)


def without_part(site: Site, section: Section, part_id: str) -> TakenOut:
    """Take a part out together with what cannot stand without it.

    A point takes the links that end at it; a zone takes its valve and everything
    beyond the valve up to other zone valves; a zone valve takes its zone.

    Parameters
    ----------
    site : Site
        The site. [-]
    section : str
        One of `SECTIONS`. [-]
    part_id : str
        Id of the part. [-]

    Returns
    -------
    TakenOut
        The site without them, not yet checked, and the parts. [-]
    """
    gone: dict[Section, set[str]] = {name: set() for name in SECTIONS}
    gone[section].add(part_id)
    valves = {link.id for link in site.links if isinstance(link, ZoneValve)}
    if section == "links" and part_id in valves:
        gone["zones"] = {zone.id for zone in site.zones if zone.valve == part_id}
    for zone in site.zones:
        if zone.id in gone["zones"] and zone.valve:
            points, links = _beyond(site, zone.valve)
            gone["points"] |= points
            gone["links"] |= links
    gone["links"] |= {
        link.id
        for link in site.links
        if link.from_ in gone["points"] or link.to in gone["points"]
    }
    # A point that held only what goes now would stand alone.
    gone["points"] |= _left_alone(site, gone["links"], gone["points"])
    parts = tuple(
        (name, part)
        for name in SECTIONS
        for part in parts_of(site, name)
        if part.id in gone[name]
    )
    return TakenOut(_without(site, gone), parts)


def put_back(site: Site, parts: Iterable[tuple[Section, Part]]) -> Site:
    """Put parts back that were taken out.

    Parameters
    ----------
    site : Site
        The site as it is now. [-]
    parts : iterable of section and part
        What `without_part` took. [-]

    Returns
    -------
    Site
        The changed site, not yet checked; a part that stands again is kept. [-]
    """
    for section, part in parts:
        if part_of(site, section, part.id) is None:
            site = with_part(site, section, part)
    return site


def _beyond(site: Site, valve_id: str) -> tuple[set[str], set[str]]:
    """Return points and links beyond a zone valve, the valve with them."""
    valve = next((link for link in site.links if link.id == valve_id), None)
    if valve is None:
        return set(), set()
    points: set[str] = set()
    links = {valve_id}
    ahead = [valve.to]
    while ahead:
        here = ahead.pop()
        points.add(here)
        for link in site.links:
            if link.id in links or here not in (link.from_, link.to):
                continue
            if isinstance(link, ZoneValve):
                continue
            links.add(link.id)
            other = link.to if link.from_ == here else link.from_
            if other not in points and other != valve.from_:
                ahead.append(other)
    return points, links


def _left_alone(site: Site, links: set[str], points: set[str]) -> set[str]:
    """Return heads and junctions that had links and now have none."""
    had: set[str] = set()
    have: set[str] = set()
    for link in site.links:
        (had if link.id in links else have).update((link.from_, link.to))
    return {
        point.id
        for point in site.points
        if point.id in had - have - points
        and (isinstance(point, Head) or point.kind == "junction")
    }


def _without(site: Site, gone: dict[Section, set[str]]) -> Site:
    for section in SECTIONS:
        kept = tuple(p for p in parts_of(site, section) if p.id not in gone[section])
        site = _with_section(site, section, kept)
    return site


def _with_section(site: Site, section: Section, parts: tuple[Part, ...]) -> Site:
    # `replace` cannot be told that a section holds parts of its own kind only.
    return replace(site, **{section: parts})  # type: ignore[arg-type]
