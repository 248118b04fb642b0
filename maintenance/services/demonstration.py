"""The demonstration comes in whole and goes away whole.

Its files are read by a face, which hands the values in: services read no files.
"""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from maintenance.engine.site import Compressor, Site
from maintenance.models import Account
from maintenance.services.inventory.store import (
    remove_demo,
    store_compressor,
    store_site,
)

ACTOR = "demonstration"


@transaction.atomic
def load_demonstration(
    account: Account,
    *,
    sites: Iterable[Site],
    compressors: Iterable[Compressor],
    now: datetime,
) -> tuple[str, ...]:
    """Put the demonstration in, all of it or nothing; return the ids that changed.

    Loaded twice, it changes nothing the second time.

    Raises
    ------
    ConflictError
        If a person keeps something of their own under one of its ids.
    """
    changed = []
    for compressor in compressors:
        kept = store_compressor(
            compressor, account=account, now=now, actor=ACTOR, demo=True
        )
        if kept.changed:
            changed.append(kept.key)
    for site in sites:
        stored = store_site(site, account=account, now=now, actor=ACTOR, demo=True)
        if stored.changed or stored.retired:
            changed.append(stored.key)
    return tuple(changed)


def remove_demonstration(account: Account) -> tuple[str, ...]:
    """Take the demonstration out with its history; return the ids that went."""
    return remove_demo(account)
