"""Calendars, read back by a second library: zones, ids, ends, and no line of others."""

from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
from dateutil import tz
from ics import Calendar

from maintenance.exchange.calendar_feed import write_calendar
from tests.exchange.calendar_entries import NOW, entry, ten_thousand


def written(*entries):
    return write_calendar("Due dates", entries, now=NOW)


@pytest.mark.parametrize(
    ("zone", "day", "utc_hour"),
    [
        # 08:00 at the site; offsets by the zones' own rules (IANA): summer time ends
        # on 1 November 2026 in Denver and 25 October in Berlin, begins on 4 October in
        # Sydney and on 27 September in Auckland.
        ("America/Denver", date(2026, 10, 31), 14),
        ("America/Denver", date(2026, 11, 2), 15),
        ("Europe/Berlin", date(2026, 10, 24), 6),
        ("Europe/Berlin", date(2026, 10, 26), 7),
        ("Australia/Sydney", date(2026, 10, 3), -2),
        ("Australia/Sydney", date(2026, 10, 5), -3),
        ("Pacific/Auckland", date(2026, 9, 26), -4),
        ("Pacific/Auckland", date(2026, 10, 10), -5),
        ("America/Phoenix", date(2026, 10, 10), 15),
        ("UTC", date(2026, 10, 10), 8),
    ],
)
def test_the_morning_is_right_in_october_by_a_second_library(zone, day, utc_hour):
    text = written(entry(zone=zone, day=day)).decode()
    (event,) = Calendar(text).events
    midnight = datetime(day.year, day.month, day.day, tzinfo=UTC)
    assert event.begin.datetime == midnight + timedelta(hours=utc_hour)


@pytest.mark.parametrize(
    ("zone", "day", "offset_h"),
    [
        ("America/Denver", date(2026, 10, 31), -6),
        ("America/Denver", date(2026, 11, 2), -7),
        ("Australia/Sydney", date(2026, 10, 3), 10),
        ("Australia/Sydney", date(2026, 10, 5), 11),
    ],
)
def test_the_rules_that_go_along_say_the_same_by_a_third(zone, day, offset_h, tmp_path):
    # dateutil reads the VTIMEZONE itself and knows nothing of the zone's name.
    text = written(entry(zone=zone, day=day)).decode()
    path = tmp_path / "zone.ics"
    path.write_text(text.replace("\r\n ", ""), encoding="utf-8")
    rules = tz.tzical(str(path)).get(zone)
    local = datetime(day.year, day.month, day.day, 8)  # noqa: DTZ001  (on the wall)
    assert rules is not None
    assert rules.utcoffset(local) == timedelta(hours=offset_h)


@pytest.mark.parametrize("sign", ["\r\n", "\n", "\r", "\u2028", "\x0b", "\x85"])
def test_no_text_makes_a_line_of_its_own(sign):
    evil = f"Test{sign}ATTENDEE:mailto:all@example.org{sign}BEGIN:VALARM"
    text = written(entry(what=evil, site=evil, why=evil, address="https://x/due/1/"))
    lines = text.replace(b"\r\n ", b"").split(b"\r\n")
    assert not any(line.startswith((b"ATTENDEE", b"BEGIN:VALARM")) for line in lines)
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert b"\r" not in text.replace(b"\r\n", b"")
    (event,) = Calendar(text.decode()).events
    assert event.name.startswith("Test")
    assert not event.alarms


def test_an_entry_carries_its_id_its_count_and_its_end():
    (event,) = icalendar.Calendar.from_ical(written(entry(cancelled=True))).events
    assert event["UID"] == "obligation-1@plan.example.org"
    assert event["SEQUENCE"] == 3
    assert event["STATUS"] == "CANCELLED"


def test_lines_are_short_and_end_as_the_standard_says():
    text = written(entry(what="Prüfung " * 40))
    assert text.endswith(b"\r\n")
    # RFC 5545, section 3.1: 75 octets without the line end.
    assert max(len(line) for line in text.split(b"\r\n")) <= 75


def test_an_empty_calendar_is_a_calendar():
    assert not Calendar(written().decode()).events


@pytest.mark.slow
def test_ten_thousand_entries_are_read_back_equal():
    entries = ten_thousand()
    read = icalendar.Calendar.from_ical(write_calendar("x", entries, now=NOW)).events
    assert [str(each["UID"]) for each in read] == [each.uid for each in entries]
    begins = [each.decoded("DTSTART") for each in read]
    # In UTC the morning of Sydney lies on the day before; by its own clock it does not.
    assert [each.date() for each in begins] == [each.day for each in entries]
