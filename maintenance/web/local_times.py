"""Times as a site's own clock shows them."""

from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


def zone_of(name: str) -> tzinfo:
    """Return the time zone of a site; where none is recorded, UTC."""
    try:
        return ZoneInfo(name) if name else UTC
    except (ZoneInfoNotFoundError, ValueError):
        return UTC


def local_words(moment: datetime, zone: str) -> str:
    """Write a moment as people do, such as ``4 Oct 2026, 14:20``; UTC says so."""
    there = moment.astimezone(zone_of(zone))
    told = "" if zone_of(zone) is not UTC else " UTC"
    return f"{there.day} {there:%b %Y, %H:%M}{told}"
