"""A list is opened once for a season, with the figures that it uses."""

from dataclasses import replace
from typing import Any

import pytest

from maintenance.engine.blowout.report import sheet_as_json
from maintenance.engine.figure import Warning
from maintenance.engine.procedure.step import Procedure, StaysOpen
from maintenance.models import ListFigures, SeasonList
from maintenance.services.blowout import sheets_of
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.step_rows import own_key
from tests.services.inventory.files import (
    SPRING,
    example,
    read,
    read_machine,
    rich_file,
)
from tests.services.seasons.lists import (
    FIRST,
    MORNING,
    SITE,
    START,
    STEPS,
    compiled,
    finish,
    opened,
    step,
)

ZONE_NAME = rich_file()["zones"][0].get("name", "")


def open_again(account, **options):
    usual: dict[str, Any] = {
        "site_key": SITE,
        "year": 2026,
        "now": MORNING,
        "actor": "Ann",
    }
    usual |= {"compiled": compiled(account)}
    return open_season_list(account, **(usual | options))


def test_a_list_is_kept_as_it_was_compiled(owner):
    whole = season_list(owner, list_id=opened(owner))
    assert [line.step for line in whole.steps] == list(STEPS)
    assert [line.number for line in whole.steps] == [1, 2, 3]
    assert whole.procedure.steps == STEPS
    assert whole.stays_open == (StaysOpen("V1", "the house"),)
    assert whole.start == START
    zones = [(zone.zone, zone.name, zone.outcome) for zone in whole.zones]
    assert zones == [("1", ZONE_NAME, None), ("4", "Quick", None)]
    head = whole.head
    assert (head.site_key, head.season, head.year) == (SITE, "shutdown", 2026)
    assert (head.opened_at, head.opened_by) == (MORNING, "Ann")
    assert (head.closed_at, head.site_changed, head.compressor) == (None, False, "")


def test_a_list_keeps_a_copy_of_the_sheet_that_it_used(owner):
    site = read(rich_file())
    (sheet,) = sheets_of(site, [read_machine(example("compressor-25"))])
    list_id = opened(owner, sheet=sheet)
    assert season_list(owner, list_id=list_id).head.compressor == "shop-25"
    assert sheet_used(owner, list_id=list_id) == sheet_as_json(sheet)
    assert ListFigures.objects.get().site_version == 1


def test_a_list_without_a_compressor_has_no_sheet(owner):
    assert sheet_used(owner, list_id=opened(owner)) is None


def test_on_a_frost_night_no_zone_ends(owner):
    list_id = opened(owner, season="frost_night")
    assert season_list(owner, list_id=list_id).zones == ()


def test_one_list_is_open_for_a_season_and_year(owner):
    first = opened(owner)
    with pytest.raises(
        ConflictError, match="A shutdown list 2026 of this site is open"
    ):
        open_again(owner)
    assert SeasonList.objects.count() == 1
    open_again(owner, year=2027)
    open_again(owner, compiled=compiled(owner, season="frost_night"))
    finish(owner, first)
    close_season_list(owner, list_id=first, now=MORNING, actor="Ann")
    open_again(owner)
    assert SeasonList.objects.count() == 4


def test_a_site_that_changed_meanwhile_is_compiled_again(owner):
    store_site(read(rich_file()), account=owner, now=SPRING)
    old = compiled(owner)
    store_site(read(rich_file() | {"name": "New"}), account=owner, now=SPRING)
    with pytest.raises(ConflictError, match="was changed since this list was compiled"):
        open_again(owner, compiled=old)
    assert not SeasonList.objects.exists()


@pytest.mark.parametrize("year", [0, 1899, 2201])
def test_a_year_of_no_season_is_refused(owner, year):
    opened(owner, year=2025)
    with pytest.raises(
        ServiceError, match="is no year of a season: write one like 2026"
    ):
        open_again(owner, year=year)


def test_a_list_of_nothing_is_refused(owner):
    opened(owner, year=2025)
    empty = replace(compiled(owner), procedure=Procedure("shutdown", ()))
    with pytest.raises(ServiceError, match="This list has no steps"):
        open_again(owner, compiled=empty)


@pytest.mark.parametrize("steps", [(FIRST, FIRST), (step(own_key("1")),)])
def test_a_list_whose_steps_cannot_be_told_apart_is_refused(owner, steps):
    opened(owner, year=2025)
    with pytest.raises(ServiceError, match="is no name for one compiled step"):
        open_again(owner, compiled=compiled(owner, *steps))


def test_a_stranger_opens_and_sees_nothing(owner, colleague, stranger):
    list_id = opened(owner)
    assert season_list(colleague, list_id=list_id).head.id == list_id
    with pytest.raises(NotFoundError, match="no season list"):
        season_list(stranger, list_id=list_id)
    with pytest.raises(NotFoundError, match="no season list"):
        sheet_used(stranger, list_id=list_id)
    with pytest.raises(NotFoundError, match=f'no site "{SITE}"'):
        open_again(stranger, compiled=compiled(owner))


def test_opening_is_written_in_the_history(owner):
    row = SeasonList.objects.get(pk=opened(owner))
    (entry,) = row.history.all()
    assert (entry.actor, entry.history_date) == ("Ann", MORNING)
    assert [each.history.count() for each in row.steps.all()] == [1, 1, 1]


def test_choices_and_warnings_are_kept_with_the_list(owner):
    store_site(read(rich_file()), account=owner, now=SPRING)
    bare = compiled(owner)
    lacks = Warning("not_blown", "Not blown: 2.", ("2",))
    full = replace(
        bare,
        procedure=replace(bare.procedure, warnings=(lacks,)),
        choices={"change_over": "hand", "agreed": ["HOUSE"]},
    )
    list_id = open_season_list(
        owner, site_key=SITE, compiled=full, year=2026, now=MORNING, actor="Ann"
    )
    whole = season_list(owner, list_id=list_id)
    assert whole.warnings == whole.procedure.warnings == (lacks,)
    assert whole.choices == {"change_over": "hand", "agreed": ["HOUSE"]}
