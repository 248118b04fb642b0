"""Entries of calendars for the tests."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from maintenance.engine.reminding.calendar_entries import Entry

NOW = datetime(2026, 9, 1, 12, tzinfo=UTC)
ZONES = ("America/Denver", "Australia/Sydney", "UTC", "Europe/Berlin")


def entry(**more: Any) -> Entry:
    usual: dict[str, Any] = {
        "uid": "obligation-1@plan.example.org",
        "sequence": 3,
        "day": date(2026, 10, 25),
        "zone": "America/Denver",
        "what": "Test RP",
    }
    return Entry(**{**usual, **more})


def ten_thousand() -> list[Entry]:
    return [
        entry(
            uid=f"obligation-{n}@plan.example.org",
            day=date(2026, 10, 1) + timedelta(days=n % 365),
            zone=ZONES[n % 4],
            what=f"Test RP {n}",
            why="Yearly. Rule: us-ab/1.",
        )
        for n in range(10_000)
    ]
