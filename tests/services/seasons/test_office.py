"""What the office is told of open lists: how far, what blocks, who touched it last."""

from dataclasses import replace
from datetime import timedelta

from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.exchange.compressor_file import read_compressor
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory.store import retire_site, store_site
from maintenance.services.seasons.arrange import write_notes
from maintenance.services.seasons.carry_out import undo_step
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.office import (
    Touch,
    breaks_of,
    compiled_at,
    office_lines,
)
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.rebuild import rebuild_season_list
from tests.fixtures.demo import DEMO, larkmoor
from tests.services.inventory.files import SUMMER, edited, example, read, rich_file
from tests.services.seasons.lists import (
    BLOW,
    EVENING,
    FIRST,
    MORNING,
    NOON,
    SECOND,
    SITE,
    compiled,
    do,
    end_zone,
    finish,
    ids,
    opened,
    report,
    tick,
)

LATER = EVENING + timedelta(hours=1)


def the_line(account):
    (line,) = office_lines(account)
    return line


def change_site(account, now=SUMMER):
    renamed = edited(rich_file(), lambda file: file.update(name="Other"))
    store_site(read(renamed), account=account, now=now)


def test_a_line_tells_what_is_next_and_what_was_skipped(owner, stranger):
    list_id = opened(owner)
    assert the_line(owner).next.step == FIRST
    do(owner, list_id, "first")
    do(owner, list_id, "second", outcome="skipped", reason="rusted fast")
    line = the_line(owner)
    assert line.next.step == BLOW
    assert [each.step for each in line.skipped] == [SECOND]
    assert line.whole == season_list(owner, list_id=list_id)
    assert office_lines(stranger) == []


def test_a_closed_list_is_no_longer_carried_out(owner):
    list_id = opened(owner)
    finish(owner, list_id)
    assert the_line(owner).next is None
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert office_lines(owner) == []


def test_every_sort_of_change_counts_as_a_touch(owner):
    list_id = opened(owner)
    assert the_line(owner).touched == Touch("Ann", MORNING)
    one = tick(ids(owner, list_id)["first"])
    report(owner, list_id, one)
    assert the_line(owner).touched == Touch("Ben", NOON)
    undo_step(
        owner,
        list_id=list_id,
        step=one.step,
        client_id=one.client_id,
        now=EVENING,
        actor="Cleo",
    )
    assert the_line(owner).touched == Touch("Cleo", EVENING)
    write_notes(owner, list_id=list_id, notes="key", seen="", now=LATER, actor="Dora")
    assert the_line(owner).touched == Touch("Dora", LATER)


def test_telling_how_a_zone_ended_counts_as_a_touch(owner):
    list_id = opened(owner)
    end_zone(owner, list_id, "1")
    assert the_line(owner).touched == Touch("Ben", NOON)


def test_a_changed_or_a_retired_site_blocks_its_list(owner):
    opened(owner)
    assert the_line(owner).blocked == ()
    change_site(owner)
    assert "rebuild the list" in the_line(owner).blocked[0]
    retire_site(owner, key=SITE, now=SUMMER)
    (reason,) = the_line(owner).blocked
    assert "retired" in reason


def test_a_report_from_a_clock_that_is_ahead_is_named(owner):
    list_id = opened(owner)
    ahead = NOON + timedelta(hours=2)
    report(owner, list_id, tick(ids(owner, list_id)["second"], done_at=ahead))
    (reason,) = the_line(owner).blocked
    assert "Step 2 was reported from a clock that is ahead" in reason


def _larkmoor_opened(owner):
    store_site(larkmoor(), account=owner, now=SUMMER)
    machine = read_compressor((DEMO / "compressors" / "yard-25.json").read_bytes())
    (sheet,) = sheets_of(larkmoor(), [machine])
    steps = compile_shutdown(larkmoor(), sheet=sheet).steps
    listed = compiled(owner, *steps, site_key="larkmoor")
    listed = replace(listed, procedure=replace(listed.procedure, stays_open=()))
    return open_season_list(
        owner, site_key="larkmoor", compiled=listed, year=2026, now=MORNING, actor="A"
    )


def test_a_skipped_step_that_the_next_ones_rest_on_blocks_the_list(owner):
    list_id = _larkmoor_opened(owner)
    assert the_line(owner).blocked == ()
    whole = season_list(owner, list_id=list_id)
    assert breaks_of(larkmoor(), whole) == ()
    *_, proof = (s for s in whole.steps if s.step.act == "prove_holding")
    skipped = tick(proof.id, outcome="skipped", reason="no time")
    report(owner, list_id, skipped)
    reasons = the_line(owner).blocked
    assert len(reasons) >= 1
    assert all("breaks a rule" in reason for reason in reasons)
    assert any("V2" in reason and "hold" in reason for reason in reasons), reasons


def test_a_list_that_its_site_no_longer_fits_says_so(owner):
    whole = season_list(owner, list_id=opened(owner))
    (reason,) = breaks_of(read(example("site-a")), whole)
    assert "cannot be checked" in reason
    assert '"B1/shutoff_1"' in reason


def test_the_day_of_compiling_is_that_of_the_last_rebuild(owner):
    list_id = opened(owner)
    assert compiled_at(owner, list_id=list_id) == MORNING
    change_site(owner)
    rebuild_season_list(
        owner, list_id=list_id, compiled=compiled(owner), now=EVENING, actor="A"
    )
    write_notes(owner, list_id=list_id, notes="x", seen="", now=LATER, actor="A")
    assert compiled_at(owner, list_id=list_id) == EVENING


def test_twelve_lists_take_no_more_queries_than_one(
    owner, django_assert_max_num_queries
):
    for year in range(2015, 2027):
        list_id = opened(owner, year=year)
        do(owner, list_id, "first", outcome="skipped", reason="late")
    with django_assert_max_num_queries(10):
        assert len(office_lines(owner)) == 12
