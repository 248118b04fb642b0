"""What spring mirrors is how the last autumn was left, and nothing older."""

from datetime import timedelta

import pytest

from maintenance.engine.procedure.step import Change
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.arrange import write_notes
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import autumn_record
from tests.services.inventory.files import SPRING, read, rich_file
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
    opened,
    step,
)

NEXT_SPRING = EVENING + timedelta(days=200)


def metered(*, meters=("M9",)):
    """Return the site with meters behind its end."""
    file = rich_file()
    for number, meter in enumerate(meters):
        end = f"X{number}"
        file["points"].append({"id": end, "kind": "junction", "elevation": "-1 ft"})
        file["links"].append({"id": meter, "kind": "meter", "from": "J9", "to": end})
    return file


def closed(account, *steps, year=2026, season="shutdown", now=EVENING):
    list_id = opened(account, *steps, year=year, season=season, now=now)
    finish(account, list_id)
    close_season_list(account, list_id=list_id, now=now, actor="Ann")
    return list_id


def ask(account, now=NEXT_SPRING):
    return autumn_record(account, site_key=SITE, now=now)


def test_spring_gets_positions_zones_and_what_was_written_down(owner):
    list_id = opened(owner)
    do(owner, list_id, "first", note="Stiff.")
    do(owner, list_id, "second", outcome="skipped", reason="stuck")
    end_zone(owner, list_id, "1", "not_found")
    end_zone(owner, list_id, "4", "partly", note="two heads")
    write_notes(
        owner, list_id=list_id, notes="Key: pot.", seen="", now=NOON, actor="Ann"
    )
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    found = ask(owner)
    assert found is not None
    assert (found.head.id, found.head.closed_at) == (list_id, EVENING)
    assert found.record.positions == {
        "B1/shutoff_1": "closed",
        "B1/shutoff_2": "open",
        "ZV1": "closed",
    }
    assert found.record.zones == {"1": "not_found", "4": "partly"}
    assert found.record.notes == (
        "Key: pot.",
        "Zone 4: two heads",
        "Close shut-off 1. Stiff.",
        "Skipped: Set shut-off 2. (stuck)",
    )
    assert (found.unsure, found.record.meter_m3) == ((), None)


def test_a_part_moved_in_another_order_than_the_lists_is_to_be_looked_at(owner):
    again = step("again", changes=(Change("B1/shutoff_1", "half_open"),))
    list_id = opened(owner, FIRST, again)
    do(owner, list_id, "again", done_at=MORNING)
    do(owner, list_id, "first", done_at=NOON)
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    found = ask(owner)
    assert found.unsure == ("B1/shutoff_1",)
    assert found.record.notes == (
        "Look how B1/shutoff_1 stands: it was moved in another order than the list's.",
    )


def test_an_open_list_or_none_is_no_autumn_record(owner):
    list_id = opened(owner)
    assert ask(owner) is None
    finish(owner, list_id)
    assert ask(owner) is None
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert ask(owner).head.id == list_id


def test_the_last_autumn_counts_until_a_spring_is_closed(owner):
    closed(owner, year=2025, now=MORNING)
    last = closed(owner, year=2026)
    closed(owner, season="frost_night", now=EVENING + timedelta(hours=1))
    assert ask(owner).head.id == last
    closed(owner, year=2027, season="startup", now=EVENING + timedelta(days=180))
    assert ask(owner) is None


def test_what_was_left_more_than_a_year_ago_tells_of_another_winter(owner):
    closed(owner)
    assert ask(owner, EVENING + timedelta(days=365)) is not None
    assert ask(owner, EVENING + timedelta(days=365, seconds=1)) is None


def test_spring_gets_the_last_reading_of_the_meter(owner):
    store_site(read(metered()), account=owner, now=SPRING)
    early = step("early", on="M9", act="record", changes=())
    late = step("late", on="M9", act="record", changes=())
    other = step("other", on="A1", act="record", changes=())
    list_id = open_season_list(
        owner,
        site_key=SITE,
        compiled=compiled(owner, early, late, other),
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    do(owner, list_id, "early", reading="1000 gal", done_at=MORNING)
    do(owner, list_id, "late", reading="1012 gal", done_at=NOON)
    do(owner, list_id, "other", reading="5 gal", done_at=EVENING)
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    # 1 US gallon = 231 in3 (NIST SP 811, appendix B.8)
    assert ask(owner).record.meter_m3 == pytest.approx(1012 * 231 * 0.0254**3)


def test_of_two_meters_neither_is_taken_for_the_other(owner):
    store_site(read(metered(meters=("M8", "M9"))), account=owner, now=SPRING)
    both = step("record meter", on="M8", act="record", changes=())
    list_id = open_season_list(
        owner,
        site_key=SITE,
        compiled=compiled(owner, both),
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    do(owner, list_id, "record meter", reading="1000 gal")
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    assert ask(owner).record.meter_m3 is None


def test_a_stranger_learns_nothing_of_autumn(owner, stranger):
    closed(owner, FIRST, SECOND, BLOW)
    with pytest.raises(NotFoundError):
        ask(stranger)
