"""A paper is entered whole or not at all; sent twice, it is stored once."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from maintenance.models import StepRecord, ZoneOutcome
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.paper import Entered, enter_from_paper
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.zone_ends import ZoneTold
from tests.fixtures.demo import larkmoor
from tests.services.inventory.files import SUMMER
from tests.services.seasons.lists import (
    EVENING,
    NOON,
    compiled,
    do,
    end_zone,
    ids,
    opened,
    tick,
)

DONE = ZoneTold(zone="1", outcome="done")
NO_END: Any = "lost"
PARTLY = ZoneTold(zone="4", outcome="partly", note="head 3 stuck")


def enter(account, list_id, ticks, zones=(), now=NOON):
    return enter_from_paper(
        account, list_id=list_id, ticks=ticks, zones=zones, now=now, actor="Office"
    )


def paper(account, list_id):
    """Return what a paper says of all three steps."""
    numbers = ids(account, list_id)
    return [
        tick(numbers["first"], who="Ben", done_at=NOON),
        tick(numbers["second"], outcome="skipped", reason="rusted fast"),
        tick(numbers["blow"], reading="44 psi", seconds=154.0),
    ]


def nothing_stored():
    return not StepRecord.objects.exists() and not ZoneOutcome.objects.exclude(
        outcome=""
    )


def test_steps_and_zones_are_stored_together(owner):
    list_id = opened(owner)
    stored = enter(owner, list_id, paper(owner, list_id), [DONE, PARTLY])
    assert stored == Entered(steps=3, zones=2)
    whole = season_list(owner, list_id=list_id)
    first, second, blow = (line.report for line in whole.steps if line.report)
    assert (first.who, first.done_at, first.received_at) == ("Ben", NOON, NOON)
    assert (second.outcome, second.reason, second.who) == (
        "skipped",
        "rusted fast",
        "Office",
    )
    assert (blow.reading.kind, blow.seconds) == ("pressure", 154.0)
    assert [(z.outcome, z.note) for z in whole.zones] == [
        ("done", ""),
        ("partly", "head 3 stuck"),
    ]
    assert (whole.steps_left, whole.zones_left) == ((), ())


def test_sent_twice_it_is_stored_once_even_after_the_list_is_closed(owner):
    list_id = opened(owner)
    ticks, zones = paper(owner, list_id), [DONE, PARTLY]
    enter(owner, list_id, ticks, zones)
    history = StepRecord.history.count(), ZoneOutcome.history.count()
    assert enter(owner, list_id, ticks, zones, now=EVENING) == Entered(0, 0)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert enter(owner, list_id, ticks, zones, now=EVENING) == Entered(0, 0)
    assert (StepRecord.history.count(), ZoneOutcome.history.count()) == history


@pytest.mark.parametrize(
    ("zones", "error", "words"),
    [
        ([DONE, ZoneTold(zone="4", outcome="partly")], ServiceError, "needs a note"),
        ([DONE, ZoneTold(zone="9", outcome="done")], NotFoundError, "no zone 9"),
        ([DONE, ZoneTold(zone="4", outcome=NO_END)], ServiceError, "cannot end"),
    ],
)
def test_a_zone_that_cannot_be_stored_keeps_the_steps_out_too(
    owner, zones, error, words
):
    list_id = opened(owner)
    with pytest.raises(error, match=words):
        enter(owner, list_id, paper(owner, list_id), zones)
    assert nothing_stored()


def test_a_step_that_cannot_be_stored_keeps_the_zones_out_too(owner):
    list_id = opened(owner)
    one = ids(owner, list_id)["first"]
    with pytest.raises(ServiceError, match="needs its reason"):
        enter(owner, list_id, [tick(one, outcome="skipped")], [DONE])
    with pytest.raises(NotFoundError):
        enter(owner, list_id, [tick(one + 10_000)], [DONE])
    assert nothing_stored()


def test_what_someone_told_meanwhile_is_not_overwritten(owner):
    list_id = opened(owner)
    ticks = paper(owner, list_id)
    do(owner, list_id, "second")
    with pytest.raises(ConflictError, match="already reported"):
        enter(owner, list_id, ticks, [DONE])
    assert StepRecord.objects.count() == 1
    end_zone(owner, list_id, "1", "not_found")
    with pytest.raises(ConflictError, match="Someone else said meanwhile"):
        enter(owner, list_id, [], [DONE])
    seen = ZoneTold(zone="1", outcome="done", seen="not_found")
    assert enter(owner, list_id, [], [seen]) == Entered(steps=0, zones=1)


def test_a_closed_list_takes_no_paper_and_a_stranger_finds_no_list(owner, stranger):
    list_id = opened(owner)
    ticks, zones = paper(owner, list_id), [DONE, PARTLY]
    with pytest.raises(NotFoundError):
        enter(stranger, list_id, ticks, zones)
    enter(owner, list_id, ticks, zones)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    with pytest.raises(ConflictError, match="was closed by Ann"):
        enter(owner, list_id, [tick(ticks[0].step)])


def test_thirty_zones_are_stored_in_as_many_queries_as_two(owner):
    few = opened(owner)
    store_site(larkmoor(), account=owner, now=SUMMER)
    many = open_season_list(
        owner,
        site_key="larkmoor",
        compiled=compiled(owner, site_key="larkmoor"),
        year=2026,
        now=NOON,
        actor="Ann",
    )
    queries = []
    for list_id in (few, many):
        zones = season_list(owner, list_id=list_id).zones
        told = [ZoneTold(zone=each.zone, outcome="done") for each in zones]
        with CaptureQueriesContext(connection) as seen:
            stored = enter(owner, list_id, paper(owner, list_id), told)
        assert stored == Entered(steps=3, zones=len(zones))
        queries.append(len(seen))
    assert len(told) == 30
    assert queries[0] == queries[1] <= 25
