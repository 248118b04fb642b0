"""All that happened at one site, by date: the answer to "what was done here?"."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from textwrap import shorten

from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.engine.calendar.local_time import local_date, zone_named
from maintenance.engine.errors import InputError
from maintenance.models import (
    Account,
    Finding,
    SeasonList,
    ServiceCall,
    Site,
    SiteSeason,
    TestRecord,
    Visit,
)
from maintenance.services.inventory.claims import get_row
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.services.visits.words import (
    KINDS,
    OUTCOMES,
    SEASONS,
    STANDINGS,
    STATES,
)

LONGEST_WORDS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened; ``kind`` and ``pk`` tell which page tells more of it.

    ``private`` is for those only who may know how to get in.
    """

    on: date
    kind: str
    pk: int
    what: str
    note: str = ""
    private: str = ""
    who: str = ""


@dataclass(frozen=True, slots=True)
class SiteStory:
    """A site with what happened there, the newest first; what is to come stands apart."""

    site_key: str
    site_name: str
    events: tuple[Event, ...]
    to_come: tuple[Event, ...]


def site_story(account: Account, *, site_key: str) -> SiteStory:
    """Return all that happened at a site, in seven queries."""
    site = get_row(Site, account, site_key)
    zone = _zone(site)
    happened = [
        *_calls(site, zone),
        *_lists(site, zone),
        *_tests(site, zone),
        *_findings(site, zone),
        *_standings(site, zone),
    ]
    to_come: list[Event] = []
    for ended, event in _visits(site, zone):
        (happened if ended else to_come).append(event)
    happened.sort(key=lambda each: (each.on, each.kind, each.pk), reverse=True)
    to_come.sort(key=lambda each: (each.on, each.pk))
    return SiteStory(site.key, site.name, tuple(happened), tuple(to_come))


def _zone(site: Site) -> str:
    try:
        zone_named(site.time_zone)
    except InputError:
        return "UTC"
    return site.time_zone


def _visits(site: Site, zone: str) -> Iterator[tuple[bool, Event]]:
    for row in Visit.objects.filter(site=site):
        year = f" {row.season_year}" if row.season_year else ""
        ended = row.state == "ended"
        how = OUTCOMES[row.outcome] if ended else STATES[row.state]
        on = _day(row.left_at or row.arrived_at, zone) or row.planned_on
        yield (
            ended or row.state == "called_off",
            Event(
                on=on or date.max,
                kind="visit",
                pk=row.pk,
                what=f"Visit, {KINDS[row.kind]}{year}: {how}",
                note="; ".join(t for t in (row.outcome_note, row.parts_used) if t),
                private=row.notes,
                who=row.worker,
            ),
        )


def _calls(site: Site, zone: str) -> Iterator[Event]:
    for row in ServiceCall.objects.filter(site=site):
        what, caller = _short(row.what), row.caller
        yield Event(
            on=local_date(row.received_at, zone),
            kind="call",
            pk=row.pk,
            what=f"Call{f' from {caller}' if caller else ''}: {what}",
            who=row.received_by,
        )
        if row.closed_at:
            yield Event(
                on=local_date(row.closed_at, zone),
                kind="call",
                pk=row.pk,
                what=f"Call closed: {what}",
                note=row.closed_as,
                who=row.closed_by,
            )


def _lists(site: Site, zone: str) -> Iterator[Event]:
    for row in SeasonList.objects.filter(site=site):
        name = f"{SEASON_NAMES[row.season]} {row.year}"
        yield Event(
            on=local_date(row.opened_at, zone),
            kind="list",
            pk=row.pk,
            what=f"Opened: {name}",
            who=row.opened_by,
        )
        if row.closed_at:
            yield Event(
                on=local_date(row.closed_at, zone),
                kind="list",
                pk=row.pk,
                what=f"Closed: {name}",
                note=row.notes,
                who=row.closed_by,
            )


def _tests(site: Site, zone: str) -> Iterator[Event]:
    rows = TestRecord.objects.filter(device__site=site)
    for pk, at, result, who, link in rows.values_list(
        "pk", "tested_at", "result", "signed_by", "device__link__key"
    ):
        yield Event(
            on=local_date(at, zone),
            kind="test",
            pk=pk,
            what=f"Field test of {link}: {RESULT_WORDS.get(result, result)}",
            who=who,
        )


def _findings(site: Site, zone: str) -> Iterator[Event]:
    for row in Finding.objects.filter(site=site):
        about = f"{row.about}: " if row.about else ""
        yield Event(
            on=local_date(row.found_at, zone),
            kind="finding",
            pk=row.pk,
            what=f"Found: {about}{_short(row.what)}",
            note="" if row.closed_at else "still open",
            who=row.found_by,
        )
        if row.closed_at:
            yield Event(
                on=local_date(row.closed_at, zone),
                kind="finding",
                pk=row.pk,
                what=f"Finding closed: {about}{_short(row.what)}",
                note=row.closed_as,
                who=row.closed_by,
            )


def _standings(site: Site, zone: str) -> Iterator[Event]:
    for row in SiteSeason.objects.filter(site=site):
        yield Event(
            on=local_date(row.decided_at, zone),
            kind="standing",
            pk=row.pk,
            what=f"{SEASONS[row.season].capitalize()} {row.year}: "
            f"{STANDINGS[row.standing]}",
            note=row.note,
            who=row.decided_by,
        )


def _day(at: datetime | None, zone: str) -> date | None:
    return local_date(at, zone) if at else None


def _short(text: str) -> str:
    return shorten(text, LONGEST_WORDS, placeholder=" …")
