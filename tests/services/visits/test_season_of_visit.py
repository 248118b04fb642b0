"""A visit of a season carries its list, and open zones of it keep the visit open."""

import pytest

from maintenance.models import SeasonList, Visit, ZoneOutcome
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.inventory.store import store_compressor
from maintenance.services.seasons.carry_out import Tick, record_steps
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.zone_ends import set_zone_outcome
from maintenance.services.visits.carry_out import end_visit, start_visit
from maintenance.services.visits.season_of_visit import open_list_for_visit
from tests.services.inventory.files import SPRING, example, read_machine
from tests.services.seasons.lists import compiled
from tests.services.visits.kept import AUTUMN, MORNING, NOON, begun, planned


def opened(owner, site):
    return open_season_list(
        owner,
        site_key=site,
        compiled=compiled(owner),
        year=2026,
        now=MORNING,
        actor="office",
    )


def tell(owner, list_id, outcome, *, zone="1", note=""):
    set_zone_outcome(
        owner,
        list_id=list_id,
        zone=zone,
        outcome=outcome,
        seen=None,
        note=note,
        now=NOON,
        actor="Ann",
    )


def end(owner, visit, outcome="done", note="", version=2):
    end_visit(
        owner,
        visit_id=visit,
        version=version,
        outcome=outcome,
        note=note,
        now=NOON,
        actor="Ann",
    )


def test_whoever_begins_takes_the_open_list_along(owner, site):
    list_id = opened(owner, site)
    visit = begun(owner, site, **AUTUMN)
    assert Visit.objects.get(pk=visit).season_list_id == list_id


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (None, "zone 1 .*has no outcome"),
        ("partly", "zone 1 .*is partly done"),
        ("not_found", "zone 1 .*was not found"),
    ],
)
def test_a_zone_without_outcome_partly_or_not_found_keeps_it_open(
    owner, site, outcome, words
):
    list_id = opened(owner, site)
    visit = begun(owner, site, **AUTUMN)
    if outcome:
        tell(owner, list_id, outcome, note="half")
    with pytest.raises(ServiceError, match=words):
        end(owner, visit)
    assert Visit.objects.get(pk=visit).state == "under_way"
    end(owner, visit, "partly", "zone 1 next week")
    assert Visit.objects.get(pk=visit).outcome == "partly"


def test_it_ends_as_done_once_each_zone_is_done_or_skipped_with_its_reason(owner, site):
    list_id = opened(owner, site)
    visit = begun(owner, site, **AUTUMN)
    tell(owner, list_id, "done")
    with pytest.raises(ServiceError, match=r"zone 4 .*has no outcome"):
        end(owner, visit)
    tell(owner, list_id, "skipped", zone="4", note="dug up in June")
    end(owner, visit)
    assert Visit.objects.get(pk=visit).outcome == "done"


def test_a_zone_that_a_rebuild_left_out_keeps_nothing_open(owner, site):
    list_id = opened(owner, site)
    visit = begun(owner, site, **AUTUMN)
    ZoneOutcome.objects.filter(list=list_id).update(retired_at=NOON)
    end(owner, visit)
    assert Visit.objects.get(pk=visit).outcome == "done"


def test_the_list_of_another_year_or_season_is_not_taken(owner, site):
    opened(owner, site)
    visit = begun(owner, site, kind="shutdown", season_year=2025)
    spring = begun(owner, site, kind="startup", season_year=2026)
    rows = Visit.objects.filter(pk__in=[visit, spring])
    assert {row.season_list_id for row in rows} == {None}


def test_what_a_closed_list_left_open_is_done_on_a_new_one(owner, site):
    list_id = opened(owner, site)
    tell(owner, list_id, "partly", note="half")
    tell(owner, list_id, "done", zone="4")
    steps = season_list(owner, list_id=list_id).steps
    ticks = [Tick(step=s.id, client_id=f"t{s.id}", outcome="done") for s in steps]
    record_steps(owner, list_id=list_id, ticks=ticks, now=NOON, actor="Ann")
    close_season_list(owner, list_id=list_id, now=NOON, actor="Ann")
    visit = begun(owner, site, **AUTUMN)
    assert Visit.objects.get(pk=visit).season_list_id is None


def test_a_list_is_compiled_and_opened_with_the_compressor_of_the_visit(owner, site):
    machine = read_machine(example("compressor-25"))
    store_compressor(machine, account=owner, now=SPRING)
    visit = planned(owner, site, compressor="shop-25", **AUTUMN)
    list_id = open_list_for_visit(
        owner, visit_id=visit, version=1, now=MORNING, actor="Ann"
    )
    row = SeasonList.objects.get(pk=list_id)
    assert (row.season, row.year, row.compressor) == ("shutdown", 2026, "shop-25")
    assert Visit.objects.get(pk=visit).season_list_id == list_id
    assert ZoneOutcome.objects.filter(list=list_id).count() == 2


def test_an_old_version_opens_no_list(owner, site):
    visit = planned(owner, site, **AUTUMN)
    start_visit(owner, visit_id=visit, version=1, now=MORNING, actor="Ann")
    with pytest.raises(ConflictError):
        open_list_for_visit(owner, visit_id=visit, version=1, now=NOON, actor="Ben")
    assert SeasonList.objects.count() == 0


def test_without_a_list_done_needs_a_note_of_how(owner, site):
    visit = begun(owner, site, **AUTUMN)
    with pytest.raises(ServiceError, match="No shutdown list was carried out"):
        end(owner, visit)
    end(owner, visit, note="By the owner's own paper.")
    assert Visit.objects.get(pk=visit).outcome == "done"


def test_a_repair_carries_no_list(owner, site):
    opened(owner, site)
    visit = begun(owner, site)
    assert Visit.objects.get(pk=visit).season_list_id is None
    with pytest.raises(ServiceError, match="Only a visit for a shutdown"):
        open_list_for_visit(owner, visit_id=visit, version=2, now=NOON, actor="Ann")
    end(owner, visit)
