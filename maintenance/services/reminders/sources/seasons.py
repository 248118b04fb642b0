"""Planning of the shutdown, from the freeze outlook, and of the start-up after it."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta

from maintenance.engine.calendar.local_time import local_date
from maintenance.engine.climate.alert import ACT_AT, CREW_DAYS
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.climate.spring_start import start_after
from maintenance.engine.reminding.planning_days import (
    SHUTDOWN_LEAD_DAYS,
    STARTUP_LEAD_DAYS,
    PlanBy,
    a_year_on,
    plan_shutdown_by,
    plan_startup_by,
)
from maintenance.engine.reminding.reconcile import Found
from maintenance.models import (
    Account,
    KeptDates,
    SeasonList,
    Site,
    SiteOutlook,
    SiteSeason,
    SiteWeather,
    Visit,
)
from maintenance.services.reminders.sources.looked import (
    Looked,
    stated,
    whole_number,
)
from maintenance.services.reminders.telling import known_zone

_OUT = ("sold", "stopped")
Season = tuple[int, int]


def look(account: Account, *, now: datetime) -> Looked:
    """Find the seasons that are to be planned."""
    looked = Looked(("shutdown_planning", "startup_planning"))
    _shutdowns(account, looked)
    _startups(account, looked, now)
    return looked


def _shutdowns(account: Account, looked: Looked) -> None:
    lead = whole_number(
        stated(account, "shutdown_planning"), "lead_days", SHUTDOWN_LEAD_DAYS
    )
    crews = dict(
        SiteWeather.objects.for_account(account).values_list("site_id", "crew_days")
    )
    planned, out = _planned(account, "shutdown"), _out(account, "shutdown")
    outlooks = SiteOutlook.objects.for_account(account).filter(
        planning_date__isnull=False, site__retired_at=None
    )
    for row in outlooks.select_related("site"):
        if row.planning_date is None:
            continue
        year = season_day(row.planning_date)[0].year
        about = f"shutdown:{row.site_id}:{year}"
        if (row.site_id, year) in out:
            continue
        if (row.site_id, year) in planned:
            looked.done.append(("shutdown_planning", about))
            continue
        crew = crews.get(row.site_id)
        by = plan_shutdown_by(
            row.planning_date,
            crew_days=CREW_DAYS if crew is None else crew,
            lead_days=lead,
        )
        looked.found.append(
            _found(
                "shutdown_planning", about, f"Plan the shutdown of {year}", by, row.site
            )
        )


def _startups(account: Account, looked: Looked, now: datetime) -> None:
    """Find sites that were shut down and not started since."""
    lead = whole_number(
        stated(account, "startup_planning"), "lead_days", STARTUP_LEAD_DAYS
    )
    planned, out = _planned(account, "startup"), _out(account, "startup")
    kept = dict(KeptDates.objects.for_account(account).values_list("site_id", "dates"))
    started = _last_lists(account, "startup", "opened_at")
    sites = Site.objects.for_account(account).standing().in_bulk()
    for site_id, closed in _last_lists(account, "shutdown", "closed_at").items():
        site = sites.get(site_id)
        if site is None:
            continue
        zone = known_zone(site.time_zone)
        shut = local_date(closed, zone)
        before = started.get(site_id)
        by = _start_by(kept.get(site_id), before, shut, zone, lead)
        if by is None:
            continue
        year = by.on.year
        about = f"startup:{site_id}:{year}"
        if (before and before > closed) or (site_id, year) in planned:
            looked.done.append(("startup_planning", about))
        elif (site_id, year) not in out and by.on + timedelta(days=365) > now.date():
            looked.found.append(
                _found(
                    "startup_planning", about, f"Plan the start-up of {year}", by, site
                )
            )


def _start_by(
    dates: Mapping[str, object] | None,
    before: datetime | None,
    shut: date,
    zone: str,
    lead: int,
) -> PlanBy | None:
    """Return the day from the station's last freezes, or else a year after the last."""
    numbers = dates.get("last_freezes") if dates else None
    day = (
        start_after(tuple(numbers), ACT_AT)
        if isinstance(numbers, list) and numbers
        else None
    )
    if day is not None:
        year = shut.year if _of_year(shut.year, day) > shut else shut.year + 1
        return plan_startup_by(_of_year(year, day), lead_days=lead)
    if before is None:
        return None
    last = local_date(before, zone)
    return plan_startup_by(a_year_on(last, after=shut), lead_days=lead, last_year=last)


def _of_year(year: int, day: int) -> date:
    return date(year, 1, 1) + timedelta(days=day - 1)


def _last_lists(account: Account, season: str, column: str) -> dict[int, datetime]:
    rows = SeasonList.objects.filter(
        site__account=account, season=season, **{f"{column}__isnull": False}
    )
    return dict(rows.order_by(column).values_list("site_id", column))


def _planned(account: Account, season: str) -> set[Season]:
    """Return the seasons with a visit that has a day, or with a list."""
    visits = Visit.objects.for_account(account).filter(
        kind=season, planned_on__isnull=False
    )
    found: set[Season] = set()
    for site, year in visits.exclude(state="called_off").values_list(
        "site_id", "season_year"
    ):
        found.add((site, year or 0))
    lists = SeasonList.objects.filter(site__account=account, season=season)
    return found | set(lists.values_list("site_id", "year"))


def _out(account: Account, season: str) -> set[Season]:
    rows = SiteSeason.objects.for_account(account).filter(
        season=season, standing__in=_OUT
    )
    return set(rows.values_list("site_id", "year"))


def _found(kind: str, about: str, what: str, by: PlanBy, site: Site) -> Found:
    return Found(
        kind=kind,
        about=about,
        due_on=by.on,
        what=what,
        why=by.why,
        zone=known_zone(site.time_zone),
        site=site.pk,
    )
