"""Calendars behind secret links: of a person, a site or the whole account."""

import hashlib
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Final
from urllib.parse import urlsplit

from django.conf import settings
from django.db import transaction
from django.db.models import Q

from maintenance.engine.reminding.calendar_entries import KEPT_DAYS, Entry
from maintenance.models import Account, FeedLink, Obligation, Recipient, Site
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.reminders.people import get_person
from maintenance.services.reminders.stop_links import hash_of
from maintenance.services.reminders.telling import known_zone, owed_of, reader_of

_BYTES: Final = 32
_TELLS: Final = ("pk", "version", "due_on", "ended_at", "site__name")


@dataclass(frozen=True, slots=True)
class Feed:
    """A calendar by its link, with what tells one state of it from another."""

    link: FeedLink
    tag: str


def all_links(account: Account) -> list[FeedLink]:
    """Return an account's links, those taken back last, in one query."""
    rows = FeedLink.objects.for_account(account).select_related("site", "recipient")
    return sorted(rows.order_by("-pk"), key=lambda row: row.revoked_at is not None)


@transaction.atomic
def make_link(
    account: Account,
    *,
    name: str,
    site_key: str = "",
    person_id: int | None = None,
    now: datetime,
    actor: str,
) -> tuple[FeedLink, str]:
    """Make a link; its secret is returned this once and only its hash is kept.

    Raises
    ------
    ServiceError
        If it has no name, or is both a site's and a person's.
    NotFoundError
        If there is no such site or person.
    """
    name = " ".join(name.split())
    if not name:
        raise ServiceError("Give the calendar a name.")
    if site_key and person_id is not None:
        raise ServiceError("A calendar is a site’s or a person’s: choose one.")
    secret = secrets.token_urlsafe(_BYTES)
    link = FeedLink(
        account=account,
        site=get_row(Site, account, site_key) if site_key else None,
        recipient=(
            get_person(account, person_id=person_id) if person_id is not None else None
        ),
        name=name,
        token_hash=hash_of(secret),
        made_at=now,
        made_by=actor,
    )
    link.full_clean(exclude=["account", "site", "recipient"])
    link.save()
    return link, secret


@transaction.atomic
def revoke_link(account: Account, *, link_id: int, now: datetime) -> None:
    """Take a link back: whoever has it finds nothing from now on.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    rows = FeedLink.objects.for_account(account).filter(pk=link_id, revoked_at=None)
    if rows.update(revoked_at=now) != 1:
        raise NotFoundError("There is no such calendar, or it was taken back already.")


def feed_behind(secret: str, *, now: datetime) -> Feed:
    """Return the calendar behind a link, and note the day on which it was used.

    Raises
    ------
    NotFoundError
        If the link is not known, or was taken back.
    """
    link = (
        FeedLink.objects.filter(token_hash=hash_of(secret), revoked_at=None)
        .select_related("account", "site", "recipient")
        .first()
    )
    gone = link is not None and link.recipient and link.recipient.retired_at
    if link is None or gone:
        raise NotFoundError("There is no calendar here.")
    today = now.date()
    if link.last_used_on != today:
        FeedLink.objects.filter(pk=link.pk).update(last_used_on=today)
    return Feed(link, _tag(link, today))


def entries_of(link: FeedLink, *, now: datetime) -> list[Entry]:
    """Return what stands in a calendar, in one query or two."""
    rows = _rows(link, now.date()).select_related("site").order_by("due_on", "pk")
    return [_entry(row) for row in _wanted(link, rows)]


def _rows(link: FeedLink, today: date) -> "Any":
    ended = today - timedelta(days=KEPT_DAYS)
    rows = Obligation.objects.for_account(link.account).filter(
        Q(ended_at=None) | Q(ended_at__date__gte=ended)
    )
    return rows.filter(site=link.site) if link.site_id else rows


def _wanted(link: FeedLink, rows: Iterable[Obligation]) -> list[Obligation]:
    if link.recipient is None:
        return list(rows)
    sites = dict(Site.objects.for_account(link.account).values_list("key", "pk"))
    reader = reader_of(link.recipient, sites)
    kept = list(rows)
    return [
        row for row, owed in zip(kept, owed_of(kept), strict=True) if reader.wants(owed)
    ]


def _tag(link: FeedLink, today: date) -> str:
    """Return what changes whenever the calendar would; it costs one light query."""
    told = hashlib.sha256()
    person: Recipient | None = link.recipient
    for part in (link.pk, link.name, person and person.version):
        told.update(f"{part}|".encode())
    for row in _rows(link, today).order_by("pk").values_list(*_TELLS):
        told.update(repr(row).encode())
    return told.hexdigest()[:32]


def _entry(row: Obligation) -> Entry:
    host = urlsplit(settings.PUBLIC_URL).hostname or "localhost"
    return Entry(
        uid=f"obligation-{row.pk}@{host}",
        sequence=row.version,
        day=row.due_on,
        zone=known_zone(row.time_zone),
        what=row.what,
        site=row.site.name if row.site else "",
        why=row.why,
        address=f"{settings.PUBLIC_URL}/due/{row.pk}/",
        changed_at=row.ended_at,
        cancelled=row.ended_at is not None,
    )
