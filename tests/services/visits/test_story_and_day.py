"""The story of a site and the sheet of a day: all of it, in order, private things apart."""

from datetime import timedelta

from maintenance.documents.day_sheet import CAUTIONS, day_rows
from maintenance.services.visits.calls import CallTold, take_call
from maintenance.services.visits.day import day_lines, workers_on
from maintenance.services.visits.findings import (
    FindingTold,
    close_finding,
    note_finding,
)
from maintenance.services.visits.plan import VisitPlan, plan_visit
from maintenance.services.visits.roll_over import Stated, state_seasons
from maintenance.services.visits.story import site_story
from tests.services.seasons.lists import opened
from tests.services.visits.kept import AUTUMN, MORNING, NOON, TODAY, ended, planned

SECRET = "code 4711"


def test_the_story_tells_all_that_happened_newest_first(
    owner, site, django_assert_num_queries
):
    opened(owner)
    told = CallTold(what="Leak", caller="A neighbour")
    take_call(owner, site_key=site, told=told, now=MORNING, actor="office")
    visit = ended(owner, site, "partly", "zone 1 left", notes=SECRET)
    finding = note_finding(
        owner, visit_id=visit, told=FindingTold(what="Lid"), now=NOON, actor="Ann"
    )
    later = NOON + timedelta(days=2)
    close_finding(
        owner, finding_id=finding, version=1, word="New lid", now=later, actor="Ben"
    )
    stated = [Stated(site_key=site, standing="stopped", note="moved")]
    state_seasons(
        owner, season="startup", year=2027, stated=stated, now=later, actor="office"
    )
    planned(owner, site, **AUTUMN)
    with django_assert_num_queries(7):
        story = site_story(owner, site_key=site)
    assert [(e.on.day, e.kind, e.what) for e in story.events] == [
        (16, "standing", "Start-up 2027: stopped"),
        (16, "finding", "Finding closed: Lid"),
        (14, "visit", "Visit, repair: partly done"),
        (14, "list", "Opened: shutdown list 2026"),
        (14, "finding", "Found: Lid"),
        (14, "call", "Call from A neighbour: Leak"),
    ]
    assert [e.what for e in story.to_come] == ["Visit, shutdown 2026: planned"]
    assert SECRET not in " ".join(e.note + e.what for e in story.events)
    assert SECRET in [e.private for e in story.events]


def test_a_day_is_that_of_the_site_and_not_of_greenwich(owner, site):
    late = MORNING.replace(day=15, hour=3)  # 21:00 of the 14th at the site
    told = CallTold(what="Leak")
    take_call(owner, site_key=site, told=told, now=late, actor="office")
    (event,) = site_story(owner, site_key=site).events
    assert event.on == TODAY


def fill_day(owner, card):
    ended(owner, card, "done", "fine", notes=SECRET, kind="shutdown", season_year=2025)
    told = CallTold(
        what="Leak by the path", caller=SECRET, urgency="today", promised_by=TODAY
    )
    call = take_call(owner, site_key=card, told=told, now=MORNING, actor="office")
    plan = VisitPlan(kind="repair", planned_on=TODAY, window="8:00", worker="Ann")
    plan_visit(
        owner, site_key=card, plan=plan, call_id=call, now=MORNING, actor="office"
    )
    planned(owner, card, window="10:00", notes=SECRET, **AUTUMN)
    planned(owner, card, window="9:00", worker="Ben")
    note_finding(
        owner, site_key=card, told=FindingTold(what="Lid"), now=NOON, actor="Ann"
    )


def test_the_sheet_of_a_day_is_one_persons_in_the_order_of_the_windows(
    owner, card, django_assert_num_queries
):
    fill_day(owner, card)
    with django_assert_num_queries(3):
        lines = day_lines(owner, on=TODAY, worker="Ann")
    rows = day_rows(lines, private=False)
    assert [row.window for row in rows] == ["8:00", "10:00"]
    by_kind = {row.what: row for row in rows}
    assert by_kind["Repair"].asked == (
        "Today: Leak by the path Promised by Wed 14 Oct."
    )
    assert by_kind["Shutdown 2026"].look_at == ("Lid",)
    assert by_kind["Shutdown 2026"].bring == "compressor needed: not worked out yet"
    assert workers_on(owner, on=TODAY) == [("Ann", 2), ("Ben", 1)]


def test_codes_callers_and_earlier_notes_stand_there_only_if_asked_for(owner, card):
    fill_day(owner, card)
    lines = day_lines(owner, on=TODAY, worker="Ann")
    without = repr(day_rows(lines, private=False))
    asked = day_rows(lines, private=True)
    assert SECRET not in without
    assert "Access" not in without
    told = {label for row in asked for label, _ in row.private}
    assert {"Access", "Caller", "For this visit", "Last time"} <= told
    assert repr(asked).count(SECRET) == 3


def test_the_cautions_travel_with_the_paper():
    text = " ".join(CAUTIONS)
    for word in ("outlets shut", "gauge at zero", "indoors", "breaker", "Local codes"):
        assert word in text
