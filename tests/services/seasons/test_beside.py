"""A list stands beside the one of the season before, step by step."""

import pytest

from maintenance.services.errors import NotFoundError
from maintenance.services.seasons.beside import this_year_beside_last
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.rebuild import rebuild_season_list
from tests.services.seasons.lists import (
    BLOW,
    EVENING,
    FIRST,
    NOON,
    SECOND,
    SITE,
    compiled,
    do,
    end_zone,
    finish,
    opened,
    step,
)

THIRD = step("third", "ZV1", "open")


def beside(account, season="shutdown"):
    return this_year_beside_last(account, site_key=SITE, season=season)


def close(account, list_id):
    finish(account, list_id)
    close_season_list(account, list_id=list_id, now=EVENING, actor="Ann")


def test_steps_readings_and_zones_stand_side_by_side(owner):
    last = opened(owner, FIRST, SECOND, BLOW, year=2025)
    do(owner, last, "blow", reading="44 psi")
    end_zone(owner, last, "1", "not_found")
    close(owner, last)
    this = opened(owner, BLOW, FIRST, THIRD)
    do(owner, this, "blow", reading="45 psi")
    found = beside(owner)
    assert (found.this.id, found.last.id) == (this, last)
    assert [(e.key, bool(e.this), bool(e.last)) for e in found.steps] == [
        ("blow", True, True),
        ("first", True, True),
        ("third", True, False),
        ("second", False, True),
    ]
    blow = found.steps[0]
    readings = [line.report.reading.text for line in (blow.this, blow.last)]
    assert readings == ["45 psi", "44 psi"]
    zones = [(e.zone, e.this.outcome, e.last.outcome) for e in found.zones]
    assert zones == [("1", None, "not_found"), ("4", None, "done")]


def test_the_first_year_stands_alone_and_no_list_is_nothing(owner):
    list_id = opened(owner)
    found = beside(owner)
    assert (found.this.id, found.last) == (list_id, None)
    assert all(each.last is None for each in (*found.steps, *found.zones))
    assert beside(owner, "startup") is None


def test_a_season_stands_beside_its_own_kind(owner):
    close(owner, opened(owner, year=2025))
    spring = opened(owner, year=2026, season="startup")
    assert beside(owner, "startup").this.id == spring
    assert beside(owner, "startup").last is None


def test_of_a_step_done_and_asked_for_again_the_one_that_stands_is_shown(owner):
    list_id = opened(owner)
    do(owner, list_id, "second")
    do(owner, list_id, "first")
    anew = step("second", "B1/shutoff_2", "closed")
    rebuild_season_list(
        owner,
        list_id=list_id,
        compiled=compiled(owner, anew, BLOW),
        now=NOON,
        actor="A",
    )
    lines = {each.key: each.this for each in beside(owner).steps}
    assert (lines["second"].gone, lines["second"].report) == (False, None)
    assert (lines["first"].gone, lines["first"].report.outcome) == (True, "done")


def test_a_stranger_compares_nothing(owner, stranger):
    opened(owner)
    with pytest.raises(NotFoundError):
        beside(stranger)
