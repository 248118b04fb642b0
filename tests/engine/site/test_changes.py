"""Parts go in and out of a site without leaving anything half there."""

import json
from pathlib import Path

import pytest

from maintenance.engine.site.changes import (
    SECTIONS,
    Section,
    parts_of,
    put_back,
    with_part,
    without_part,
)
from maintenance.engine.site.checks import check_site
from maintenance.engine.site.record import from_record
from maintenance.engine.site.whole import Site

DEMO = Path(__file__).resolve().parents[3] / "fixtures" / "demo" / "larkmoor.json"


@pytest.fixture(scope="module")
def larkmoor() -> Site:
    return from_record(Site, json.loads(DEMO.read_text("utf-8")))


def _ids(site: Site) -> dict[str, set[str]]:
    return {name: {part.id for part in parts_of(site, name)} for name in SECTIONS}


@pytest.mark.parametrize("section", SECTIONS)
def test_what_is_taken_out_and_put_back_is_all_there(
    larkmoor: Site, section: Section
) -> None:
    for part in parts_of(larkmoor, section):
        taken = without_part(larkmoor, section, part.id)
        assert part.id not in _ids(taken.site)[section]
        back = put_back(taken.site, taken.parts)
        for name in SECTIONS:
            assert set(parts_of(back, name)) == set(parts_of(larkmoor, name))


def test_no_link_is_left_without_its_ends(larkmoor: Site) -> None:
    for point in larkmoor.points:
        site = without_part(larkmoor, "points", point.id).site
        there = {each.id for each in site.points}
        assert {end for link in site.links for end in (link.from_, link.to)} <= there


def test_a_zone_goes_with_its_valve_and_the_site_still_holds_together(
    larkmoor: Site,
) -> None:
    for zone in larkmoor.zones:
        taken = without_part(larkmoor, "zones", zone.id)
        ids = _ids(taken.site)
        assert zone.valve not in ids["links"]
        assert ids["zones"] == _ids(larkmoor)["zones"] - {zone.id}
        assert check_site(taken.site) == ()


def test_a_part_with_a_known_id_takes_the_place_of_the_old(larkmoor: Site) -> None:
    point = larkmoor.points[3]
    site = with_part(larkmoor, "points", point)
    assert site == larkmoor
