"""What happens to an assembly, as far as a rule asks."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from maintenance.engine.backflow.verdict import Result
from maintenance.engine.calendar.local_time import local_date, zone_named

EventKind = Literal[
    "installed",
    "tested",
    "inspected",
    "overhauled",
    "repaired",
    "relocated",
    "removed",
    "reinstalled",
    "frozen",
    "incident",
    "last_used",
    "in_service",
]


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened, or is planned, on a date at the site.

    ``at`` is the instant of a test, in the site's zone, where it is known: deadlines in
    hours run from it. A test has its ``result``; an inspection may have one.
    """

    kind: EventKind
    on: date
    at: datetime | None = None
    result: Result | None = None


def tested(at: datetime, zone: str, result: Result) -> Event:
    """Return a test as an event at its site.

    Parameters
    ----------
    at : datetime
        When it was finished [instant].
    zone : str
        IANA name of the site's zone [text].
    result : str
        ``passed``, ``failed``, ``incomplete`` or ``not_tested`` [text].

    Returns
    -------
    Event
        With the date that the calendar at the site showed [-].

    Raises
    ------
    InputError
        If the zone is not known, or the instant has no offset.
    """
    return Event(
        "tested", local_date(at, zone), at.astimezone(zone_named(zone)), result
    )


def in_order(events: Iterable[Event]) -> tuple[Event, ...]:
    """Put events in the order in which they happened.

    Parameters
    ----------
    events : iterable of Event
        In any order; those of one day in the order in which they happened [events].

    Returns
    -------
    tuple of Event
        By date; of one day, as they were given [events].
    """
    return tuple(sorted(events, key=lambda event: event.on))
