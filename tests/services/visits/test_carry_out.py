"""A visit begins, is written down and ends; nothing of it is overwritten unseen."""

from datetime import timedelta

import pytest

from maintenance.models import Visit
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.visits.carry_out import (
    VisitReport,
    end_visit,
    start_visit,
    take_up_again,
    write_report,
)
from maintenance.services.visits.plan import VisitPlan, call_off_visit, change_plan
from tests.services.visits.kept import MORNING, NOON, TODAY, begun, ended, planned


def end(owner, visit, outcome, note="", version=2):
    end_visit(
        owner,
        visit_id=visit,
        version=version,
        outcome=outcome,
        note=note,
        now=NOON,
        actor="Ann",
    )


def test_a_visit_keeps_arrival_leaving_outcome_and_who_went(owner, site):
    visit = planned(owner, site, worker="")
    start_visit(owner, visit_id=visit, version=1, now=MORNING, actor="Ann")
    end(owner, visit, "done", "All tight.")
    row = Visit.objects.get(pk=visit)
    assert (row.state, row.outcome, row.outcome_note) == ("ended", "done", "All tight.")
    assert (row.arrived_at, row.left_at, row.worker) == (MORNING, NOON, "Ann")
    assert [each.actor for each in row.history.all()] == ["Ann", "Ann", "office"]


@pytest.mark.parametrize("outcome", ["partly", "not_found", "refused", "no_access"])
def test_what_was_not_done_needs_a_note(owner, site, outcome):
    visit = begun(owner, site)
    with pytest.raises(ServiceError, match="needs a note"):
        end(owner, visit, outcome)
    end(owner, visit, outcome, "the dog")
    assert Visit.objects.get(pk=visit).outcome == outcome


def test_without_arrival_a_visit_ends_only_as_one_without_work(owner, site):
    visit = planned(owner, site)
    for outcome in ("done", "partly", "not_found"):
        with pytest.raises(ServiceError, match="Nobody has begun"):
            end(owner, visit, outcome, "x", version=1)
    end(owner, visit, "no_access", "locked", version=1)
    row = Visit.objects.get(pk=visit)
    assert (row.arrived_at, row.left_at) == (None, NOON)


def test_an_outcome_that_nobody_knows_is_refused(owner, site):
    with pytest.raises(ServiceError, match="Choose how"):
        end(owner, begun(owner, site), "finished")


def test_the_second_of_two_who_change_a_visit_is_told(owner, colleague, site):
    visit = begun(owner, site)
    told = VisitReport(notes="Ann's")
    write_report(owner, visit_id=visit, version=2, report=told, now=NOON, actor="Ann")
    with pytest.raises(ConflictError):
        write_report(
            colleague,
            visit_id=visit,
            version=2,
            report=VisitReport(notes="Ben's"),
            now=NOON,
            actor="Ben",
        )
    with pytest.raises(ConflictError):
        end(colleague, visit, "done")
    row = Visit.objects.get(pk=visit)
    assert (row.notes, row.state, row.version) == ("Ann's", "under_way", 3)


def test_readings_keep_their_text_and_their_si_value(owner, site):
    visit = begun(owner, site)
    report = VisitReport(readings="static pressure: 48 psi\nvalve 2: weeps\n")
    write_report(owner, visit_id=visit, version=2, report=report, now=NOON, actor="A")
    kept = Visit.objects.get(pk=visit).readings
    # 48 psi by the exact pound and inch: 330 948.3 Pa.
    assert kept["static pressure"]["value"] == pytest.approx(330_948.3, abs=0.1)
    assert kept["valve 2"] == {"text": "weeps", "value": None, "kind": ""}


@pytest.mark.parametrize(
    ("readings", "fault"),
    [
        ("48 psi", "is no reading"),
        ("a: 1 psi\na: 2 psi", "stands there twice"),
        ("\n".join(f"p{n}: 1 psi" for n in range(41)), "40 readings at most"),
    ],
)
def test_a_reading_without_a_name_or_twice_is_refused(owner, site, readings, fault):
    visit = begun(owner, site)
    with pytest.raises(ServiceError, match=fault):
        write_report(
            owner,
            visit_id=visit,
            version=2,
            report=VisitReport(readings=readings),
            now=NOON,
            actor="Ann",
        )


@pytest.mark.parametrize(
    ("arrived", "left"),
    [
        (NOON, MORNING),
        (MORNING - timedelta(days=20), NOON),
        (MORNING, NOON + timedelta(days=1)),
    ],
)
def test_times_that_cannot_be_are_refused(owner, site, arrived, left):
    visit = ended(owner, site, "done")
    report = VisitReport(arrived_at=arrived, left_at=left)
    with pytest.raises(ServiceError, match="mend"):
        write_report(
            owner, visit_id=visit, version=3, report=report, now=NOON, actor="Ann"
        )
    assert Visit.objects.get(pk=visit).arrived_at == MORNING


def test_a_clock_set_back_ends_no_visit_before_it_began(owner, site):
    visit = begun(owner, site)
    end_visit(
        owner,
        visit_id=visit,
        version=2,
        outcome="done",
        now=MORNING - timedelta(hours=1),
        actor="Ann",
    )
    assert Visit.objects.get(pk=visit).left_at == MORNING


def test_an_ending_can_be_taken_back_and_the_history_keeps_it(owner, site):
    visit = ended(owner, site, "refused", "too cold")
    take_up_again(owner, visit_id=visit, version=3, now=NOON, actor="office")
    row = Visit.objects.get(pk=visit)
    assert (row.state, row.outcome, row.left_at) == ("under_way", "", None)
    assert "refused" in [each.outcome for each in row.history.all()]
    with pytest.raises(ServiceError, match="goes on already"):
        take_up_again(owner, visit_id=visit, version=4, now=NOON, actor="office")


def test_the_plan_of_one_that_ended_or_is_under_way_is_held(owner, site):
    shutdown = VisitPlan(kind="shutdown", season_year=2026)

    def change(visit, version, plan=shutdown):
        change_plan(
            owner, visit_id=visit, version=version, plan=plan, now=NOON, actor="office"
        )

    visit = begun(owner, site)
    with pytest.raises(ServiceError, match="under way"):
        change(visit, 2)
    change(visit, 2, VisitPlan(kind="repair", worker="Ben"))
    end(owner, visit, "done", version=3)
    with pytest.raises(ServiceError, match="is ended"):
        change(visit, 4)
    with pytest.raises(ServiceError, match="only a planned one"):
        call_off_visit(
            owner, visit_id=visit, version=4, word="x", now=NOON, actor="office"
        )
    assert Visit.objects.get(pk=visit).worker == "Ben"


def test_a_plan_that_is_sent_twice_is_one_visit_and_a_season_has_its_year(owner, site):
    assert planned(owner, site) == planned(owner, site)
    with pytest.raises(ServiceError, match="belongs to a year"):
        planned(owner, site, kind="startup")
    with pytest.raises(ServiceError, match="no kind of visit"):
        planned(owner, site, kind="party")
    with pytest.raises(NotFoundError):
        planned(owner, site, compressor="nobody's")
    other = planned(owner, site, season_year=2026, planned_on=TODAY, worker="Ben")
    assert Visit.objects.get(pk=other).season_year is None


def test_a_stranger_reaches_no_visit(owner, stranger, site):
    visit = planned(owner, site)
    with pytest.raises(NotFoundError):
        start_visit(stranger, visit_id=visit, version=1, now=NOON, actor="s")
    assert Visit.objects.get(pk=visit).state == "planned"
