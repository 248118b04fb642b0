"""What compressor a site needs is the blow-out sheet's own figure, kept by version."""

from dataclasses import replace

import pytest

from maintenance.exchange.demonstration import read_demonstration
from maintenance.models import SiteAirNeed
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory.queries import compressors, site as site_of
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.services.visits.air_needs import (
    SMALL_AT_MOST_M3_PER_S,
    air_need,
    air_needs_missing,
    keep_air_needs,
)
from tests.fixtures.demo import larkmoor
from tests.services.inventory.files import SPRING, example, read, read_machine
from tests.services.visits.kept import NOON

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
