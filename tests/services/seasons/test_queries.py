"""The questions about lists, and how many queries each may take."""

from datetime import timedelta

import pytest

from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.store import retire_site, store_site
from maintenance.services.seasons.beside import this_year_beside_last
from maintenance.services.seasons.carry_out import undo_step
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import (
    autumn_record,
    lists_of_site,
    open_lists,
    season_list,
)
from maintenance.services.seasons.rebuild import list_difference, rebuild_season_list
from tests.services.inventory.files import SPRING, SUMMER, example, read, rich_file
from tests.services.seasons.lists import (
    EVENING,
    MORNING,
    NOON,
    SITE,
    compiled,
    do,
    end_zone,
    finish,
    ids,
    many,
    opened,
    report,
    tick,
)


def test_open_lists_say_how_much_is_left(owner, stranger):
    list_id = opened(owner)
    sent = tick(ids(owner, list_id)["first"])
    report(owner, list_id, sent)
    do(owner, list_id, "second", outcome="skipped", reason="stuck")
    end_zone(owner, list_id, "1")
    (line,) = open_lists(owner)
    assert (line.steps, line.steps_left, line.zones, line.zones_left) == (3, 1, 2, 1)
    undo_step(
        owner,
        list_id=list_id,
        step=sent.step,
        client_id=sent.client_id,
        now=NOON,
        actor="A",
    )
    report(owner, list_id, tick(sent.step))
    assert open_lists(owner) == [line]
    assert line.head == season_list(owner, list_id=list_id).head
    assert open_lists(stranger) == []


def test_a_step_that_a_rebuild_left_out_is_not_counted(owner):
    list_id = opened(owner, *many(3))
    do(owner, list_id, "s0")
    rebuild_season_list(
        owner,
        list_id=list_id,
        compiled=compiled(owner, *many(3)[1:]),
        now=NOON,
        actor="A",
    )
    (line,) = open_lists(owner)
    assert (line.steps, line.steps_left) == (2, 2)


def test_open_lists_stand_by_age_those_of_retired_sites_last(owner):
    retired = opened(owner)
    retire_site(owner, key=SITE, now=SUMMER)
    store_site(read(example("site-a")), account=owner, now=SPRING)
    newer = [
        open_season_list(
            owner,
            site_key="site-a",
            compiled=compiled(owner, site_key="site-a"),
            year=year,
            now=MORNING + timedelta(days=2027 - year),
            actor="Ann",
        )
        for year in (2026, 2027)
    ]
    assert [line.head.id for line in open_lists(owner)] == [*newer[::-1], retired]
    finish(owner, newer[0])
    close_season_list(owner, list_id=newer[0], now=EVENING, actor="Ann")
    assert [line.head.id for line in open_lists(owner)] == [newer[1], retired]


def test_the_lists_of_a_site_stand_newest_first(owner, stranger):
    first = opened(owner)
    finish(owner, first)
    close_season_list(owner, list_id=first, now=EVENING, actor="Ann")
    second = opened(owner, year=2027, now=EVENING)
    lines = lists_of_site(owner, site_key=SITE)
    assert [(e.head.id, bool(e.head.closed_at)) for e in lines] == [
        (second, False),
        (first, True),
    ]
    with pytest.raises(NotFoundError):
        lists_of_site(stranger, site_key=SITE)


@pytest.fixture
def long_list(owner):
    """A list of 150 steps, a third of them reported, and one before it."""
    former = opened(owner, *many(150), year=2025, now=SUMMER)
    finish(owner, former)
    close_season_list(owner, list_id=former, now=EVENING, actor="Ann")
    list_id = opened(owner, *many(150))
    do(owner, list_id, *(f"s{n}" for n in range(50)), reading="45 psi")
    end_zone(owner, list_id, "1")
    return list_id


@pytest.mark.parametrize(
    ("ask", "queries"),
    [
        # list with site, steps, records, zones
        (lambda account, key: season_list(account, list_id=key), 4),
        (lambda account, key: sheet_used(account, list_id=key), 1),
        # lists with sites, steps and zones counted
        (lambda account, _: open_lists(account), 3),
        (lambda account, _: lists_of_site(account, site_key=SITE), 4),
        # site, list, and the list as above, meters
        (lambda account, _: autumn_record(account, site_key=SITE, now=EVENING), 6),
        # site, two lists, their steps, records and zones
        (
            lambda account, _: this_year_beside_last(
                account, site_key=SITE, season="shutdown"
            ),
            5,
        ),
    ],
)
def test_a_list_of_150_steps_is_read_in_few_queries(
    owner, long_list, django_assert_num_queries, ask, queries
):
    with django_assert_num_queries(queries):
        ask(owner, long_list)


def test_the_difference_of_a_long_list_is_seen_in_few_queries(
    owner, long_list, django_assert_num_queries
):
    anew = compiled(owner, *many(160)[5:])
    with django_assert_num_queries(4):
        found = list_difference(owner, list_id=long_list, compiled=anew)
    assert (len(found.added), len(found.gone)) == (10, 5)


def test_a_long_list_is_rebuilt_in_few_queries(
    owner, long_list, django_assert_max_num_queries
):
    anew = compiled(owner, *many(160)[5:])
    # savepoint, list x3, site held, list read x3, steps; gone, changed and new steps
    # with history; order; zones x2, list with history, figures; release. Where a
    # statement holds few values, many rows are several.
    with django_assert_max_num_queries(40):
        rebuild_season_list(
            owner, list_id=long_list, compiled=anew, now=EVENING, actor="Ann"
        )
    assert len(season_list(owner, list_id=long_list).steps_left) == 110


def test_a_whole_list_is_reported_in_few_queries(
    owner, long_list, django_assert_max_num_queries
):
    whole = season_list(owner, list_id=long_list)
    ticks = [tick(line.id) for line in whole.steps_left]
    with django_assert_max_num_queries(20):
        assert report(owner, long_list, *ticks) == 100


def test_a_list_is_opened_and_closed_in_few_queries(
    owner, django_assert_max_num_queries
):
    store_site(read(rich_file()), account=owner, now=SPRING)
    ready = compiled(owner, *many(150))
    with django_assert_max_num_queries(26):
        list_id = open_season_list(
            owner, site_key=SITE, compiled=ready, year=2026, now=MORNING, actor="Ann"
        )
    finish(owner, list_id)
    with django_assert_max_num_queries(14):
        close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
