"""A list is held while something is written to it.

An update that changes nothing takes the row for the transaction where the database
locks rows, and tells by its count whether the list is still open.
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


def refuse_other_site(site: Site, version: int) -> None:
    """Refuse a list that was not compiled from the site as it is now.

    A change that comes at this very moment does no harm: the list tells its version.
    """
    if site.retired_at is not None:
        raise ServiceError(
            f'The site "{site.name}" is retired: restore it first, then compile its '
            "list again."
        )
    if site.version != version:
        raise ConflictError(
            f'The site "{site.name}" was changed since this list was compiled: '
            "compile it again and look at it; nothing was stored."
        )
