"""Calendars after RFC 5545, written by a library: no text of ours makes a line.

Each entry stands in the morning of its site, in the site's own zone, whose rules go
along; ``UID`` stays for good, ``SEQUENCE`` grows with each change.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from icalendar import Calendar, Event, Timezone, vText

from maintenance.engine.calendar.local_time import zone_named
from maintenance.engine.reminding.calendar_entries import Entry
from maintenance.engine.reminding.quiet import MORNING

_PRODUCT: Final = "-//irrigation-maintenance//due dates//EN"
_LASTS: Final = timedelta(minutes=30)
_YEAR: Final = timedelta(days=366)


def write_calendar(name: str, entries: Sequence[Entry], *, now: datetime) -> bytes:
    """Write a calendar.

    Parameters
    ----------
    name : str
        What it is called.
    entries : sequence of Entry
        What stands in it.
    now : datetime
        The stamp of entries that do not tell when they changed.

    Returns
    -------
    bytes
        iCalendar, with a VTIMEZONE for each zone that is used.
    """
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    for zone, days in sorted(_days_by_zone(entries).items()):
        calendar.add_component(_zone(zone, days))
    for entry in entries:
        calendar.add_component(_event(entry, now))
    written: bytes = calendar.to_ical()
    return written


def _days_by_zone(entries: Iterable[Entry]) -> dict[str, list[date]]:
    found: dict[str, list[date]] = {}
    for entry in entries:
        found.setdefault(entry.zone, []).append(entry.day)
    found.pop("UTC", None)
    return found


def _zone(zone: str, days: list[date]) -> Timezone:
    return Timezone.from_tzid(
        zone, first_date=min(days) - _YEAR, last_date=max(days) + _YEAR
    )


def _event(entry: Entry, now: datetime) -> Event:
    event = Event()
    begins = _begins(entry.day, entry.zone)
    event.add("uid", entry.uid)
    event.add("dtstamp", (entry.changed_at or now).astimezone(UTC))
    event.add("sequence", entry.sequence)
    event.add("dtstart", begins)
    event.add("duration", _LASTS)
    event.add("summary", entry.what)
    event.add("status", "CANCELLED" if entry.cancelled else "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    if entry.site:
        event.add("location", entry.site)
    told = "\n".join(filter(None, (entry.why, entry.address)))
    if told:
        event.add("description", told)
    if entry.address:
        event.add("url", vText(entry.address))
    return event


def _begins(day: date, zone: str) -> datetime:
    there = zone_named(zone)
    begins = datetime.combine(day, time(MORNING.hour, MORNING.minute), there)
    if zone == "UTC":
        return begins.astimezone(UTC)
    # A morning that the clocks skip is written as the one that they show.
    return begins.astimezone(UTC).astimezone(there)
