"""The morning of a person, and the hours in which nothing is sent."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final

from maintenance.engine.calendar.local_time import at_local_time, zone_named

MORNING: Final = time(8)
"""When reminders go out where nothing else is stated (project choice)."""


@dataclass(frozen=True, slots=True)
class Quiet:
    """Hours between which nothing is sent, on the wall; they may span midnight."""

    begins: time
    ends: time

    def holds(self, at: time) -> bool:
        """Whether a time on the wall lies in them; the end itself does not [-]."""
        if self.begins <= self.ends:
            return self.begins <= at < self.ends
        return at >= self.begins or at < self.ends


def when_allowed(instant: datetime, quiet: Quiet | None, zone: str) -> datetime:
    """Return an instant, or the end of the quiet hours that it falls into.

    Parameters
    ----------
    instant : datetime
        When something would be sent [instant].
    quiet : Quiet or None
        The quiet hours; None for none [time on the wall].
    zone : str
        IANA name of the zone in which they count [text].

    Returns
    -------
    datetime
        The instant itself where it is allowed [instant].

    Raises
    ------
    InputError
        If the zone is not known.

    Examples
    --------
    >>> from datetime import UTC
    >>> late = datetime(2027, 7, 1, 4, 30, tzinfo=UTC)  # 22:30 in Denver
    >>> when_allowed(late, Quiet(time(22), time(7)), "America/Denver").isoformat()
    '2027-07-01T13:00:00+00:00'
    """
    if quiet is None:
        return instant
    there = instant.astimezone(zone_named(zone))
    at = there.time()
    if not quiet.holds(at):
        return instant
    day = there.date()
    if quiet.begins > quiet.ends and at >= quiet.begins:
        day += timedelta(days=1)
    # On a day of 25 hours the end may come before the second 01:30: never go back.
    return max(instant, at_local_time(day, quiet.ends, zone))


def morning_of(day: date, morning: time, quiet: Quiet | None, zone: str) -> datetime:
    """Return when a day's reminders go out.

    Parameters
    ----------
    day : date
        Date in the zone [date].
    morning : time
        Time on the wall [time].
    quiet : Quiet or None
        Hours in which nothing is sent [time on the wall].
    zone : str
        IANA name of the zone [text].

    Returns
    -------
    datetime
        In UTC [instant].

    Raises
    ------
    InputError
        If the zone is not known.

    Notes
    -----
    A morning that the clocks skip moves forward by what they skip; one that comes
    twice is taken the first time.
    """
    return when_allowed(at_local_time(day, morning, zone), quiet, zone)
