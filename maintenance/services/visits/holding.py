"""Calls, visits and findings are claimed by their version before they change.

Whoever makes the version the next one owns the change; everyone who read it before is
told so. Nothing is overwritten unseen.
"""

from datetime import date, datetime
from typing import Final, TypeVar

from django.db.models import F

from maintenance.models import Account, Finding, ServiceCall, Site, Visit
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError

_Row = TypeVar("_Row", ServiceCall, Visit, Finding)

NAMES: Final[dict[type, str]] = {
    ServiceCall: "call",
    Visit: "visit",
    Finding: "finding",
}
FIRST_DAY: Final = date(1950, 1, 1)
LAST_DAY: Final = date(2200, 12, 31)


def get_one(model: type[_Row], account: Account, pk: int) -> _Row:
    """Return the account's row of that number with its site, or refuse; one query."""
    rows = model.objects.for_account(account).select_related("site")
    row: _Row | None = rows.filter(pk=pk).first()
    if row is None:
        raise NotFoundError(f"There is no {NAMES[model]} {pk} here: see the list.")
    return row


def claim_one(model: type[_Row], account: Account, pk: int, version: int) -> _Row:
    """Claim a row for this transaction and return it fresh, or refuse."""
    get_one(model, account, pk)
    claimed = model.objects.filter(pk=pk, version=version).update(
        version=F("version") + 1
    )
    if claimed != 1:
        raise ConflictError(
            f"The {NAMES[model]} was changed by someone else since you opened it."
        )
    return get_one(model, account, pk)


def refuse_retired(site: Site) -> None:
    """Refuse to plan anything new at a site that is off the list."""
    if site.retired_at is not None:
        raise ServiceError(
            f'The site "{site.name}" is retired: restore it first, then plan there.'
        )


def checked_day(day: date | None, what: str) -> date | None:
    """Return a day, or refuse one that is a slip of the pen."""
    if day is not None and not FIRST_DAY <= day <= LAST_DAY:
        raise ServiceError(f"{what} {day} is no day of our time: write it again.")
    return day


def word_of(text: str, sentence: str) -> str:
    """Return a word that must be there, or refuse with what to write."""
    written = text.strip()
    if not written:
        raise ServiceError(sentence)
    return written


def not_before(now: datetime, begun: datetime | None) -> datetime:
    """Return now; a clock set back must not make a thing end before it began."""
    return now if begun is None else max(now, begun)
