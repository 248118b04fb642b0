"""A quick zone laid out part by part is blown exactly as it was before."""

from dataclasses import replace

import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.site import Compressor, Pipe, Site
from maintenance.engine.site.quick import expand_quick_zones
from maintenance.engine.units import Quantity
from maintenance.exchange.demonstration import read_demonstration

FILES = read_demonstration()
YARD = next(each for each in FILES.compressors if each.id == "yard-25")
SITES = {each.id: each for each in FILES.sites}
RUNS = "a straight run of equal heads"


def _assumed(site: Site, compressor: Compressor = YARD) -> list[str]:
    texts = make_sheet(site, compressor).assumed
    return [text for text in texts if text.endswith(RUNS)]


# In these two several zones lie equally far from the port: their order is the file's.
@pytest.mark.parametrize("key", ["crook-lane-22", "dovecote-green"])
def test_the_rows_are_the_same_whichever_zone_is_laid_out_first(key: str):
    site = SITES[key]
    before = make_sheet(site, YARD)
    told = set()
    for zone in reversed(site.zones):
        site = expand_quick_zones(site, only=zone.id)
        after = make_sheet(site, YARD)
        assert after.rows == before.rows
        assert after.groups == before.groups
        assert after.water_left_m3 == pytest.approx(before.water_left_m3, rel=1e-12)
        told.add(after.total_time_s)
    assert told == {before.total_time_s}
    assert all(zone.quick is None for zone in site.zones)


def test_the_sheet_says_which_layouts_are_assumed_until_they_are_edited():
    site = SITES["crook-lane-22"]
    every = f"Zones 1, 2, 3, 4, 5, 6: assumed layout, {RUNS}"
    assert _assumed(site) == [every]
    laid_out = expand_quick_zones(site, only="4")
    assert _assumed(laid_out) == [every]

    def measured(*ids: str) -> Site:
        links = tuple(
            replace(link, length=Quantity(10.0, "10 m", "measured"))
            if isinstance(link, Pipe) and link.id in ids
            else link
            for link in laid_out.links
        )
        return replace(laid_out, links=links)

    others = f"Zones 1, 2, 3, 5, 6: assumed layout, {RUNS}"
    in_part = f"Zone 4: layout still assumed in part, {RUNS}"
    assert _assumed(measured("4.p1")) == [others, in_part]
    assert _assumed(measured(*(f"4.p{n}" for n in range(1, 9)))) == [others]


def test_a_zone_recorded_part_by_part_is_not_called_assumed():
    assert _assumed(SITES["larkmoor"]) == [f"Zones 9, 17, 30: assumed layout, {RUNS}"]
