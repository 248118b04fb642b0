"""What compressor a site needs is the blow-out sheet's own figure, kept by version."""

from dataclasses import replace
from datetime import timedelta

import pytest

from maintenance.exchange.demonstration import read_demonstration
from maintenance.models import SiteAirNeed
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory.queries import compressors, site as site_of
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.services.visits import air_needs
from maintenance.services.visits.air_needs import (
    SMALL_AT_MOST_M3_PER_S,
    air_need,
    air_needs_missing,
    keep_air_needs,
    keep_up_air_needs,
)
from tests.fixtures.demo import larkmoor
from tests.services.inventory.files import SPRING, example, read, read_machine
from tests.services.jobs.many_sites import keep_sites
from tests.services.visits.kept import NOON
from tests.services.visits.many_visits import NOW, make_many

CFM = 4.719_474_432e-4
"""One cubic foot a minute in m³/s: 0.3048³/60, exact by the international foot."""


@pytest.fixture
def machine(owner):
    for name in ("compressor-25", "compressor-80"):
        store_compressor(read_machine(example(name)), account=owner, now=SPRING)
    return compressors(owner)[-1]


def test_the_need_is_the_most_that_any_row_of_the_sheet_needs(owner, site, machine):
    assert keep_air_needs(owner, now=NOON) == 1
    kept = SiteAirNeed.objects.get()
    (sheet,) = sheets_of(site_of(owner, key=site), [machine])
    needs = [row.least_free_air_m3_per_s for row in sheet.rows]
    assert kept.least_free_air_m3_per_s == max(n for n in needs if n is not None)
    small = kept.least_free_air_m3_per_s <= SMALL_AT_MOST_M3_PER_S
    assert kept.need == ("small" if small else "towed")


def test_small_ends_at_thirty_cubic_feet_a_minute():
    assert pytest.approx(30 * CFM, rel=5e-3) == SMALL_AT_MOST_M3_PER_S


def test_the_estate_needs_a_towed_one_and_says_which_zones_no_air_alone_clears():
    largest = max(
        read_demonstration().compressors, key=lambda each: each.free_air_delivery.value
    )
    found = air_need(larkmoor(), largest)
    assert found.need == "towed"
    assert "No free air alone is enough for: " in found.why


def test_what_cannot_be_known_is_not_called_small(owner, site):
    keep_air_needs(owner, now=NOON)
    kept = SiteAirNeed.objects.get()
    assert (kept.need, kept.least_free_air_m3_per_s) == ("unknown", None)
    assert "No compressor is kept" in kept.why
    bare = replace(site_of(owner, key=site), zones=(), points=(), links=())
    assert air_need(bare, None).need == "unknown"


def test_it_is_worked_out_again_only_for_a_changed_site(owner, site, machine):
    keep_air_needs(owner, now=NOON)
    assert keep_air_needs(owner, now=NOON) == 0
    assert air_needs_missing(owner) == 0
    changed = replace(site_of(owner, key=site), name="Renamed")
    store_site(changed, account=owner, now=NOON)
    assert air_needs_missing(owner) == 1
    assert keep_air_needs(owner, now=NOON, site_keys=[site]) == 1
    assert SiteAirNeed.objects.get().site_version == 2


def test_so_many_at_once_and_no_others(owner, stranger, site, card, machine):
    other = read(example("site-a"))
    store_site(other, account=stranger, now=SPRING)
    assert keep_air_needs(owner, now=NOON, at_most=1) == 1
    assert air_needs_missing(owner) == 1
    assert air_needs_missing(stranger) == 1


def test_the_minute_keeps_up_so_many_of_all_accounts_and_asks_once_where_none_is_stale(
    owner, stranger, site, card, machine, django_assert_num_queries
):
    store_site(read(example("site-a")), account=stranger, now=SPRING)
    assert keep_up_air_needs(now=NOON, at_most=2) == 2
    assert keep_up_air_needs(now=NOON, at_most=2) == 1
    assert air_needs_missing(owner) == air_needs_missing(stranger) == 0
    with django_assert_num_queries(1):
        assert keep_up_air_needs(now=NOON) == 0


def test_it_costs_the_same_queries_for_one_site_as_for_ten(
    owner, django_assert_num_queries
):
    keep_sites(owner, 9)
    each_turn = 1 + 1 + 5 + 1  # which, compressors, sites, keep
    with django_assert_num_queries(each_turn):
        assert keep_up_air_needs(now=NOON, at_most=1) == 1
    with django_assert_num_queries(each_turn):
        assert keep_up_air_needs(now=NOON) == 8


def test_a_site_of_which_nothing_is_known_comes_before_one_that_changed(
    owner, site, card, machine
):
    keep_air_needs(owner, now=NOON, site_keys=[site])
    store_site(replace(site_of(owner, key=site), name="New"), account=owner, now=NOON)
    keep_up_air_needs(now=NOON, at_most=1)
    assert set(SiteAirNeed.objects.values_list("site__key", "site_version")) == {
        (site, 1),
        (card, 1),
    }


def test_a_compressor_that_comes_asks_for_it_again(owner, site):
    keep_up_air_needs(now=NOON)
    assert SiteAirNeed.objects.get().need == "unknown"
    later = NOON + timedelta(hours=1)
    store_compressor(
        read_machine(example("compressor-80")), account=owner, now=later, actor="Ann"
    )
    assert air_needs_missing(owner) == 1
    assert keep_up_air_needs(now=later) == 1
    assert SiteAirNeed.objects.get().need != "unknown"
    assert air_needs_missing(owner) == 0


def test_a_compressor_of_others_asks_for_nothing(owner, stranger, site, machine):
    keep_up_air_needs(now=NOON)
    later = NOON + timedelta(hours=1)
    store_compressor(
        read_machine(example("compressor-80")), account=stranger, now=later
    )
    assert keep_up_air_needs(now=later) == 0


def test_a_site_that_fails_is_unknown_and_holds_up_no_other(
    owner, site, card, machine, monkeypatch
):
    def broken(each, _machine):
        if each.id == site:
            raise ZeroDivisionError
        return air_need(each, machine)

    monkeypatch.setattr(air_needs, "air_need", broken)
    assert keep_up_air_needs(now=NOON) == 2
    kept = SiteAirNeed.objects.get(site__key=site)
    assert (kept.need, "made a mistake" in kept.why) == ("unknown", True)
    assert keep_up_air_needs(now=NOON) == 0


def test_two_thousand_sites_that_are_known_are_looked_at_in_one_query(
    owner, machine, django_assert_num_queries
):
    make_many(owner, visits=0, planned=0)
    with django_assert_num_queries(1):
        assert keep_up_air_needs(now=NOW) == 0
