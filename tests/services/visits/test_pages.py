"""A page of fifty among forty thousand: complete, without doubles, and never deep."""

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection

from maintenance.models import Visit
from maintenance.services.visits.choose import (
    PAGE,
    VisitChoice,
    behind_place,
    choice_of,
    chosen_visits,
)
from maintenance.services.visits.offered import workers_and_undated
from maintenance.services.visits.queries import visit_lines, visit_page
from tests.services.visits.kept import TODAY, begun, planned
from tests.services.visits.many_visits import PLANNED, make_many

ALL = VisitChoice(state="all")
CHOICES = (
    VisitChoice(),
    VisitChoice(kind="repair"),
    VisitChoice(area="sedge"),
    VisitChoice(frost="3"),
    VisitChoice(air="towed"),
    VisitChoice(air="unknown"),
    VisitChoice(worker="Crew 03"),
    VisitChoice(state="ended"),
    ALL,
)


def pages(account, choice):
    """Turn all pages, one after the other."""
    while choice is not None:
        found = visit_page(account, choice, today=TODAY)
        assert len(found.lines) <= PAGE
        yield found.lines
        choice = found.next


@pytest.mark.parametrize(
    "choice",
    [
        VisitChoice(),
        VisitChoice(state="ended"),
        ALL,
        VisitChoice(due="undated"),
        VisitChoice(kind="repair", area="sedge", frost="3", air="towed"),
        VisitChoice(worker="Crew 03", state="all"),
    ],
)
def test_all_pages_together_are_the_list_in_order_and_each_line_stands_once(
    owner, choice
):
    make_many(owner, visits=1200, sites=60, planned=500)
    turned = [line.pk for page in pages(owner, choice) for line in page]
    rows = chosen_visits(owner, choice, today=TODAY)
    assert turned == [row.pk for row in rows]
    assert len(turned) == len(set(turned)) > 0


def test_a_visit_that_comes_or_goes_between_two_pages_moves_no_other(owner):
    make_many(owner, visits=6000, sites=60, planned=4000)
    first, second, *_ = pages(owner, VisitChoice(worker="Crew 03"))
    Visit.objects.filter(pk__in=[line.pk for line in first[:10]]).delete()
    choice = replace(
        VisitChoice(worker="Crew 03"),
        after=f"{first[-1].planned_on}.{first[-1].pk}",
    )
    again = visit_page(owner, choice, today=TODAY).lines
    assert [line.pk for line in again] == [line.pk for line in second]


def test_at_forty_thousand_visits_a_page_costs_what_a_page_costs(
    owner, django_assert_num_queries
):
    make_many(owner)
    with django_assert_num_queries(4):
        found = visit_page(owner, VisitChoice(), today=TODAY)
    assert len(found.lines) == PAGE
    assert found.undated == PLANNED // 10
    assert len(found.workers) == 20
    assert found.areas == ("Quill Lane", "Sedge Lane")
    deep = replace(VisitChoice(), after=_deep(owner, VisitChoice()))
    with django_assert_num_queries(3):
        visit_page(owner, deep, today=TODAY)
    if connection.vendor != "sqlite":  # the plans and steps are those of SQLite
        return
    plain = Visit.objects.for_account(owner).open().values_list("worker", "state")
    # Along the index by worker it would be twelve times.
    assert steps_of_call(workers_and_undated, owner) < 5 * steps_of(plain)
    for choice in CHOICES:
        _is_read_along_an_index_and_never_sorted(owner, choice)
    for choice in (VisitChoice(), VisitChoice(state="ended"), ALL):
        _is_not_dearer_where_it_is_deep(owner, choice)


def _is_read_along_an_index_and_never_sorted(account, choice):
    rows = chosen_visits(account, choice, today=TODAY)
    deep = replace(choice, after=_deep(account, choice))
    for part in (rows, *behind_place(rows, deep)):
        plan = str(part[: PAGE + 1].explain())
        assert "TEMP B-TREE" not in plan, plan
        assert re.search(r"SEARCH maintenance_visit USING INDEX visit_by_\w+", plan), (
            plan
        )
        assert re.search(r"account_id=\? .*planned_on[<>=]", plan), plan


def _deep(account, choice):
    rows = chosen_visits(account, choice, today=TODAY)
    row = rows.only("pk", "planned_on")[rows.count() - 60]
    return f"{row.planned_on}.{row.pk}"


def steps_of(rows: Any) -> int:
    return steps_of_call(list, rows)


def steps_of_call(asks: Any, about: Any) -> int:
    """Count the steps of the database's own machine, in tens."""
    raw: Any = connection.connection
    count = 0

    def step() -> int:
        nonlocal count
        count += 1
        return 0

    raw.set_progress_handler(step, 10)
    try:
        asks(about)
    finally:
        raw.set_progress_handler(None, 0)
    return count


def _is_not_dearer_where_it_is_deep(account, choice):
    """At most one fifth more work, in steps of the database's machine."""
    rows = chosen_visits(account, choice, today=TODAY)
    first = steps_of(_shown(rows)[: PAGE + 1])
    deep = replace(choice, after=_deep(account, choice))
    same, later = (_shown(part) for part in behind_place(rows, deep))
    left = PAGE + 1 - len(same)
    work = steps_of(same[: PAGE + 1]) + (steps_of(later[:left]) if left > 0 else 0)
    assert work <= 1.2 * first
    # The measure sees what counting off would cost.
    last = rows.count()
    assert steps_of(_shown(rows)[last - 60 : last - 9]) > 5 * first


def _shown(rows):
    return rows.values("pk", "site__name", "site__outlook__level")


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({}, VisitChoice()),
        ({"state": "everything", "kind": "party", "frost": "9"}, VisitChoice()),
        ({"due": "overdue", "state": "ended"}, VisitChoice(due="overdue")),
        ({"after": "2026-10-14.x"}, VisitChoice()),
        ({"after": "2026-13-14.1"}, VisitChoice()),
        ({"after": "9" * 30}, VisitChoice()),
        ({"area": "a\x00b" + "c" * 300}, VisitChoice(area="ab" + "c" * 198)),
    ],
)
def test_what_makes_no_sense_in_an_address_is_left_out(asked, found):
    assert choice_of(asked) == found


def test_a_choice_comes_back_from_its_own_question():
    from urllib.parse import parse_qsl  # noqa: PLC0415

    choice = VisitChoice(kind="repair", worker="Ann & Ben", area="Quill", air="towed")
    assert choice_of(dict(parse_qsl(choice.question))) == choice
    assert VisitChoice().question == ""


def test_due_is_counted_from_today_and_what_is_under_way_stands_apart(owner, site):
    late = planned(owner, site, planned_on=TODAY - timedelta(days=1), worker="a")
    now = planned(owner, site, planned_on=TODAY, worker="b")
    soon = planned(owner, site, planned_on=TODAY + timedelta(days=7), worker="c")
    planned(owner, site, planned_on=TODAY + timedelta(days=8), worker="d")
    bare = planned(owner, site, planned_on=None, worker="e")
    busy = begun(owner, site, planned_on=date(2026, 10, 1), worker="f")

    def of(due):
        rows = chosen_visits(owner, VisitChoice(due=due), today=TODAY)
        return [line.pk for line in visit_lines(rows)]

    assert (of("overdue"), of("today"), of("undated")) == ([late], [now], [bare])
    assert of("week") == [now, soon]
    page = visit_page(owner, VisitChoice(), today=TODAY)
    assert [line.pk for line in page.under_way] == [busy]
    assert bare not in [line.pk for line in page.lines]
