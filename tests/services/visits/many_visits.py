"""Forty thousand visits at two thousand sites, as a firm keeps them after some years."""

from datetime import UTC, date, datetime, timedelta
from typing import Final

from maintenance.models import Account, SiteAirNeed, SiteOutlook, Visit
from maintenance.models.sites import Site

SITES: Final = 2000
VISITS: Final = 40_000
TODAY: Final = date(2026, 10, 14)
NOW: Final = datetime(2026, 10, 14, 18, tzinfo=UTC)
PLANNED: Final = 3000
"""So many of them are still to come; the others ended."""


def make_many(
    account: Account,
    *,
    visits: int = VISITS,
    sites: int = SITES,
    planned: int = PLANNED,
) -> None:
    """Fill the database; visits of one day are many, so that days alone part nothing."""
    rows = Site.objects.bulk_create(
        Site(
            account=account,
            key=f"s{number:04}",
            name=f"{number} {'Quill' if number % 3 else 'Sedge'} Lane",
            elevation_m=1900.0,
            time_zone="America/Denver",
            record={"notes": ["x" * 2000]},
        )
        for number in range(sites)
    )
    SiteOutlook.objects.bulk_create(
        SiteOutlook(
            site=site,
            worked_out_at=NOW,
            site_version=1,
            level=number % 5,
            act="wait",
            reason="",
            parts=1,
            chance=0.1,
        )
        for number, site in enumerate(rows)
    )
    SiteAirNeed.objects.bulk_create(
        SiteAirNeed(
            site=site,
            site_version=1,
            need=("none", "small", "towed", "unknown")[number % 4],
            worked_out_at=NOW,
        )
        for number, site in enumerate(rows)
    )
    Visit.objects.bulk_create(
        (
            _visit(account, rows, number, number >= visits - planned)
            for number in range(visits)
        ),
        batch_size=2000,
    )


def _visit(account: Account, sites: list[Site], number: int, to_come: bool) -> Visit:
    day = TODAY + timedelta(days=number % 40 if to_come else -1 - number % 1500)
    ended = {} if to_come else {"outcome": "done", "arrived_at": NOW, "left_at": NOW}
    return Visit(
        account=account,
        site=sites[number % len(sites)],
        kind="shutdown" if number % 2 else "repair",
        season_year=2026 if number % 2 else None,
        planned_on=None if to_come and number % 10 == 0 else day,
        worker=f"Crew {number % 20:02}",
        state="planned" if to_come else "ended",
        **ended,
    )
