"""A list as it stands against the rules: with what was agreed, and what runs off."""

from dataclasses import replace

import pytest

from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.carry_out import skip_step
from maintenance.services.seasons.checked import check_list, checked_lines
from maintenance.services.seasons.choices import ListChoices
from maintenance.services.seasons.compile import compile_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from tests.fixtures.demo import larkmoor
from tests.services.inventory.files import SUMMER
from tests.services.seasons.lists import MORNING, NOON


@pytest.fixture
def estate(owner):
    site = larkmoor()
    store_site(site, account=owner, now=SUMMER)
    return site


def _opened(owner, season="shutdown", **options):
    compiled = compile_list(
        owner, site_key="larkmoor", season=season, now=MORNING, **options
    )
    list_id = open_season_list(
        owner,
        site_key="larkmoor",
        compiled=compiled,
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    return season_list(owner, list_id=list_id)


def _broken(site, whole):
    return {each.rule.key for each in check_list(site, whole).broken}


def test_water_left_in_a_zone_that_was_not_drawn_out_breaks_a_rule(owner, estate):
    """Gravity alone leaves zone 10 full: only the levels can tell."""
    whole = _opened(owner)
    assert _broken(estate, whole) == set()
    drawn = next(line for line in whole.steps if "bonnet of Z10" in line.step.text)
    skip_step(
        owner,
        list_id=whole.head.id,
        step=drawn.id,
        client_id="c1",
        reason="no pump",
        now=NOON,
        actor="Ben",
    )
    after = season_list(owner, list_id=whole.head.id)
    assert _broken(estate, after) == {"I9"}
    without = check_procedure(estate, after.procedure)
    assert without.broken == ()


def test_a_use_that_agreed_to_be_without_water_breaks_no_rule(owner, estate):
    agreed = ShutdownChoices(agreed=frozenset({"HOUSE"}))
    whole = _opened(owner, choices=ListChoices(shutdown=agreed))
    assert "I12" not in _broken(estate, whole)
    asked_again = replace(whole, choices={})
    assert "I12" in _broken(estate, asked_again)


def test_every_replayed_step_has_its_line(owner, estate):
    whole = _opened(owner)
    skip_step(
        owner,
        list_id=whole.head.id,
        step=whole.steps[1].id,
        client_id="c1",
        reason="done at home",
        now=NOON,
        actor="Ben",
    )
    whole = season_list(owner, list_id=whole.head.id)
    checked, lines = check_list(estate, whole), checked_lines(whole)
    assert [step.step for step in checked.steps] == [line.step for line in lines]
    assert [line.number for line in lines[:3]] == [1, 3, 4]


@pytest.mark.parametrize("season", ["startup", "frost_night", "frost_undo"])
def test_the_other_lists_of_an_estate_break_no_rule(owner, estate, season):
    whole = _opened(owner, season)
    checked = check_list(estate, whole)
    assert len(checked.steps) == len(whole.steps) > 5
    assert (checked.broken, checked.warnings) == ((), ())
