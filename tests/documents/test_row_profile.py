"""The profile of a row is the way of its air, with what was computed for it."""

from itertools import pairwise
from pathlib import Path

import pytest

from maintenance.documents.drawing.profile import profile_svg
from maintenance.documents.row_profile import row_profile
from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SITE = read_site((FIXTURES / "demo" / "larkmoor.json").read_bytes())
MACHINE = read_compressor((FIXTURES / "demo/compressors/yard-25.json").read_bytes())


@pytest.fixture(scope="module")
def sheet():
    return make_sheet(SITE, MACHINE)


def test_every_row_has_a_line_from_its_port_to_its_farthest_outlet(sheet):
    for row in sheet.rows:
        profile = row_profile(SITE, row, temperature_k=sheet.air_temperature_k)
        first, last = profile.stations[0], profile.stations[-1]
        assert first.point == row.row.port
        assert first.distance_m == 0.0
        assert last.distance_m == pytest.approx(row.row.distance_m)
        assert all(a.distance_m <= b.distance_m for a, b in pairwise(profile.stations))
        assert profile_svg(profile, system="us").rows


def test_no_reach_stands_less_than_the_row_may_see(sheet):
    for row in sheet.rows:
        profile = row_profile(SITE, row, temperature_k=sheet.air_temperature_k)
        for reach in profile.reaches:
            assert reach.limit_pa is not None
            assert row.limit.limit_pa is not None
            assert reach.limit_pa >= row.limit.limit_pa - 1e-6


def test_only_rises_are_marked_as_not_swept(sheet):
    marked = 0
    for row in sheet.rows:
        profile = row_profile(SITE, row, temperature_k=sheet.air_temperature_k)
        for reach in profile.reaches:
            start, end = (profile.stations[i] for i in (reach.start, reach.end))
            if reach.swept is False:
                marked += 1
                assert end.elevation_m > start.elevation_m
    assert marked


def test_water_is_drawn_where_it_stands_on_the_line(sheet):
    for row in sheet.rows:
        profile = row_profile(SITE, row, temperature_k=sheet.air_temperature_k)
        points = {station.point for station in profile.stations}
        drawn = {water.at: water.volume_m3 for water in profile.standing}
        for pool in row.standing_water:
            assert (pool.at in drawn) == (pool.at in points)
