"""Invented calls, visits and findings at the demonstration's small sites.

They are made through the services that people use, so that each is as true as theirs:
the board of the season then shows every state a site can be in.
"""

from datetime import date, datetime, timedelta
from typing import Final

from maintenance.models import Account, Compressor, Visit
from maintenance.models.sites import Site as SiteRow
from maintenance.services.seasons.zone_ends import ZoneTold, set_zone_outcomes
from maintenance.services.visits.calls import CallTold, take_call
from maintenance.services.visits.carry_out import (
    VisitReport,
    end_visit,
    start_visit,
    write_report,
)
from maintenance.services.visits.findings import FindingTold, note_finding
from maintenance.services.visits.plan import VisitPlan, plan_visit
from maintenance.services.visits.roll_over import Stated, state_seasons
from maintenance.services.visits.season_of_visit import open_list_for_visit

SEASON: Final = "shutdown"
CREWS: Final = ("Crew North", "Crew South")
ENDED: Final = (
    ("bramblegate-8", "done", "Blown by the usual list; kept on paper."),
    ("cinder-walk-9", "done_by_others", "The owner's nephew did it himself."),
    ("crook-lane-22", "partly", "Zone 4 has a stuck valve: drained by hand only."),
    ("kiln-steps-31", "no_access", "Nobody at home, dog in the yard."),
    ("pound-yard-3", "refused", "Wants to wait for warmer days; told of the risk."),
    ("sedge-row-2", "not_found", "No connection for the air found in an hour."),
)
"""Site, outcome and note of the visits that ended."""
PLANNED: Final = (("tansy-fold-17", 1), ("tollgate-40", 2), ("dovecote-green", 9))
UNDER_WAY: Final = "whin-cottage"
COMPRESSOR: Final = "yard-25"
LISTS: Final = {
    "whin-cottage": (ZoneTold(zone="1", outcome="done"),),
    "crook-lane-22": (
        *(ZoneTold(zone=zone, outcome="done") for zone in "12356"),
        ZoneTold(zone="4", outcome="partly", note="Stuck valve: drained by hand."),
    ),
}
"""How zones ended on the lists that visits carry; the others have no outcome yet."""
OUT: Final = (
    Stated(site_key="ropewalk-end", standing="sold", note="Sold in June; new owner."),
)


def put_visits(account: Account, *, now: datetime, actor: str) -> None:
    """Put them in where the demonstration's sites are and nobody has visits there."""
    sites = SiteRow.objects.for_account(account).standing().filter(demo=True)
    there = set(sites.values_list("key", flat=True))
    wanted = {key for key, *_ in (*ENDED, *PLANNED)} | {UNDER_WAY}
    wanted |= {each.site_key for each in OUT}
    machines = Compressor.objects.for_account(account).standing()
    if not machines.filter(key=COMPRESSOR, demo=True).exists():
        return
    if not wanted <= there or Visit.objects.filter(site__in=sites).exists():
        return
    today = now.date()
    for at, (key, outcome, note) in enumerate(ENDED):
        day = now - timedelta(days=len(ENDED) - at)
        _ended(account, key, outcome, note, CREWS[at % 2], day)
    for key, days in PLANNED:
        _planned(account, key, CREWS[days % 2], today + timedelta(days=days), now)
    begun = _planned(account, UNDER_WAY, CREWS[0], today, now)
    start_visit(account, visit_id=begun, version=1, now=now, actor=CREWS[0])
    _carry_list(account, UNDER_WAY, begun, 2, CREWS[0], now)
    state_seasons(
        account, season=SEASON, year=_year(now), stated=OUT, now=now, actor=actor
    )
    _calls(account, today, now, actor)


def _ended(
    account: Account, key: str, outcome: str, note: str, crew: str, at: datetime
) -> None:
    visit = _planned(account, key, crew, at.date(), at)
    version = 1
    if outcome in ("done", "partly", "not_found"):
        start_visit(account, visit_id=visit, version=1, now=at, actor=crew)
        report = VisitReport(readings="static pressure: 52 psi")
        write_report(
            account, visit_id=visit, version=2, report=report, now=at, actor=crew
        )
        version = 3
    if key in LISTS:
        version = _carry_list(account, key, visit, version, crew, at)
    if outcome == "partly":
        told = FindingTold(
            about="zone 4", what="Valve does not open.", due_on=at.date()
        )
        note_finding(account, visit_id=visit, told=told, now=at, actor=crew)
    end_visit(
        account,
        visit_id=visit,
        version=version,
        outcome=outcome,
        note=note,
        now=at + timedelta(minutes=50),
        actor=crew,
    )


def _carry_list(
    account: Account, key: str, visit: int, version: int, crew: str, at: datetime
) -> int:
    """Open the site's list for a visit and tell of its zones; return the new version."""
    number = open_list_for_visit(
        account, visit_id=visit, version=version, now=at, actor=crew
    )
    set_zone_outcomes(account, list_id=number, told=LISTS[key], now=at, actor=crew)
    return version + 1


def _planned(account: Account, key: str, crew: str, day: date, now: datetime) -> int:
    plan = VisitPlan(
        kind=SEASON,
        season_year=_year(now),
        planned_on=day,
        window="8:00 to 10:00",
        worker=crew,
        compressor=COMPRESSOR if key in LISTS else "",
    )
    return plan_visit(account, site_key=key, plan=plan, now=now, actor="demonstration")


def _calls(account: Account, today: date, now: datetime, actor: str) -> None:
    wet = CallTold(
        caller="A neighbour of the green",
        what="Water stands by the path, even when nothing runs.",
        urgency="today",
        promised_by=today,
    )
    call = take_call(account, site_key="dovecote-green", told=wet, now=now, actor=actor)
    plan = VisitPlan(kind="repair", planned_on=today, worker=CREWS[1])
    plan_visit(
        account,
        site_key="dovecote-green",
        plan=plan,
        call_id=call,
        now=now,
        actor=actor,
    )
    spray = CallTold(
        caller="The owner",
        what="One head sprays the glass house since it was mown.",
        urgency="when_passing",
    )
    take_call(account, site_key="wether-row-4", told=spray, now=now, actor=actor)


def _year(now: datetime) -> int:
    """Return the year of the season: all of these days belong to one."""
    return (now + timedelta(days=len(ENDED))).year
