"""A quick zone is laid out part by part, and back to the straight run it was."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from maintenance.engine.site import Zone
from maintenance.engine.site.changes import part_of
from maintenance.engine.site.quick import as_straight_run, expand_quick_zones
from maintenance.models import Account
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.queries import site as site_of, site_version
from maintenance.services.inventory.store import StoredSite, store_site


@dataclass(frozen=True, slots=True)
class LaidOut:
    """What laying out did; ``before`` is the zone as it was, to go back to."""

    stored: StoredSite
    before: Zone


@transaction.atomic
def lay_out_zone(
    account: Account,
    *,
    key: str,
    zone: str,
    now: datetime,
    version: int | None = None,
    actor: str = "",
) -> LaidOut:
    """Keep a quick zone as a valve, pipes and heads that can be edited one by one.

    Parameters
    ----------
    account : Account
        Whose site it is.
    key, zone : str
        Ids of the site and of its zone.
    now : datetime
        When this happens.
    version : int, optional
        The version of the site that was looked at; without it, the last one.
    actor : str
        Who does it, for the history.

    Raises
    ------
    NotFoundError
        If there is no such site or zone.
    ServiceError
        If the zone is no quick zone.
    ConflictError
        If the version is not the last one.
    """
    last = site_version(account, key=key)
    site = site_of(account, key=key)
    before = part_of(site, "zones", zone)
    if not isinstance(before, Zone):
        raise NotFoundError(f'There is no zone "{zone}" on the site "{key}": see it.')
    if before.quick is None:
        raise ServiceError(
            f"Zone {zone} is laid out already: its pipes and heads stand in the tables "
            "on the page of the site; change them there."
        )
    stored = store_site(
        expand_quick_zones(site, only=zone),
        account=account,
        now=now,
        version=last if version is None else version,
        actor=actor,
    )
    return LaidOut(stored, before)


@transaction.atomic
def take_layout_back(
    account: Account,
    *,
    key: str,
    before: Zone,
    now: datetime,
    version: int,
    actor: str = "",
) -> StoredSite:
    """Keep a zone as the quick zone again that it was before it was laid out.

    Parameters
    ----------
    account : Account
        Whose site it is.
    key : str
        Id of the site.
    before : Zone
        From `LaidOut`.
    now : datetime
        When this happens.
    version : int
        The version that laying out gave; nothing may have changed since.
    actor : str
        Who does it, for the history.

    Raises
    ------
    NotFoundError
        If there is no such site.
    ConflictError
        If the site was changed since.
    """
    return store_site(
        as_straight_run(site_of(account, key=key), before),
        account=account,
        now=now,
        version=version,
        actor=actor,
    )
