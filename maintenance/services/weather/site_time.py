"""The time at a site."""

from datetime import date, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from maintenance.models import Site
from maintenance.services.errors import ServiceError


def zone_of(site: Site) -> ZoneInfo:
    """Return the time zone of a site, or refuse one that this machine does not know."""
    try:
        return ZoneInfo(site.time_zone)
    except (ZoneInfoNotFoundError, ValueError) as fault:
        raise ServiceError(
            f'The time zone "{site.time_zone}" of "{site.name}" is not known here: write '
            "one like America/Denver at its place."
        ) from fault


def today_at(site: Site, now: datetime) -> date:
    """Return the day at a site."""
    return now.astimezone(zone_of(site)).date()
