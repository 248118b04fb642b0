"""Zones end as their steps say, once a person takes that over."""

from maintenance.services.seasons.carry_out import skip_step
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.suggested_ends import (
    suggested_ends,
    take_over_ends,
)
from maintenance.services.seasons.zone_ends import ZoneTold
from tests.services.seasons.lists import NOON, do, end_zone, ids, opened, step

AIR = (
    step("one", act="blow", row="1"),
    step("again", act="blow", row="1"),
    step("four", act="blow", row="4"),
)


def _suggested(account, list_id):
    return suggested_ends(season_list(account, list_id=list_id))


def _skip(account, list_id, key, reason):
    skip_step(
        account,
        list_id=list_id,
        step=ids(account, list_id)[key],
        client_id=f"skip {key}",
        reason=reason,
        now=NOON,
        actor="Ben",
    )


def _outcomes(account, list_id):
    zones = season_list(account, list_id=list_id).zones
    return {zone.zone: (zone.outcome, zone.note) for zone in zones}


def test_nothing_is_said_of_a_zone_before_all_its_steps_are_reported(owner):
    list_id = opened(owner, *AIR)
    assert _suggested(owner, list_id) == ()
    do(owner, list_id, "one")
    assert _suggested(owner, list_id) == ()
    do(owner, list_id, "again")
    assert _suggested(owner, list_id) == (ZoneTold(zone="1", outcome="done"),)


def test_what_was_skipped_brings_its_reasons_as_the_note(owner):
    list_id = opened(owner, *AIR)
    do(owner, list_id, "one")
    _skip(owner, list_id, "again", "hose burst")
    _skip(owner, list_id, "four", "box under snow")
    assert take_over_ends(owner, list_id=list_id, now=NOON, actor="Ben") == 2
    assert _outcomes(owner, list_id) == {
        "1": ("partly", "hose burst"),
        "4": ("skipped", "box under snow"),
    }
    assert take_over_ends(owner, list_id=list_id, now=NOON, actor="Ben") == 0


def test_a_zone_that_was_told_already_stays_as_told(owner):
    list_id = opened(owner, *AIR)
    do(owner, list_id, "one", "again", "four")
    end_zone(owner, list_id, "4", "not_found")
    assert take_over_ends(owner, list_id=list_id, now=NOON, actor="Ben") == 1
    assert _outcomes(owner, list_id)["4"] == ("not_found", "")


def test_in_spring_the_run_of_a_zone_says_how_it_ended(owner):
    runs = (
        step("run 1", act="run", on="1", to="2 min"),
        step("run 4", act="run", on="4", to="2 min"),
    )
    list_id = opened(owner, *runs, season="startup")
    do(owner, list_id, "run 4")
    assert _suggested(owner, list_id) == (ZoneTold(zone="4", outcome="done"),)


def test_in_autumn_running_a_controller_of_the_same_name_says_nothing(owner):
    list_id = opened(owner, step("run 1", act="run", on="1", to="empty"))
    do(owner, list_id, "run 1")
    assert _suggested(owner, list_id) == ()
