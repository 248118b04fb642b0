"""The benchmarks run and measure what they say. No time is asserted here."""

import numpy as np
import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.prepare import prepare
from maintenance.engine.freezing.outlook import freeze_outlook
from maintenance.services.accounts import local_account
from tests.benchmarks.climate import SEASONS, THRESHOLDS_K, hundred_years, summarise
from tests.benchmarks.clock import LOOP_STEPS, in_loops, plain_loop
from tests.benchmarks.freeze_sites import HOURS, SITES, freeze_sites
from tests.benchmarks.large_network import large_network
from tests.benchmarks.measure import (
    Measured,
    all_fronts,
    as_table,
    levels_left,
    shutdown_with_map,
    zone_count,
)
from tests.benchmarks.sites import larkmoor, twice_larkmoor, yard_compressor
from tests.benchmarks.visit_list import FORM, VISITS, got, visit_list_page
from tests.services.visits.many_visits import make_many

pytestmark = pytest.mark.benchmark


def test_the_second_site_has_every_zone_twice() -> None:
    once, twice = larkmoor(), twice_larkmoor()
    assert zone_count(twice) == 2 * zone_count(once)
    for site, factor in ((once, 1), (twice, 2)):
        sheet = make_sheet(site, yard_compressor())
        zones = [row for row in sheet.rows if row.row.kind == "zone"]
        assert len(zones) == factor * zone_count(once)
        computed = [row for row in zones if row.displacement is not None]
        assert len(computed) == factor * zone_count(once)


def test_the_fronts_of_all_rows_are_driven() -> None:
    prepared = prepare(larkmoor(), yard_compressor())
    run = all_fronts(prepared)
    assert len(run.time_s) == len(prepared.settings)
    assert np.isfinite(run.time_s).sum() > 0.9 * len(run.time_s)


def test_the_large_network_has_its_links_and_water_of_every_state() -> None:
    network = large_network()
    assert len(network.links) == 2000
    drainage, drains = levels_left(network)
    states = {each.state for each in drainage.links}
    assert states == {"trapped", "partly", "air_locked", "drained"}
    assert len(drains) > 100


def test_the_list_of_larkmoor_is_compiled_checked_and_mapped() -> None:
    site = larkmoor()
    listed = shutdown_with_map(site, make_sheet(site, yard_compressor()))
    assert len(listed.checked.steps) > 100
    assert listed.checked.broken == ()
    assert listed.left is not None
    assert listed.left.trapped_m3 is not None


def test_a_century_is_read_whole_and_summarised_for_each_threshold_and_season() -> None:
    found = summarise(hundred_years("summaries"))
    assert len(found) == len(THRESHOLDS_K) * len(SEASONS)
    assert {len(dates.events) for dates in found} == {99}
    assert all(dates.law.n > 60 for dates in found)


def test_the_cold_sites_freeze_in_part_over_a_week():
    assert (SITES, HOURS) == (10_000, 7 * 24)
    found = freeze_outlook(*freeze_sites(sites=50))
    assert found.first_ice_s.shape == (3, 50, 6)
    frozen = np.isfinite(found.frozen_s).mean()
    assert 0.2 < frozen < 0.9


def test_the_page_of_visits_is_full_and_the_one_beside_it_has_none(db, client):
    make_many(local_account(), visits=200, sites=20, planned=120)
    visits, form = got(client, VISITS), got(client, FORM)
    assert visits.count("Crew ") >= 50 > form.count("Crew ")
    assert visit_list_page(rounds=1).ratio > 0.0


def test_the_yardstick_is_a_million_steps_and_measures_itself() -> None:
    assert plain_loop() == LOOP_STEPS // 2
    assert in_loops(plain_loop, rounds=1) > 0.0


def test_the_table_has_a_line_for_each_result() -> None:
    table = as_table((Measured("Some work", 3.25, 15.0), Measured("Other", 1.0, 2.0)))
    assert table.splitlines()[0].startswith("| What |")
    assert "| Some work | 3.2 loops | 15 loops |" in table
    assert len(table.splitlines()) == 4
