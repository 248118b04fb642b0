"""Several small sites, and a doer of pieces that leaves a trace of each in a table."""

from datetime import UTC, datetime, timedelta

from maintenance.models import Account, Site
from maintenance.services.inventory.store import store_site
from maintenance.services.jobs.ask import ask_for_job
from maintenance.services.jobs.values import Piece
from tests.services.inventory.files import SPRING, example, read

NOW = datetime(2026, 10, 5, 18, 20, tzinfo=UTC)
LEASE = timedelta(seconds=60)
OVER = timedelta(seconds=-1)
"""A lease that has ended as soon as it is given."""


def keep_sites(account: Account, number: int) -> list[str]:
    keys = [f"site-{at:02}" for at in range(number)]
    for key in keys:
        store_site(
            read(example("example-lateral") | {"id": key, "name": key.title()}),
            account=account,
            now=SPRING,
        )
    return keys


def marks() -> dict[str, int]:
    """Return how often each site was marked."""
    return {
        key: version - 1 for key, version in Site.objects.values_list("key", "version")
    }


def mark(account, asked, sites, now):
    """Mark the sites, each mark a change of its row: a site done twice shows."""
    rows = Site.objects.filter(account=account, key__in=sites)

    def store():
        for row in rows:
            Site.objects.filter(pk=row.pk).update(version=row.version + 1)
        return Piece({"marked": len(sites)})

    return store


MARKERS = {"build_lists": mark, "refresh_outlooks": mark}
CHOICES = {"season": "shutdown", "year": 2026, "compressor": ""}


def asked_for(account: Account, kind: str = "build_lists") -> int:
    return ask_for_job(account, kind=kind, asked=CHOICES, now=NOW, actor="Robin")
