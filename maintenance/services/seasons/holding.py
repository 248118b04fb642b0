"""A list, or a site, is held while something is written that rests on it.

An update that changes nothing takes the row for the transaction where the database
locks rows, and tells by its count whether the row still is as it was read.
"""

from django.db.models import F

from maintenance.models import Account, SeasonList, Site
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.seasons.read_lists import get_list, list_name


def hold_list(account: Account, list_id: int) -> tuple[SeasonList, bool]:
    """Hold a list; return it, and whether it is open, in three queries."""
    get_list(account, list_id)
    # The condition must stand beside the row's own key: in a query over several
    # tables PostgreSQL would not look at it again after waiting for another.
    open_ = SeasonList.objects.filter(pk=list_id, closed_at=None)
    held = open_.update(site_version=F("site_version"))
    return get_list(account, list_id), held == 1


def hold_open_list(account: Account, list_id: int) -> SeasonList:
    """Hold a list that is to be written to, or refuse."""
    row, open_ = hold_list(account, list_id)
    if not open_:
        raise closed(row)
    return row


def closed(row: SeasonList) -> ConflictError:
    """Return the refusal to write to a closed list."""
    return ConflictError(
        f"The {list_name(row)} was closed by {row.closed_by}: nothing was stored. "
        "Write it down at the site instead, or open a new list."
    )


def hold_site(site: Site, version: int) -> None:
    """Hold a site that a list rests on, or refuse if it is no longer that version."""
    if site.retired_at is not None:
        raise ServiceError(
            f'The site "{site.name}" is retired: restore it first, then compile its '
            "list again."
        )
    as_read = Site.objects.filter(pk=site.pk, version=version, retired_at=None)
    if as_read.update(version=F("version")) != 1:
        raise ConflictError(
            f'The site "{site.name}" was changed since this list was compiled: '
            "compile it again and look at it; nothing was stored."
        )
