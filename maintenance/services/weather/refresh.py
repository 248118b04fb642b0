"""All sites are refreshed: forecasts asked for where they are due, outlooks kept.

The weather service is asked through a function that a face hands in, outside any
transaction: nothing waits for the network while a row is held.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from maintenance.engine.climate.fetched import (
    Addresses,
    Answer,
    Fetched,
    NotModified,
    PlaceAsked,
    Unreachable,
    next_try,
)
from maintenance.models import Account, ForecastSource, KeptForecast
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.claims import get_row
from maintenance.services.weather.forecasts import Received, keep_received
from maintenance.services.weather.outlooks import keep_outlooks

BATCH: Final = 50
"""Sites whose rows are read and written together."""

ASKED_EVERY: Final = timedelta(hours=1)
"""The service makes its forecasts by the hour; asking more often brings nothing."""

ASKED_AGAIN: Final = timedelta(days=7)
"""After a refusal that asking again cannot mend, such as a place it does not cover."""

Ask = Callable[[PlaceAsked, str], Answer]
"""Asks the service for a place; the second argument is the contact address."""

_SOURCE: Final = (
    "latitude",
    "longitude",
    "hourly_address",
    "grid_address",
    "last_modified",
    "tried_at",
    "next_try_at",
    "failures",
    "trouble",
)


@dataclass(frozen=True, slots=True)
class Refreshed:
    """What a refresh did so far: sites seen, forecasts asked for, new, and failed."""

    sites: int = 0
    asked: int = 0
    new: int = 0
    failed: int = 0

    def __add__(self, other: "Refreshed") -> "Refreshed":
        return Refreshed(
            self.sites + other.sites,
            self.asked + other.asked,
            self.new + other.new,
            self.failed + other.failed,
        )


def refresh_outlooks(
    account: Account, *, ask: Ask | None, now: datetime, jitter: float
) -> Iterator[Refreshed]:
    """Refresh all standing sites of an account, a batch at a time.

    Parameters
    ----------
    account : Account
        Without a contact address the service is not asked.
    ask : callable, optional
        Asks the weather service; None to work with what is kept.
    now : datetime
        When this happens.
    jitter : float
        Chance number from 0 to 1: after a failure not all ask again at once.

    Yields
    ------
    Refreshed
        What was done until now, after each batch.
    """
    done = Refreshed()
    asked: dict[Addresses, Answer] = {}
    rows = list(SiteRow.objects.for_account(account).standing().order_by("pk"))
    for at in range(0, len(rows), BATCH):
        done += _refresh_batch(
            account, rows[at : at + BATCH], ask=ask, now=now, jitter=jitter, asked=asked
        )
        yield done


def refresh_sites(
    account: Account,
    *,
    site_keys: Sequence[str],
    ask: Ask | None,
    now: datetime,
    jitter: float,
) -> Refreshed:
    """Refresh some standing sites, as a batch; one that was retired is passed over."""
    standing = SiteRow.objects.for_account(account).standing()
    rows = list(standing.filter(key__in=site_keys).order_by("pk"))
    return _refresh_batch(account, rows, ask=ask, now=now, jitter=jitter, asked={})


def _refresh_batch(
    account: Account,
    rows: Sequence[SiteRow],
    *,
    ask: Ask | None,
    now: datetime,
    jitter: float,
    asked: dict[Addresses, Answer],
) -> Refreshed:
    done = Refreshed(sites=len(rows))
    if ask is not None and account.weather_contact:
        done += _keep(_ask(account, rows, ask, now, asked), now, jitter)
    keep_outlooks(account, rows, now=now)
    return done


def refresh_site(
    account: Account, *, site_key: str, ask: Ask | None, now: datetime, jitter: float
) -> Refreshed:
    """Refresh one site at once, even where it is not due.

    Raises
    ------
    NotFoundError
        If there is no such site.
    """
    row = get_row(SiteRow, account, site_key)
    done = Refreshed(sites=1)
    if ask is not None and account.weather_contact:
        done += _keep(_ask(account, [row], ask, now, {}, at_once=True), now, jitter)
    keep_outlooks(account, [row], now=now)
    return done


@dataclass(frozen=True, slots=True)
class _Asked:
    """A site that the service was asked about, what is kept of it, what it said."""

    site: SiteRow
    place: PlaceAsked
    source: ForecastSource | None
    answer: Answer


def _ask(
    account: Account,
    rows: Sequence[SiteRow],
    ask: Ask,
    now: datetime,
    asked: dict[Addresses, Answer],
    *,
    at_once: bool = False,
) -> list[_Asked]:
    """Ask for the sites that are due; those of one square of the grid only once."""
    sources = {
        each.site_id: each for each in ForecastSource.objects.filter(site__in=rows)
    }
    served = set(
        KeptForecast.objects.filter(site__in=rows, came_from="service").values_list(
            "site_id", flat=True
        )
    )
    found = []
    for site in rows:
        source = sources.get(site.pk)
        place = _place(site, source, kept=site.pk in served)
        if place is None or not (at_once or _is_due(site, source, now)):
            continue
        answer = asked.get(place.addresses) if place.addresses else None
        if answer is None or isinstance(answer, NotModified):
            answer = ask(place, account.weather_contact)
            if isinstance(answer, Fetched):
                asked[answer.addresses] = answer
        found.append(_Asked(site, place, source, answer))
    return found


def _place(
    site: SiteRow, source: ForecastSource | None, *, kept: bool
) -> PlaceAsked | None:
    if site.latitude is None or site.longitude is None:
        return None
    addresses = last_modified = None
    if source is not None and _stands_there(site, source) and source.grid_address:
        addresses = Addresses(source.hourly_address, source.grid_address)
        last_modified = (source.last_modified or None) if kept else None
    return PlaceAsked(site.latitude, site.longitude, addresses, last_modified)


def _stands_there(site: SiteRow, source: ForecastSource) -> bool:
    return (source.latitude, source.longitude) == (site.latitude, site.longitude)


def _is_due(site: SiteRow, source: ForecastSource | None, now: datetime) -> bool:
    if source is None or not _stands_there(site, source):
        return True
    return source.next_try_at <= now


def _keep(answers: Sequence[_Asked], now: datetime, jitter: float) -> Refreshed:
    """Keep what came and how asking went, in three statements."""
    new = [
        Received(each.site, each.answer.forecast, "service")
        for each in answers
        if isinstance(each.answer, Fetched)
    ]
    if answers:
        keep_received(new, now=now)
        ForecastSource.objects.bulk_create(
            [_source_row(each, now, jitter) for each in answers],
            update_conflicts=True,
            unique_fields=["site"],
            update_fields=_SOURCE,
        )
    failed = sum(isinstance(each.answer, Unreachable) for each in answers)
    return Refreshed(asked=len(answers), new=len(new), failed=failed)


def _source_row(asked: _Asked, now: datetime, jitter: float) -> ForecastSource:
    answer, place, before = asked.answer, asked.place, asked.source
    row = ForecastSource(
        site=asked.site,
        latitude=place.latitude_deg,
        longitude=place.longitude_deg,
        tried_at=now,
        next_try_at=now + ASKED_EVERY,
    )
    addresses = place.addresses
    if isinstance(answer, Unreachable):
        row.failures = (before.failures if before else 0) + 1
        row.trouble = answer.why
        row.last_modified = place.last_modified or ""
        row.next_try_at = (
            now + ASKED_AGAIN
            if answer.permanent
            else next_try(row.failures, answer.retry_after_s, now, jitter)
        )
    else:
        addresses = answer.addresses
        row.last_modified = (
            answer.last_modified if isinstance(answer, Fetched) else place.last_modified
        ) or ""
    if addresses is not None:
        row.hourly_address, row.grid_address = addresses.hourly, addresses.grid
    return row
