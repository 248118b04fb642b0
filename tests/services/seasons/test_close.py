"""A list is closed when everything has an outcome, and then stays as it is."""

from datetime import timedelta

import pytest

from maintenance.models import (
    ListFigures,
    ListStep,
    SeasonList,
    StepRecord,
    ZoneOutcome,
)
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import (
    remove_demo,
    restore_site,
    retire_site,
    store_site,
)
from maintenance.services.seasons.close import UnfinishedError, close_season_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import open_lists, season_list
from maintenance.services.seasons.rebuild import rebuild_season_list
from tests.services.inventory.files import SPRING, SUMMER, read, rich_file
from tests.services.seasons.lists import (
    EVENING,
    MORNING,
    SITE,
    compiled,
    do,
    end_zone,
    finish,
    many,
    opened,
)


@pytest.fixture
def list_id(owner):
    return opened(owner)


def close(account, list_id, now=EVENING):
    return close_season_list(account, list_id=list_id, now=now, actor="Ann")


def test_a_list_is_not_closed_while_anything_has_no_outcome(owner, list_id):
    do(owner, list_id, "second")
    end_zone(owner, list_id, "4")
    with pytest.raises(UnfinishedError) as refusal:
        close(owner, list_id)
    assert str(refusal.value) == (
        'The shutdown list 2026 of "Example lateral (reference 1, section 7)" is not '
        'closed: 2 steps (1: "Close shut-off 1", 3: "Blow zone 1") and 1 zone '
        f"(1: {rich_file()['zones'][0]['name']}) have no outcome yet. Do them, or skip "
        "them and write why."
    )
    assert [line.step.key for line in refusal.value.steps] == ["first", "blow"]
    assert [line.zone for line in refusal.value.zones] == ["1"]
    assert SeasonList.objects.get().closed_at is None


def test_a_zone_without_an_outcome_alone_keeps_a_list_open(owner, list_id):
    do(owner, list_id, "first", "second", "blow")
    end_zone(owner, list_id, "1")
    with pytest.raises(
        UnfinishedError, match=r"is not closed: 1 zone \(4: Quick\) has no"
    ):
        close(owner, list_id)


def test_of_many_left_the_first_are_named_and_the_others_counted(owner):
    list_id = opened(owner, *many(9))
    for zone in ("1", "4"):
        end_zone(owner, list_id, zone)
    with pytest.raises(
        UnfinishedError, match=r"9 steps \(1: .*, 2: .*, 3: .* and 6 more"
    ):
        close(owner, list_id)
    do(owner, list_id, *(f"s{n}" for n in range(8)))
    with pytest.raises(
        UnfinishedError, match=r'1 step \(9: "[^"]*"\) has no outcome yet'
    ):
        close(owner, list_id)


def test_a_closed_list_keeps_the_positions_that_were_left(owner, list_id):
    do(owner, list_id, "first")
    do(owner, list_id, "second", outcome="skipped", reason="stuck")
    finish(owner, list_id)
    whole = close(owner, list_id)
    assert (whole.head.closed_at, whole.head.closed_by) == (EVENING, "Ann")
    row = SeasonList.objects.get()
    assert row.left == {
        "positions": {
            "B1/shutoff_1": "closed",
            "B1/shutoff_2": "open",
            "ZV1": "closed",
        },
        "unsure": [],
    }
    assert [entry.actor for entry in row.history.all()] == ["Ann", "Ann"]
    with pytest.raises(ConflictError, match="was closed by Ann"):
        close(owner, list_id)


def test_a_clock_set_back_does_not_end_a_list_before_it_began(owner, list_id):
    finish(owner, list_id)
    whole = close(owner, list_id, now=MORNING - timedelta(hours=1))
    assert whole.head.closed_at == MORNING


def test_a_list_whose_site_changed_is_rebuilt_before_it_is_closed(owner, list_id):
    finish(owner, list_id)
    store_site(read(rich_file() | {"name": "Grown"}), account=owner, now=SUMMER)
    with pytest.raises(ConflictError, match="rebuild the list, then close it"):
        close(owner, list_id)
    rebuild_season_list(
        owner, list_id=list_id, compiled=compiled(owner), now=EVENING, actor="Ann"
    )
    assert close(owner, list_id).head.closed_by == "Ann"


def test_a_stranger_closes_nothing(owner, stranger, list_id):
    finish(owner, list_id)
    with pytest.raises(NotFoundError, match="no season list"):
        close(stranger, list_id)


def test_the_list_of_a_retired_site_is_finished_and_closed_as_it_stands(owner, list_id):
    retire_site(owner, key=SITE, now=SUMMER)
    (line,) = open_lists(owner)
    assert (line.head.id, line.head.site_retired) == (list_id, True)
    do(owner, list_id, "first")
    with pytest.raises(ServiceError, match="is retired: restore it first"):
        rebuild_season_list(
            owner, list_id=list_id, compiled=compiled(owner), now=EVENING, actor="A"
        )
    with pytest.raises(ServiceError, match="is retired: restore it first"):
        open_season_list(
            owner,
            site_key=SITE,
            compiled=compiled(owner),
            year=2027,
            now=EVENING,
            actor="A",
        )
    with pytest.raises(UnfinishedError):
        close(owner, list_id)
    finish(owner, list_id)
    close(owner, list_id)
    restore_site(owner, key=SITE, now=EVENING)
    assert season_list(owner, list_id=list_id).head.closed_by == "Ann"


def test_lists_of_the_demonstration_go_away_with_it(owner):
    store_site(read(rich_file()), account=owner, now=SPRING, demo=True)
    list_id = opened(owner)
    do(owner, list_id, "first")
    end_zone(owner, list_id, "1")
    kept = (SeasonList, ListStep, StepRecord, ZoneOutcome)
    assert all(table.objects.exists() for table in (*kept, ListFigures))
    remove_demo(owner)
    assert not any(table.objects.exists() for table in (*kept, ListFigures))
    assert not any(table.history.exists() for table in kept)
