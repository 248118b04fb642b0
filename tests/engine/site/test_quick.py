"""Quick zones and cards laid out."""

import math
from typing import Any

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.errors import InputError
from maintenance.engine.site import Head, Pipe, QuickZone, Site, Supply, ZoneValve
from maintenance.engine.site.card import lay_out, site_from_card
from maintenance.engine.site.checks import check_site
from maintenance.engine.site.quick import (
    as_straight_run,
    assumed_zones,
    expand_quick_zones,
)
from maintenance.engine.site.record import from_record, to_record
from tests.exchange.rich_site import card_record, rich_record

FOOT = 0.3048


def _laid_out(**changes: Any) -> Site:
    record = rich_record()
    record["zones"][1]["quick"].update(changes)
    return expand_quick_zones(from_record(Site, record))


def test_quick_zone_becomes_a_straight_run_of_equal_heads() -> None:
    site = _laid_out()
    points = {point.id: point for point in site.points}
    pipes = [x for x in site.links if isinstance(x, Pipe) and x.id.startswith("4.p")]
    heads = [points[f"4.h{n}"] for n in range(1, 8)]
    assert [pipe.from_ for pipe in pipes] == ["4.s", *(h.id for h in heads[:-1])]
    assert [pipe.to for pipe in pipes] == [head.id for head in heads]
    assert sum(pipe.length.value for pipe in pipes) == pytest.approx(180 * FOOT)
    assert {pipe.length.origin for pipe in pipes} == {"assumed"}
    assert points["4.s"].elevation.value == points["J9"].elevation.value
    levels = [head.elevation.value / FOOT for head in heads]
    assert levels == pytest.approx([-1.5 - 2 * n / 7 for n in range(1, 8)], abs=1e-4)
    assert {head.elevation.origin for head in heads} == {"assumed"}


def test_quick_zone_has_its_own_valve() -> None:
    site = _laid_out()
    valve = next(link for link in site.links if link.id == "4.v")
    assert isinstance(valve, ZoneValve)
    assert (valve.from_, valve.to, valve.zone) == ("J9", "4.s", "4")
    assert site.zones[1].valve == "4.v"
    assert site.zones[1].quick is None
    assert site.zones[1].name == "Long bed"


def test_what_was_told_of_a_quick_zone_keeps_its_origin() -> None:
    site = _laid_out(flow={"value": "1.5 gpm", "origin": "catalogue"})
    head = next(point for point in site.points if point.id == "4.h1")
    assert isinstance(head, Head)
    assert head.flow is not None
    assert head.flow.origin == "catalogue"
    assert head.nozzle_height is None


def test_fall_left_out_is_taken_as_level() -> None:
    record = rich_record()
    record["zones"][1]["quick"].pop("fall")
    site = expand_quick_zones(from_record(Site, record))
    levels = {p.elevation.value for p in site.points if p.id.startswith("4.")}
    assert levels == {-1.5 * FOOT}


def test_site_without_quick_zones_is_left_as_it_is() -> None:
    record = rich_record()
    record["zones"].pop()
    site = from_record(Site, record)
    assert expand_quick_zones(site) is site
    assert site_from_card(site) is site


def test_assumed_zones_are_named() -> None:
    assert assumed_zones(from_record(Site, rich_record())) == {"4"}


def test_quick_zone_that_begins_nowhere_is_a_sentence() -> None:
    with pytest.raises(InputError, match="which is no point"):
        _laid_out(**{"from": "J99"})


def _two_quick() -> Site:
    record = rich_record()
    second = record["zones"][1] | {"id": "5", "name": "Other bed"}
    record["zones"].append(second)
    return from_record(Site, record)


def test_one_quick_zone_is_laid_out_and_the_other_stays() -> None:
    site = expand_quick_zones(_two_quick(), only="5")
    assert [zone.quick is None for zone in site.zones] == [True, False, True]
    assert [zone.valve for zone in site.zones[1:]] == [None, "5.v"]
    assert {point.id.split(".")[0] for point in site.points if "." in point.id} == {"5"}
    assert check_site(site) == ()


def test_a_zone_laid_out_becomes_the_straight_run_that_it_was() -> None:
    site = _two_quick()
    assert as_straight_run(expand_quick_zones(site, only="4"), site.zones[1]) == site


def test_unknown_size_stays_unknown() -> None:
    site = _laid_out(pipe="unknown PE", size="unknown")
    pipe = next(link for link in site.links if link.id == "4.p1")
    assert isinstance(pipe, Pipe)
    assert pipe.size is None


@given(
    length=st.floats(0.5, 499),
    share=st.floats(-1, 1),
    heads=st.integers(1, 40),
    unit=st.sampled_from(["ft", "m", "in"]),
)
def test_a_laid_out_site_passes_its_own_checks(
    length: float, share: float, heads: int, unit: str
) -> None:
    size = math.floor(length * 1000) / 1000
    fall = math.trunc(share * size * 1000) / 1000
    record = rich_record()
    record["zones"][1]["quick"].update(
        length=f"{size} {unit}", fall=f"{fall:.3f} {unit}", heads=heads
    )
    site = expand_quick_zones(from_record(Site, record))
    assert check_site(site) == ()
    assert from_record(Site, to_record(site)) == site


def test_card_becomes_quick_zones_along_a_main() -> None:
    site = site_from_card(from_record(Site, card_record()))
    assert site.card is None
    assert [zone.id for zone in site.zones] == [str(n) for n in range(1, 10)]
    quick = site.zones[0].quick
    assert isinstance(quick, QuickZone)
    assert quick.heads == 8
    assert quick.length.value == pytest.approx(8 * 15 * FOOT)
    main = [link for link in site.links if isinstance(link, Pipe)]
    assert sum(pipe.length.value for pipe in main) == pytest.approx(90 * FOOT)
    assert isinstance(site.points[0], Supply)
    assert [p.id for p in site.points if p.kind == "blowout_port"] == ["card.port"]


@pytest.mark.parametrize("drop", [(), ("main", "largest_zone", "device", "port")])
def test_card_laid_out_passes_the_checks_and_is_all_assumed(
    drop: tuple[str, ...],
) -> None:
    record = card_record()
    for key in drop:
        record["card"].pop(key)
    site = lay_out(from_record(Site, record))
    assert check_site(site) == ()
    written = to_record(site)
    origins = {
        value["origin"]
        for part in written["points"] + written["links"]
        for value in part.values()
        if isinstance(value, dict)
    }
    assert origins == {"assumed"}
    plain = [
        key
        for part in written["points"] + written["links"]
        for key, value in part.items()
        if key in ("elevation", "length", "flow", "at_pressure")
        and not isinstance(value, dict)
    ]
    assert plain == []


def test_card_without_a_port_has_none() -> None:
    record = card_record()
    record["card"]["port"] = "none"
    site = site_from_card(from_record(Site, record))
    assert "blowout_port" not in {point.kind for point in site.points}
