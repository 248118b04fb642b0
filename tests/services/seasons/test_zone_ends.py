"""Every zone of a list ends with one word, and the words of two never overwrite."""

import pytest

from maintenance.models import ZoneOutcome
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from tests.services.seasons.lists import EVENING, end_zone, finish, opened


@pytest.fixture
def list_id(owner):
    return opened(owner)


def zone(account, list_id, key="1"):
    zones = season_list(account, list_id=list_id).zones
    return next(each for each in zones if each.zone == key)


@pytest.mark.parametrize(
    ("outcome", "note"),
    [("done", ""), ("not_found", ""), ("partly", "2 heads"), ("skipped", "no key")],
)
def test_a_zone_ends_in_one_of_four_ways(owner, list_id, outcome, note):
    assert end_zone(owner, list_id, "1", outcome, note=note) is True
    assert end_zone(owner, list_id, "1", outcome, note=f" {note} ") is False
    ended = zone(owner, list_id)
    assert (ended.outcome, ended.note) == (outcome, note)
    entries = ZoneOutcome.objects.get(zone="1").history.all()
    assert [entry.actor for entry in entries] == ["Ben", "Ann"]


@pytest.mark.parametrize("outcome", ["partly", "skipped"])
def test_what_is_left_of_a_zone_is_told(owner, list_id, outcome):
    with pytest.raises(ServiceError, match="Zone 1 needs a note"):
        end_zone(owner, list_id, "1", outcome, note=" ")


def test_no_zone_ends_otherwise(owner, list_id):
    with pytest.raises(ServiceError, match='Zone 1 cannot end as "dry"'):
        end_zone(owner, list_id, "1", "dry")
    with pytest.raises(NotFoundError, match="no zone 9"):
        end_zone(owner, list_id, "9")


def test_whoever_did_not_see_the_last_word_is_told(owner, colleague, list_id):
    end_zone(owner, list_id, "1", "not_found")
    with pytest.raises(ConflictError, match="how zone 1 ended"):
        end_zone(colleague, list_id, "1", "done")
    assert zone(owner, list_id).outcome == "not_found"
    assert end_zone(colleague, list_id, "1", "done", seen="not_found") is True
    assert end_zone(owner, list_id, "1", None, seen="done") is True
    assert zone(owner, list_id).outcome is None


def test_a_closed_list_keeps_its_zones_as_they_ended(owner, list_id):
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert end_zone(owner, list_id, "1", "done") is False
    with pytest.raises(ConflictError, match="was closed by Ann"):
        end_zone(owner, list_id, "1", "not_found", seen="done")


def test_a_stranger_ends_no_zone(owner, stranger, list_id):
    with pytest.raises(NotFoundError, match="no season list"):
        end_zone(stranger, list_id, "1")
    assert zone(owner, list_id).outcome is None
