"""Calendars after RFC 5545, written by a library: no text of ours makes a line.

Each entry stands in the morning of its site, in the site's own zone, whose rules go
along; ``UID`` stays for good, ``SEQUENCE`` grows with each change.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from icalendar import (
    Calendar,
    Event,
    Timezone,
    vDDDTypes,
    vDuration,
    vInt,
    vText,
    vUri,
)

from maintenance.engine.calendar.local_time import zone_named
from maintenance.engine.reminding.calendar_entries import Entry
from maintenance.engine.reminding.letters import one_line
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
    calendar.add("name", one_line(name))
    calendar.add("x-wr-calname", one_line(name))
    for zone, days in sorted(_days_by_zone(entries).items()):
        calendar.add_component(_zone(zone, days))
    shared = _Shared(now)
    for entry in entries:
        calendar.add_component(_event(entry, shared))
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


def _event(entry: Entry, shared: "_Shared") -> Event:
    event = Event()
    # Set as they are and not by `add`, which looks at each value's kind again and is
    # half of the time of a calendar of 10,000.
    event["UID"] = vText(one_line(entry.uid))
    event["DTSTAMP"] = shared.stamp
    if entry.changed_at is not None:
        event["DTSTAMP"] = vDDDTypes(entry.changed_at.astimezone(UTC))
    event["SEQUENCE"] = vInt(entry.sequence)
    event["DTSTART"] = shared.begins(entry.day, entry.zone)
    event["DURATION"] = shared.lasts
    event["SUMMARY"] = vText(one_line(entry.what))
    event["STATUS"] = shared.cancelled if entry.cancelled else shared.confirmed
    event["TRANSP"] = shared.transparent
    if entry.site:
        event["LOCATION"] = vText(one_line(entry.site))
    told = [one_line(part) for part in (entry.why, entry.address) if part]
    if told:
        event["DESCRIPTION"] = vText("\n".join(told))
    if entry.address:
        event["URL"] = vUri(one_line(entry.address))
    return event


class _Shared:
    """Values that many entries have in common, made once."""

    def __init__(self, now: datetime) -> None:
        self.stamp = vDDDTypes(now.astimezone(UTC))
        self.lasts = vDuration(_LASTS)
        self.cancelled, self.confirmed = vText("CANCELLED"), vText("CONFIRMED")
        self.transparent = vText("TRANSPARENT")
        self._begins: dict[tuple[date, str], vDDDTypes] = {}

    def begins(self, day: date, zone: str) -> vDDDTypes:
        """Return the morning of a day in a zone."""
        known = self._begins.get((day, zone))
        if known is None:
            known = self._begins[day, zone] = vDDDTypes(_begins(day, zone))
        return known


def _begins(day: date, zone: str) -> datetime:
    there = zone_named(zone)
    begins = datetime.combine(day, time(MORNING.hour, MORNING.minute), there)
    if zone == "UTC":
        return begins.astimezone(UTC)
    # A morning that the clocks skip is written as the one that they show.
    return begins.astimezone(UTC).astimezone(there)
