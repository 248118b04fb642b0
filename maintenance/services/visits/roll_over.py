"""Sites roll over into a season: the same again, changed, sold, or stopped."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from django.db import IntegrityError, transaction

from maintenance.models import Account, SeasonList, SiteSeason, Visit
from maintenance.models.sites import Site as SiteRow
from maintenance.models.visits import STANDINGS
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.seasons.open_list import FIRST_YEAR, LAST_YEAR
from maintenance.services.visits.board import OUT
from maintenance.services.visits.plan import VisitPlan, add_visits
from maintenance.services.visits.words import OUTCOMES, SEASONS

AT_ONCE: Final = 50
"""Sites on one page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What a person states of one site; ``version`` is what they saw, 0 for nothing."""

    site_key: str
    standing: str
    note: str = ""
    version: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RollLine:
    """A site with how it stands in the season, and what was noted the year before."""

    site_key: str
    site_name: str
    standing: str
    note: str
    version: int
    before: str
    before_notes: tuple[str, ...]
    worker: str
    planned: bool


@dataclass(slots=True)
class _Before:
    standing: str = ""
    notes: list[str] = field(default_factory=list)
    worker: str = ""


def roll_lines(
    account: Account, *, season: str, year: int, after: str = ""
) -> tuple[list[RollLine], str]:
    """Return up to 50 sites by id from one id on, and the last id where more follow.

    Six queries.
    """
    sites = SiteRow.objects.for_account(account).standing().order_by("key")
    rows = list(sites.filter(key__gt=after).defer("record", "si")[: AT_ONCE + 1])
    page, more = rows[:AT_ONCE], len(rows) > AT_ONCE
    ids = [row.pk for row in page]
    now = {
        each.site_id: each
        for each in SiteSeason.objects.filter(site__in=ids, season=season, year=year)
    }
    before = _before(ids, season, year - 1)
    visits = Visit.objects.filter(site__in=ids, kind=season, season_year=year)
    planned = set(visits.exclude(state="called_off").values_list("site_id", flat=True))
    lines = [
        RollLine(
            site_key=row.key,
            site_name=row.name,
            standing=now[row.pk].standing if row.pk in now else "",
            note=now[row.pk].note if row.pk in now else "",
            version=now[row.pk].version if row.pk in now else 0,
            before=before[row.pk].standing,
            before_notes=tuple(before[row.pk].notes),
            worker=before[row.pk].worker,
            planned=row.pk in planned,
        )
        for row in page
    ]
    return lines, page[-1].key if more else ""


def state_seasons(
    account: Account,
    *,
    season: str,
    year: int,
    stated: Sequence[Stated],
    plan: bool = False,
    now: datetime,
    actor: str,
) -> tuple[int, int]:
    """State how sites stand in a season, all or none; return how many, and visits.

    With ``plan`` each site that goes on and has no visit yet gets one without a day,
    for whoever went the year before.

    Raises
    ------
    ConflictError
        If someone else stated one of them meanwhile.
    NotFoundError
        If there is no such site.
    ServiceError
        If the season, the year or a standing is none, or a changed site has no note.
    """
    _refuse(season, year, stated)
    act = Act(actor, now)
    keys = [each.site_key for each in stated]
    sites = {
        row.key: row
        for row in SiteRow.objects.for_account(account)
        .standing()
        .filter(key__in=keys)
        .defer("record", "si")
    }
    for key in keys:
        if key not in sites:
            raise NotFoundError(f'There is no site "{key}" here: see the list.')
    with transaction.atomic():
        try:
            with transaction.atomic():
                count = _store(season, year, stated, sites, act)
        except IntegrityError as fault:
            raise _conflict() from fault
        plans = (
            _plans(season, year, [e for e in stated if e.standing not in OUT], sites)
            if plan
            else []
        )
        add_visits(account, plans, act)
    return count, len(plans)


def _refuse(season: str, year: int, stated: Sequence[Stated]) -> None:
    if season not in SEASONS or not FIRST_YEAR <= year <= LAST_YEAR:
        raise ServiceError("Choose a season and its year.")
    for each in stated:
        if each.standing not in STANDINGS:
            raise ServiceError(f'"{each.standing}" is no standing: choose one.')
        if each.standing == "changed" and not each.note.strip():
            raise ServiceError(
                f'"{each.site_key}" is stated as changed: write what has changed.'
            )


def _store(
    season: str,
    year: int,
    stated: Sequence[Stated],
    sites: dict[str, SiteRow],
    act: Act,
) -> int:
    kept = {
        row.site_id: row
        for row in SiteSeason.objects.select_for_update().filter(
            site__in=sites.values(), season=season, year=year
        )
    }
    new, changed = [], []
    for each in stated:
        site, note = sites[each.site_key], each.note.strip()
        row = kept.get(site.pk)
        if each.version != (row.version if row else 0):
            raise _conflict()
        told = {"standing": each.standing, "note": note}
        if row is None:
            row = SiteSeason(site=site, season=season, year=year)
            new.append(row)
        elif (row.standing, row.note) == (each.standing, note):
            continue
        else:
            row.version += 1
            changed.append(row)
        row.standing, row.note = told["standing"], told["note"]
        row.decided_at, row.decided_by = act.now, act.actor
    add_rows(SiteSeason, new, act)
    columns = ["standing", "note", "decided_at", "decided_by", "version"]
    change_rows(SiteSeason, changed, columns, act)
    return len(new) + len(changed)


def _plans(
    season: str, year: int, going_on: Iterable[Stated], sites: dict[str, SiteRow]
) -> list[tuple[SiteRow, VisitPlan]]:
    chosen = {sites[each.site_key].pk: each for each in going_on}
    visits = Visit.objects.filter(site__in=chosen, kind=season, season_year=year)
    there = set(visits.exclude(state="called_off").values_list("site_id", flat=True))
    before = _before(list(chosen), season, year - 1)
    rows = {row.pk: row for row in sites.values()}
    return [
        (
            rows[pk],
            VisitPlan(
                kind=season,
                season_year=year,
                worker=before[pk].worker,
                notes=each.note.strip(),
            ),
        )
        for pk, each in chosen.items()
        if pk not in there
    ]


def _before(ids: list[int], season: str, year: int) -> dict[int, _Before]:
    """Return what was noted the year before, in three queries."""
    found = {pk: _Before() for pk in ids}
    stated = SiteSeason.objects.filter(site__in=ids, season=season, year=year)
    for site, standing, note in stated.values_list("site_id", "standing", "note"):
        found[site].standing = standing
        found[site].notes += [note] if note else []
    visits = Visit.objects.filter(
        site__in=ids, kind=season, season_year=year, state="ended"
    )
    for site, outcome, note, notes, worker in visits.order_by(
        "left_at", "pk"
    ).values_list("site_id", "outcome", "outcome_note", "notes", "worker"):
        found[site].worker = worker
        told = "; ".join(text for text in (note, notes) if text)
        found[site].notes.append(f"{OUTCOMES[outcome]}{': ' if told else ''}{told}")
    lists = SeasonList.objects.filter(site__in=ids, season=season, year=year)
    for site, notes in lists.exclude(notes="").values_list("site_id", "notes"):
        found[site].notes.append(notes)
    return found


def _conflict() -> ConflictError:
    return ConflictError(
        "Someone else stated how one of these sites stands since you opened the page."
    )
