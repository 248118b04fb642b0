"""A few sites of the job that works all freeze outlooks out again.

An outlook that is worked out twice is the same outlook: these pieces are kept as they
come, so that nobody waits for the network while a transaction is open.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from maintenance.models import Account
from maintenance.services.jobs.values import Piece, Prepare, Store
from maintenance.services.weather.refresh import Ask, refresh_sites


def refresher(*, ask: Ask | None, jitter: float) -> Prepare:
    """Return who works out the pieces.

    Parameters
    ----------
    ask : callable, optional
        Asks the weather service; None to work with what is kept.
    jitter : float
        Chance number from 0 to 1: after a failure not all ask again at once.
    """

    def prepare(
        account: Account, asked: Mapping[str, Any], sites: Sequence[str], now: datetime
    ) -> Store:
        done = refresh_sites(account, site_keys=sites, ask=ask, now=now, jitter=jitter)
        came = Piece(
            {
                "worked out": done.sites,
                "forecasts new": done.new,
                "forecasts not reached": done.failed,
            }
        )
        return lambda: came

    return prepare
