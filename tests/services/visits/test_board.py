"""Every site has an outcome on the board, or is counted among those without one."""

from itertools import permutations

import pytest

from maintenance.models import SeasonList, SiteSeason, ZoneOutcome
from maintenance.models.sites import Site
from maintenance.services.visits.board import season_board
from maintenance.services.visits.plan import call_off_visit
from tests.services.visits.kept import AUTUMN, MORNING, NOON, begun, ended, planned


def line_of(owner, key):
    board = season_board(owner, season="shutdown", year=2026)
    return next(line for line in board.lines if line.site_key == key)


def stand(site, standing):
    SiteSeason.objects.create(
        site=site, season="shutdown", year=2026, standing=standing, decided_at=NOON
    )


def closed_list(site, *outcomes, closed=NOON):
    row = SeasonList.objects.create(
        site=site,
        season="shutdown",
        year=2026,
        site_version=1,
        opened_at=MORNING,
        opened_by="Ann",
        closed_at=closed,
    )
    for rank, outcome in enumerate(outcomes):
        ZoneOutcome.objects.create(
            list=row, zone=str(rank), rank=rank, outcome=outcome, note="x"
        )
    return row


def test_every_site_stands_there_once_and_the_count_is_of_those_without(
    owner, stranger, sites
):
    ended(owner, "s0", "done", "paper", **AUTUMN)
    ended(owner, "s1", "partly", "zone 2", **AUTUMN)
    begun(owner, "s2", **AUTUMN)
    planned(owner, "s3", **AUTUMN)
    stand(sites[4], "sold")
    stand(sites[5], "same")
    closed_list(sites[6], "done", "skipped")
    closed_list(sites[7], "done", "not_found")
    off = planned(owner, "s8", **AUTUMN)
    call_off_visit(owner, visit_id=off, version=1, word="x", now=NOON, actor="o")
    board = season_board(owner, season="shutdown", year=2026)
    assert sorted(line.site_key for line in board.lines) == [f"s{n}" for n in range(9)]
    told = {line.site_key: (line.group, line.words) for line in board.lines}
    assert told == {
        "s0": ("settled", "done"),
        "s1": ("again", "partly done"),
        "s2": ("without", "under way"),
        "s3": ("without", "planned"),
        "s4": ("settled", "sold"),
        "s5": ("without", "nothing planned"),
        "s6": ("settled", "done"),
        "s7": ("again", "partly done"),
        "s8": ("without", "nothing planned"),
    }
    assert (board.without, board.count("again"), board.count("settled")) == (4, 2, 3)
    assert season_board(stranger, season="shutdown", year=2026).lines == ()
    assert season_board(owner, season="startup", year=2026).without == 9


@pytest.mark.parametrize("order", [*permutations(["partly", "done", "no_access"])])
def test_whatever_settled_a_site_counts_whenever_it_came(owner, sites, order):
    for number, outcome in enumerate(order):
        ended(owner, "s0", outcome, "x", worker=f"w{number}", **AUTUMN)
    line = line_of(owner, "s0")
    assert (line.group, line.outcome) == ("settled", "done")
    assert len(line.told) == 3


def test_a_standing_stands_before_any_visit_and_other_years_do_not_count(owner, sites):
    ended(owner, "s0", "done", "paper", **AUTUMN)
    stand(sites[0], "stopped")
    ended(owner, "s1", "done", "x", kind="shutdown", season_year=2025)
    assert line_of(owner, "s0").outcome == "stopped"
    assert line_of(owner, "s1").group == "without"


def test_an_open_list_is_under_way_and_a_retired_site_is_not_there(owner, sites):
    closed_list(sites[0], "", closed=None)
    assert line_of(owner, "s0").words == "under way"
    Site.objects.filter(pk=sites[1].pk).update(retired_at=NOON)
    board = season_board(owner, season="shutdown", year=2026)
    assert len(board.lines) == 8


def test_the_board_takes_six_queries_for_any_number(
    owner, sites, django_assert_num_queries
):
    for number in range(9):
        ended(owner, f"s{number}", "done", "x", **AUTUMN)
    with django_assert_num_queries(6):
        season_board(owner, season="shutdown", year=2026)
