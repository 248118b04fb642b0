"""The demonstration's board shows every state, and all of it goes away whole."""

from datetime import UTC, datetime

import pytest

from maintenance.exchange.demonstration import read_demonstration
from maintenance.models import (
    Compressor,
    Finding,
    ListStep,
    SeasonList,
    ServiceCall,
    SiteAirNeed,
    SiteSeason,
    Visit,
    VisitPhoto,
    ZoneOutcome,
)
from maintenance.services.demonstration import (
    load_demonstration,
    remove_demonstration,
)
from maintenance.services.visits.air_needs import keep_air_needs
from maintenance.services.visits.board import season_board
from maintenance.services.visits.photos import add_visit_photo
from maintenance.services.visits.season_of_visit import zones_still_open
from maintenance.services.visits.words import OUTCOMES
from tests.services.visits.kept import picture, planned

LISTS = (SeasonList, ListStep, ZoneOutcome)
TABLES = (*LISTS, ServiceCall, Visit, Finding, SiteSeason, VisitPhoto)
SEPTEMBER = datetime(2026, 9, 20, 15, tzinfo=UTC)


@pytest.fixture
def load(owner):
    files = read_demonstration()

    def put(now=SEPTEMBER):
        return load_demonstration(
            owner, sites=files.sites, compressors=files.compressors, now=now
        )

    return put


@pytest.mark.parametrize(
    "now", [SEPTEMBER, datetime(2027, 1, 2, 15, tzinfo=UTC)], ids=["autumn", "january"]
)
def test_the_board_shows_all_states(owner, load, now):
    load(now)
    board = season_board(owner, season="shutdown", year=now.year)
    outcomes = {line.outcome for line in board.lines}
    assert {*OUTCOMES, "sold", ""} == outcomes
    without = {line.words for line in board.lines if line.group == "without"}
    assert without == {"planned", "under way", "nothing planned"}


def test_visits_carry_the_lists_that_their_zones_keep_open(owner, load):
    load()
    carried = {
        visit.site.key: visit for visit in Visit.objects.exclude(season_list=None)
    }
    assert set(carried) == {"crook-lane-22", "whin-cottage"}
    open_ = {
        key: [zone.zone for zone in zones_still_open(visit)]
        for key, visit in carried.items()
    }
    assert open_ == {"crook-lane-22": ["4"], "whin-cottage": ["2", "3", "4"]}
    (sheet,) = {visit.compressor.key for visit in carried.values() if visit.compressor}
    assert sheet == "yard-25"
    for key in carried:
        steps = ListStep.objects.filter(list__site__key=key)
        assert any(step.record["act"] == "blow" for step in steps), key


def test_without_its_compressor_it_brings_no_visit(owner):
    sites = read_demonstration().sites
    load_demonstration(owner, sites=sites, compressors=[], now=SEPTEMBER)
    assert not Visit.objects.exists()


def test_loaded_twice_it_is_there_once(owner, load):
    load()
    counts = [table.objects.count() for table in TABLES]
    load()
    assert [table.objects.count() for table in TABLES] == counts


def test_it_goes_away_with_its_history_and_the_files_of_its_photos(
    owner, load, settings, tmp_path
):
    settings.DATA_DIR = tmp_path
    load()
    visit = Visit.objects.first()
    assert visit is not None
    add_visit_photo(
        owner, visit_id=visit.pk, picture=picture(), now=SEPTEMBER, actor="Ann"
    )
    keep_air_needs(owner, now=SEPTEMBER, at_most=1)
    remove_demonstration(owner)
    assert [table.objects.count() for table in TABLES] == [0] * len(TABLES)
    assert [table.history.count() for table in TABLES] == [0] * len(TABLES)
    assert SiteAirNeed.objects.count() == 0
    assert list((tmp_path / "photos").iterdir()) == []


def test_a_compressor_that_goes_along_to_a_site_of_ones_own_stays(owner, load, site):
    load()
    visit = planned(owner, site, compressor="yard-25")
    remove_demonstration(owner)
    row = Compressor.objects.get()
    assert (row.key, row.demo) == ("yard-25", False)
    assert [each.pk for each in Visit.objects.all()] == [visit]
