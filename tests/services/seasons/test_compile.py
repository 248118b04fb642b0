"""A list compiled from the site as it is kept, and compiled once more."""

from dataclasses import replace
from datetime import timedelta

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import site_version
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.services.seasons.carry_out import record_steps
from maintenance.services.seasons.choices import (
    ListChoices,
    choices_from_record,
    choices_to_record,
)
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.compile import compile_again, compile_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import autumn_record, season_list
from maintenance.services.seasons.rebuild import list_difference
from tests.services.inventory.files import (
    SPRING,
    SUMMER,
    edited,
    example,
    read,
    read_machine,
    rich_file,
)
from tests.services.seasons.lists import (
    EVENING,
    MORNING,
    NOON,
    SITE,
    finish,
    report,
    tick,
)

BY_HAND = ListChoices(shutdown=ShutdownChoices(change_over="hand"))
SEASONS = ("shutdown", "startup", "frost_night", "frost_undo")


@pytest.fixture
def site(owner):
    store_site(read(rich_file()), account=owner, now=SPRING)
    machine = read_machine(example("compressor-25"))
    store_compressor(machine, account=owner, now=SPRING)
    return SITE


def _compile(owner, season="shutdown", **options):
    return compile_list(owner, site_key=SITE, season=season, now=MORNING, **options)


def _open(owner, compiled, now=MORNING):
    list_id = open_season_list(
        owner, site_key=SITE, compiled=compiled, year=2026, now=now, actor="Ann"
    )
    return season_list(owner, list_id=list_id)


def test_without_a_compressor_nothing_is_blown(owner, site):
    drained, blown = _compile(owner), _compile(owner, compressor="shop-25")
    acts = [{s.act for s in each.procedure.steps} for each in (drained, blown)]
    assert ["blow" in each for each in acts] == [False, True]
    assert drained.sheet is None
    assert blown.sheet is not None
    assert blown.sheet.compressor == "shop-25"
    assert blown.site_version == site_version(owner, key=SITE)


def test_a_choice_changes_the_list_and_is_kept_with_it(owner, site):
    usual = _compile(owner, compressor="shop-25")
    by_hand = _compile(owner, compressor="shop-25", choices=BY_HAND)
    assert usual.procedure.steps != by_hand.procedure.steps
    assert usual.fingerprint != by_hand.fingerprint
    assert choices_from_record(_open(owner, by_hand).choices) == BY_HAND


@pytest.mark.parametrize(
    "choices",
    [
        ListChoices(),
        ListChoices(units="si", low_at=MORNING),
        ListChoices(
            shutdown=ShutdownChoices("next_first", frozenset({"HOUSE", "BARN"}), "A1"),
            startup=StartupChoices(leak_test="gauge", meter_m3=12.5),
        ),
    ],
)
def test_choices_are_read_back_as_they_were(choices):
    assert choices_from_record(choices_to_record(choices)) == choices


def test_flows_of_last_spring_are_not_kept_as_a_choice(owner):
    with_flows = StartupChoices(last_spring_m3_per_s={"1": 0.001})
    record = choices_to_record(ListChoices(startup=with_flows))
    assert choices_from_record(record) == ListChoices()


@pytest.mark.parametrize("season", SEASONS)
def test_compiled_once_more_a_list_is_the_same(owner, site, season):
    compressor = "shop-25" if season == "shutdown" else None
    compiled = _compile(owner, season, compressor=compressor, choices=BY_HAND)
    whole = _open(owner, compiled)
    again = compile_again(owner, whole)
    assert again.fingerprint == compiled.fingerprint
    assert not list_difference(owner, list_id=whole.head.id, compiled=again)


def test_a_changed_site_gives_another_list(owner, site):
    whole = _open(owner, _compile(owner, compressor="shop-25"))
    changed = edited(rich_file(), lambda file: file.update(name="Other garden"))
    changed["zones"][0]["name"] = "Rose bed"
    store_site(read(changed), account=owner, now=SUMMER)
    again = compile_again(owner, whole)
    assert again.site_version == whole.compiled_from + 1
    seen = list_difference(owner, list_id=whole.head.id, compiled=again)
    assert any("Rose bed" in each.is_.text for each in seen.changed)


def test_spring_mirrors_the_autumn_that_was_closed(owner, site):
    alone = _compile(owner, "startup")
    autumn = _open(owner, _compile(owner))
    finish(owner, autumn.head.id)
    close_season_list(owner, list_id=autumn.head.id, now=EVENING, actor="Ann")
    left = autumn_record(owner, site_key=SITE, now=EVENING)
    assert left is not None
    spring = compile_list(owner, site_key=SITE, season="startup", now=EVENING)
    assert dict(spring.start).items() >= left.record.positions.items()
    codes = {warning.code for warning in spring.procedure.warnings}
    assert "mirrors_winter_positions" not in codes
    codes = {warning.code for warning in alone.procedure.warnings}
    assert "mirrors_winter_positions" in codes


def test_flows_read_last_spring_stand_beside_this_springs(owner, site):
    spring = _open(owner, _compile(owner, "startup"), now=MORNING)
    run = next(s for s in spring.steps if s.step.act == "run" and s.step.on == "1")
    report(owner, spring.head.id, tick(run.id, reading="3.2 gpm"))
    finish(owner, spring.head.id)
    close_season_list(owner, list_id=spring.head.id, now=NOON, actor="Ann")
    before, after = (
        compile_list(owner, site_key=SITE, season="startup", now=now)
        for now in (MORNING, EVENING)
    )
    texts = [
        next(s.text for s in each.procedure.steps if s.act == "run" and s.on == "1")
        for each in (before, after)
    ]
    assert ["3.2 gpm" in text for text in texts] == [False, True]


def test_what_was_skipped_on_a_frosty_night_is_not_put_back(owner, site):
    night = _open(owner, _compile(owner, "frost_night"))
    cocks = "B1/test_cocks"
    skipped = next(s for s in night.steps if s.step.on == cocks)
    record_steps(
        owner,
        list_id=night.head.id,
        ticks=[tick(skipped.id, outcome="skipped", reason="stuck")],
        now=NOON,
        actor="Ben",
    )
    whole, bare = _compile(owner, "frost_undo"), _undo_without_a_night(owner)
    put_back = {c.element for s in whole.procedure.steps for c in s.changes}
    assert [cocks in put_back, cocks in bare] == [False, True]


def _undo_without_a_night(owner):
    from maintenance.engine.procedure.frost_undo import (  # noqa: PLC0415
        compile_frost_undo,
    )
    from maintenance.services.inventory.queries import site  # noqa: PLC0415

    undo = compile_frost_undo(site(owner, key=SITE))
    return {change.element for step in undo.steps for change in step.changes}


def test_a_site_a_compressor_or_a_part_that_is_not_there_is_refused(
    owner, stranger, site
):
    with pytest.raises(NotFoundError):
        compile_list(stranger, site_key=SITE, season="shutdown", now=MORNING)
    with pytest.raises(NotFoundError):
        _compile(owner, compressor="none")
    nowhere = replace(BY_HAND, shutdown=ShutdownChoices(port="A9"))
    with pytest.raises(InputError, match="A9"):
        _compile(owner, choices=nowhere)


def test_a_frosty_night_tells_by_when_to_be_done(owner, site):
    low = MORNING + timedelta(hours=20)
    card = _compile(owner, "frost_night", choices=ListChoices(low_at=low))
    first = card.procedure.steps[0]
    assert any(f"{low:%H:%M}" in caution for caution in first.cautions)
