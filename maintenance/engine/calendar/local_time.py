"""Instants and the clock on the wall at a site.

A due date is a date at the site, in the site's own zone and in nobody else's. Wall
clocks serve for schedules, instants for durations: a day may have 23 or 25 hours, and
sums of offsets are never assumed to be whole hours.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from maintenance.engine.errors import InputError


def zone_named(name: str) -> ZoneInfo:
    """Return a time zone by its name.

    Parameters
    ----------
    name : str
        IANA name; names of former editions serve too [text].

    Returns
    -------
    ZoneInfo
        The zone [-].

    Raises
    ------
    InputError
        If there is none.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise InputError(
            f'time_zone: "{name[:40]}" is no time zone; write one like '
            '"America/Denver"',
            input="time_zone",
        ) from error


def at_local_time(day: date, at: time, zone: str) -> datetime:
    """Return the instant at which clocks at a site show a time on a date.

    Parameters
    ----------
    day : date
        Date at the site [date].
    at : time
        Time on the wall, without a zone [time].
    zone : str
        IANA name of the site's zone [text].

    Returns
    -------
    datetime
        The instant in UTC [instant].

    Raises
    ------
    InputError
        If the zone is not known, or the time carries a zone of its own.

    Notes
    -----
    A time that the clocks skip moves forward by what they skip, and so does a date that
    a zone skipped whole; of a time that comes twice, the first is taken.

    Examples
    --------
    >>> at_local_time(date(2027, 3, 14), time(2, 30), "America/New_York").isoformat()
    '2027-03-14T07:30:00+00:00'
    """
    if at.tzinfo is not None:
        raise InputError(f"{at} carries a zone of its own; give the time on the wall")
    # fold 0 is the offset before the change: the first of two, and on over a gap.
    there = datetime.combine(day, at.replace(fold=0), zone_named(zone))
    return there.astimezone(UTC)


def local_date(instant: datetime, zone: str) -> date:
    """Return the date at a site.

    Parameters
    ----------
    instant : datetime
        With its zone or offset [instant].
    zone : str
        IANA name of the site's zone [text].

    Returns
    -------
    date
        What the calendar there shows [date].

    Raises
    ------
    InputError
        If the zone is not known, or the instant has no offset.

    Examples
    --------
    >>> night = datetime(2027, 4, 1, 3, tzinfo=UTC)
    >>> str(local_date(night, "America/New_York")), str(local_date(night, "UTC"))
    ('2027-03-31', '2027-04-01')
    """
    return _aware(instant).astimezone(zone_named(zone)).date()


def start_of_day(day: date, zone: str) -> datetime:
    """Return the first instant of a date at a site.

    Parameters
    ----------
    day : date
        Date at the site [date].
    zone : str
        IANA name of the site's zone [text].

    Returns
    -------
    datetime
        The instant in UTC; where midnight is skipped, the day starts later [instant].

    Raises
    ------
    InputError
        If the zone is not known.

    Examples
    --------
    >>> start_of_day(date(2027, 3, 14), "America/Havana").isoformat()
    '2027-03-14T05:00:00+00:00'
    """
    return at_local_time(day, time(), zone)


def add_hours(instant: datetime, hours: float) -> datetime:
    """Return the instant that many true hours later.

    Parameters
    ----------
    instant : datetime
        With its zone or offset [instant].
    hours : float
        How many [h].

    Returns
    -------
    datetime
        In the zone of ``instant`` [instant].

    Raises
    ------
    InputError
        If the instant has no offset.

    Examples
    --------
    >>> before = datetime(2027, 3, 13, 7, tzinfo=ZoneInfo("America/New_York"))
    >>> add_hours(before, 24).isoformat()
    '2027-03-14T08:00:00-04:00'
    """
    later = _aware(instant).astimezone(UTC) + timedelta(hours=hours)
    return later.astimezone(instant.tzinfo)


def _aware(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise InputError(f"{instant} has no zone, so it is no instant; give its offset")
    return instant
