"""A list follows its site once a person saw how; what was done stays."""

from dataclasses import replace

import pytest

from maintenance.engine.blowout.report import sheet_as_json
from maintenance.models import ListFigures, ListStep, SeasonList
from maintenance.services.blowout import sheets_of
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.arrange import add_step, move_step
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.rebuild import list_difference, rebuild_season_list
from maintenance.services.seasons.step_rows import own_key
from tests.services.inventory.files import (
    SUMMER,
    edited,
    example,
    part,
    read,
    read_machine,
    rich_file,
)
from tests.services.seasons.lists import (
    BLOW,
    EVENING,
    FIRST,
    NOON,
    SECOND,
    compiled,
    do,
    end_zone,
    finish,
    ids,
    opened,
    report,
    step,
    tick,
)

OTHERWISE = step("second", "B1/shutoff_2", "closed", text="Close shut-off 2.")
THIRD = step("third", "ZV1", "open")


@pytest.fixture
def list_id(owner):
    return opened(owner)


def change_site(account, **changes):
    store_site(read(rich_file() | changes), account=account, now=SUMMER)


def rebuild(account, list_id, *steps, **options):
    rebuild_season_list(
        account,
        list_id=list_id,
        compiled=compiled(account, *steps, **options),
        now=EVENING,
        actor="Cy",
    )


def told(account, list_id):
    """Return what was reported, by row: the words then and the whole report."""
    lines = season_list(account, list_id=list_id).all_steps
    return {line.id: (line.step, line.report) for line in lines if line.report}


def shown(account, list_id):
    return [
        (line.step.key, line.gone)
        for line in season_list(account, list_id=list_id).steps
    ]


def test_the_difference_is_seen_before_anything_changes(owner, list_id):
    do(owner, list_id, "first")
    change_site(owner, name="Grown")
    assert season_list(owner, list_id=list_id).head.site_changed
    found = list_difference(
        owner, list_id=list_id, compiled=compiled(owner, THIRD, OTHERWISE, BLOW)
    )
    assert [each.key for each in found.added] == ["third"]
    assert [(e.step.key, e.outcome) for e in found.gone] == [("first", "done")]
    assert [each.is_ for each in found.changed] == [OTHERWISE]
    assert shown(owner, list_id) == [
        (key, False) for key in ("first", "second", "blow")
    ]
    same = compiled(owner, FIRST, SECOND, BLOW)
    assert not list_difference(owner, list_id=list_id, compiled=same)


def test_a_rebuilt_list_keeps_every_report_in_its_words(owner, list_id):
    do(owner, list_id, "first", note="stiff")
    do(owner, list_id, "blow", reading="45 psi", seconds=90.0)
    before = told(owner, list_id)
    change_site(owner, name="Grown")
    harder = replace(BLOW, to="40 psi", text="Blow zone 1 at 40 psi.")
    rebuild(owner, list_id, THIRD, OTHERWISE, harder)
    assert told(owner, list_id) == before
    assert shown(owner, list_id) == [
        ("first", True),
        ("third", False),
        ("second", False),
        ("blow", False),
    ]
    whole = season_list(owner, list_id=list_id)
    assert not whole.head.site_changed
    assert [line.step.key for line in whole.steps_left] == ["third", "second"]
    assert [line.number for line in whole.steps] == [None, 1, 2, 3]
    assert whole.reached.positions["B1/shutoff_1"] == "closed"
    entry = SeasonList.objects.get().history.first()
    assert (entry.actor, entry.site_version, entry.history_date) == ("Cy", 2, EVENING)


def test_another_deed_is_asked_for_again_and_the_former_stays(owner, list_id):
    do(owner, list_id, "second", note="half")
    rebuild(owner, list_id, FIRST, OTHERWISE, BLOW)
    lines = season_list(owner, list_id=list_id).steps
    assert [(e.step.to, e.gone, bool(e.report)) for e in lines[1:3]] == [
        ("half_open", True, True),
        ("closed", False, False),
    ]
    do(owner, list_id, "second")
    reached = season_list(owner, list_id=list_id).reached
    assert reached.positions["B1/shutoff_2"] == "closed"
    rebuild(owner, list_id, FIRST, SECOND, BLOW)
    assert len(season_list(owner, list_id=list_id).steps_left) == 3


def test_a_step_that_comes_back_is_as_done_as_it_was(owner, list_id):
    do(owner, list_id, "first")
    rebuild(owner, list_id, SECOND, BLOW)
    rebuild(owner, list_id, FIRST, SECOND, BLOW)
    assert shown(owner, list_id) == [
        (key, False) for key in ("first", "second", "blow")
    ]
    assert ListStep.objects.count() == 3
    assert [e.step.key for e in season_list(owner, list_id=list_id).steps_left] == [
        "second",
        "blow",
    ]


def test_a_report_that_comes_after_a_rebuild_counts_for_what_its_sender_saw(
    owner, list_id
):
    late = tick(ids(owner, list_id)["second"])
    gone = tick(ids(owner, list_id)["first"])
    rebuild(owner, list_id, OTHERWISE, BLOW)
    assert report(owner, list_id, late, gone) == 2
    assert shown(owner, list_id) == [
        ("first", True),
        ("second", True),
        ("second", False),
        ("blow", False),
    ]
    positions = season_list(owner, list_id=list_id).reached.positions
    assert positions["B1/shutoff_2"] == "half_open"
    assert [e.step.key for e in season_list(owner, list_id=list_id).steps_left] == [
        "second",
        "blow",
    ]


def test_what_a_person_added_and_placed_outlives_a_rebuild(owner, list_id):
    numbers = ids(owner, list_id)
    own = step(own_key("h"), text="Open the yard hydrant.")
    add_step(
        owner, list_id=list_id, step=own, after=numbers["second"], now=NOON, actor="Cy"
    )
    move_step(
        owner, list_id=list_id, step=numbers["blow"], after=None, now=NOON, actor="Cy"
    )
    rebuild(owner, list_id, THIRD, FIRST, SECOND, BLOW)
    assert [key for key, _ in shown(owner, list_id)] == [
        "blow",
        "third",
        "first",
        "second",
        own.key,
    ]
    rebuild(owner, list_id, THIRD)
    with pytest.raises(ServiceError, match="no longer part of the list"):
        move_step(
            owner,
            list_id=list_id,
            step=numbers["first"],
            after=None,
            now=NOON,
            actor="Cy",
        )


def test_zones_follow_the_site_and_keep_how_they_ended(owner, list_id):
    end_zone(owner, list_id, "4", "partly", note="two heads")
    smaller = edited(rich_file(), lambda f: f["zones"].remove(part(f, "zones", "4")))
    store_site(read(smaller), account=owner, now=SUMMER)
    rebuild(owner, list_id)
    zones = season_list(owner, list_id=list_id).zones
    assert [(z.zone, z.outcome, z.gone) for z in zones] == [
        ("1", None, False),
        ("4", "partly", True),
    ]
    assert [z.zone for z in season_list(owner, list_id=list_id).zones_left] == ["1"]
    renamed = edited(rich_file(), lambda f: part(f, "zones", "4").update(name="Slope"))
    store_site(read(renamed), account=owner, now=SUMMER)
    rebuild(owner, list_id)
    back = season_list(owner, list_id=list_id).zones[1]
    assert (back.name, back.outcome, back.note) == ("Slope", "partly", "two heads")


def test_a_zone_that_is_new_on_the_site_must_end_too(owner):
    smaller = edited(rich_file(), lambda f: f["zones"].remove(part(f, "zones", "4")))
    store_site(read(smaller), account=owner, now=SUMMER)
    list_id = opened(owner)
    assert [z.zone for z in season_list(owner, list_id=list_id).zones] == ["1", "4"]


def test_figures_are_kept_as_they_were_beside_the_new_ones(owner):
    site, machine = read(rich_file()), example("compressor-25")
    (first,) = sheets_of(site, [read_machine(machine)])
    (second,) = sheets_of(site, [read_machine(example("compressor-80"))])
    list_id = opened(owner, sheet=first)
    rebuild(owner, list_id, sheet=first)
    assert ListFigures.objects.count() == 1
    rebuild(owner, list_id, sheet=second)
    assert [
        each.sheet["compressor"] for each in ListFigures.objects.order_by("pk")
    ] == [
        "shop-25",
        "towed-80",
    ]
    assert sheet_used(owner, list_id=list_id) == sheet_as_json(second)
    assert season_list(owner, list_id=list_id).head.compressor == "towed-80"
    rebuild(owner, list_id)
    assert sheet_used(owner, list_id=list_id) is None


def test_a_site_that_changed_in_between_is_seen_again(owner, list_id):
    seen = compiled(owner, FIRST)
    change_site(owner, name="Grown")
    with pytest.raises(ConflictError, match="was changed since this list was compiled"):
        rebuild_season_list(
            owner, list_id=list_id, compiled=seen, now=EVENING, actor="Cy"
        )
    assert len(season_list(owner, list_id=list_id).steps) == 3


def test_what_does_not_fit_is_refused_and_changes_nothing(owner, stranger, list_id):
    for season, sentence in (
        (
            "startup",
            "This is a shutdown list, and a start-up list cannot take its place",
        ),
        ("frost_undo", "and a list after a frost night cannot"),
    ):
        other = compiled(owner, season=season)
        with pytest.raises(ServiceError, match=sentence):
            list_difference(owner, list_id=list_id, compiled=other)
        with pytest.raises(ServiceError, match=sentence):
            rebuild(owner, list_id, season=season)
    with pytest.raises(ServiceError, match="no name for one compiled step"):
        rebuild(owner, list_id, FIRST, FIRST)
    mine = compiled(owner)
    with pytest.raises(NotFoundError, match="no season list"):
        list_difference(stranger, list_id=list_id, compiled=mine)
    with pytest.raises(NotFoundError, match="no season list"):
        rebuild_season_list(
            stranger, list_id=list_id, compiled=mine, now=EVENING, actor="Cy"
        )
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    with pytest.raises(ConflictError, match="was closed by Ann"):
        rebuild(owner, list_id, FIRST)
    assert shown(owner, list_id) == [
        (key, False) for key in ("first", "second", "blow")
    ]
