"""Where water is left at the end of a list: by gravity, by air, by what was skipped."""

import json
from collections.abc import Collection
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.errors import InputError
from maintenance.engine.network.drain_site import drain_site
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft, water_left
from maintenance.engine.site import Site
from maintenance.exchange.site_file import read_site
from tests.benchmarks.sites import larkmoor, yard_compressor

FT = 0.3048
GAL = 3.785411784e-3
SITE_A = Path(__file__).parents[3] / "fixtures" / "examples" / "site-a.json"
ROWS_OF_13 = ("13",)


def site_a() -> Site:
    return read_site(SITE_A.read_bytes())


@cache
def sheet() -> Sheet:
    return make_sheet(larkmoor(), yard_compressor())


def all_rows() -> tuple[str, ...]:
    return tuple(row.row.key for row in sheet().rows)


def left_at_larkmoor(done: Collection[str] | None = None, **keys: Any) -> WaterLeft:
    return water_left(
        build_graph(larkmoor()), {}, sheet=sheet(), done_rows=done, **keys
    )


def by_link(left: WaterLeft) -> dict[str, LinkLeft]:
    return {each.link: each for each in left.links}


def wet_ft(left: WaterLeft, *pipes: str) -> float:
    found = by_link(left)
    return sum(found[pipe].wet_length_m for pipe in pipes) / FT


@pytest.mark.reference
@pytest.mark.parametrize(
    ("positions", "main_ft", "zone_2_ft", "gallons", "held"),
    [
        ({"M5": "key_in"}, 150.0, 80.0, 15.25, ()),
        ({}, 180.0, 80.0, 17.58, ()),
        (
            {"M5": "key_in", "M1": "closed"},
            150.0,
            80.0,
            15.25,
            ("P-M12", "P-M23", "P-M34"),
        ),
    ],
)
def test_site_a_in_the_words_of_a_list_is_as_worked_by_hand(
    positions: dict[str, str],
    main_ft: float,
    zone_2_ft: float,
    gallons: float,
    held: tuple[str, ...],
) -> None:
    """The worked example with bores 1.380 and 1.049 in; cases A1, A2 and A3."""
    graph = build_graph(site_a())
    left = water_left(graph, positions)
    feet = {"main": main_ft, "1": 0.0, "2": zone_2_ft}
    for zone, expected in feet.items():
        wet = sum(each.wet_length_m for each in left.links if each.zone == zone)
        assert wet / FT == pytest.approx(expected, abs=1e-6), zone
    assert left.trapped_m3 == pytest.approx(gallons * GAL, rel=0.005)
    locked = [e.link for e in left.links if e.air_locked_length_m and e.zone == "main"]
    assert tuple(locked) == held
    assert {each.told_by for each in left.links} == {"levels"}


def test_without_a_sheet_it_is_what_drain_says_where_all_positions_are_recorded() -> (
    None
):
    left, drained = water_left(build_graph(larkmoor()), {}), drain_site(larkmoor())
    for mine, its in zip(left.links, drained.drainage.links, strict=True):
        assert (mine.link, mine.state) == (its.link, its.state)
        assert mine.wet_volume_m3 == its.wet_volume_m3
    assert left.trapped_m3 == drained.drainage.trapped_m3
    assert left.trapped_by_zone == drained.drainage.trapped_by_zone
    assert left.next_drains == drained.next_drains
    assert left.places[0].at == "R3"


def test_what_no_air_went_through_keeps_its_pool_at_larkmoor() -> None:
    """Pencil and paper, gallons a foot from bores of 2.067 to 1.075 in.

    The far leg of the ring: R3 3.6, M6 6.3, X1 6.7, X2 6.7, W10X 9.2, water at 8.3.
    PR3 90 ft at 0.1292 (unknown PVC, largest bore 1.780 in), PX1 14 ft and PX2
    19 x (8.3 - 6.7) / (9.2 - 6.7) = 12.16 ft at 0.0920. PA1, the pipe between the
    assembly and the port: 17 ft of 1.505 in copper below the cocks, 0.0924.
    """
    left = left_at_larkmoor()
    found = by_link(left)
    ring = 90 * 0.1292 + (14 + 12.16) * 0.0920
    place = next(each for each in left.places if each.at == "R3")
    assert place.links == ("PR3", "PX1", "PX2")
    assert (place.volume_m3 or 0.0) / GAL == pytest.approx(ring, rel=0.005)
    assert (found["PA1"].wet_volume_m3 or 0) / GAL == pytest.approx(1.571, rel=0.005)
    assert found["PA1"].state == "trapped"
    assert "No row of the sheet reaches it." in found["PA1"].why
    assert left.next_drains[0].at == "R3"
    assert (left.next_drains[0].empties_m3 or 0) / GAL == pytest.approx(ring, rel=0.005)


def test_in_a_blown_pipe_stays_the_lesser_of_sheet_and_levels() -> None:
    """P26-3 runs from 12.9 down to 11.1 ft; its lowest nozzle stands at 11.6.

    48 x (11.6 - 11.1) / (12.9 - 11.1) = 13.33 ft at 0.05768 gal/ft is 0.769 gal, less
    than the sheet leaves. P15-2 holds 41 ft more than the sheet leaves it.
    """
    left, rows = by_link(left_at_larkmoor()), sheet().rows
    by_sheet = {p.link: p.volume_m3 for row in rows for p in row.left_in_pipes}
    capped, blown = left["P26-3"], left["P15-2"]
    assert by_sheet["P26-3"] / GAL > 0.769
    assert (capped.wet_volume_m3 or 0.0) / GAL == pytest.approx(0.769, rel=0.002)
    assert capped.wet_length_m / FT == pytest.approx(13.333, abs=0.01)
    assert blown.wet_volume_m3 == by_sheet["P15-2"]
    assert {capped.state, blown.state} == {"partly"}
    assert {capped.told_by, blown.told_by} == {"sheet"}
    assert left["P15-1"].state == "blown"
    assert left["PM3"].state == "blown", "air-locked by gravity alone"
    assert left["PM3"].air_locked_length_m == 0.0
    assert left["PK3"].state == "drained"


def test_a_skipped_zone_changes_the_map() -> None:
    """Zone 13, nozzles of the low heads at 5.3 + 0.5 = 5.8 ft: 40 + 25 + 33.33 ft."""
    done = [key for key in all_rows() if key not in ROWS_OF_13]
    skipped, whole = left_at_larkmoor(done), left_at_larkmoor()
    pipes = ("P13-1", "P13-2", "P13-3", "P13-4")
    assert wet_ft(skipped, *pipes) == pytest.approx(40 + 25 + 40 * 0.5 / 0.6, abs=1e-3)
    assert (skipped.trapped_by_zone["13"] or 0) / GAL == pytest.approx(
        98.33 * 0.0408 * 1.189**2, rel=0.003
    )
    assert (whole.trapped_by_zone["13"] or 0) < 0.2 * (
        skipped.trapped_by_zone["13"] or 0
    )
    assert "Zone 13 was not blown." in by_link(skipped)["P13-3"].why
    assert by_link(skipped)["P13-3"].told_by == "levels"
    others = [z for z in whole.trapped_by_zone if z not in ("13", "main")]
    assert [skipped.trapped_by_zone[z] for z in others] == [
        whole.trapped_by_zone[z] for z in others
    ]
    assert not [w for w in skipped.warnings if w.code == "counted_on_skipped"]


def test_a_valve_between_a_blown_main_and_a_skipped_zone_has_water_on_one_side() -> (
    None
):
    skipped = left_at_larkmoor([key for key in all_rows() if key != "15"])
    assert by_link(skipped)["Z15"].state == "partly"
    assert by_link(skipped)["Z15"].why == "Water stands on one side of it."
    assert by_link(left_at_larkmoor())["Z15"].state == "blown"
    # The far leg of the ring, which no air reaches, stands against valve 13.
    assert by_link(left_at_larkmoor())["Z13"].state == "partly"


def test_a_main_that_was_not_blown_is_told_of_the_row_that_counted_on_it() -> None:
    done = [key for key in all_rows() if key != "main:E1"]
    (warning,) = [
        w for w in left_at_larkmoor(done).warnings if w.code == "counted_on_skipped"
    ]
    assert "Zone 30 was worked out after Main to E1" in warning.text
    assert "PW11" in warning.about


def test_nothing_blown_is_gravity_alone_with_the_reason_beside_it() -> None:
    nothing, gravity = left_at_larkmoor(()), water_left(build_graph(larkmoor()), {})
    assert nothing.trapped_by_zone == gravity.trapped_by_zone
    assert [e.state for e in nothing.links] == [e.state for e in gravity.links]
    whys = by_link(nothing)
    assert "Zone 15 was not blown." in whys["P15-1"].why
    assert "No row through it was blown." in whys["PM2"].why
    assert "blown" not in by_link(gravity)["P15-1"].why


@settings(max_examples=12, deadline=None)
@given(st.sets(st.sampled_from(("main:E1", "main:Q2", "13", "15", "28", "30", "4"))))
def test_air_adds_no_water_and_frees_every_pipe_it_went_through(
    done: set[str],
) -> None:
    left = left_at_larkmoor(done)
    gravity = {each.link: each for each in left.drainage.links}
    blown = {
        pipe.link
        for row in sheet().rows
        if row.row.key in done
        for pipe in row.left_in_pipes
    }
    for each in left.links:
        before = gravity[each.link]
        assert (each.wet_volume_m3 or 0.0) <= (before.wet_volume_m3 or 0.0) + 1e-15
        assert each.air_locked_length_m <= before.air_locked_length_m
        assert (each.state == "blown") <= (each.told_by == "sheet")
        if each.link in blown:
            assert each.air_locked_length_m == 0.0
            assert each.state != "air_locked"
    total = sum(v for v in left.trapped_by_zone.values() if v is not None)
    assert left.trapped_m3 == pytest.approx(total)
    assert sum(p.volume_m3 or 0.0 for p in left.places) == pytest.approx(total)


def test_air_from_a_blown_main_follows_what_runs_off_at_its_drain() -> None:
    assert by_link(left_at_larkmoor(()))["PD1"].state == "air_locked"
    assert by_link(left_at_larkmoor())["PD1"].state == "drained"


def test_water_that_may_run_back_is_warned_of() -> None:
    (warning,) = [w for w in left_at_larkmoor().warnings if w.code == "may_run_back"]
    assert {"PA1", "PX1"} <= set(warning.about)
    assert not [w for w in left_at_larkmoor(()).warnings if w.code == "may_run_back"]


def test_rows_that_the_sheet_does_not_know_count_as_not_blown() -> None:
    left = left_at_larkmoor((*all_rows(), "31"))
    (warning,) = [w for w in left.warnings if w.code == "row_not_on_sheet"]
    assert warning.about == ("31",)
    assert left.trapped_m3 == left_at_larkmoor().trapped_m3


def test_the_sheet_of_another_site_is_refused() -> None:
    with pytest.raises(InputError, match="is of the site larkmoor, not of site-a"):
        water_left(build_graph(site_a()), {}, sheet=sheet())


def test_sentences_are_written_in_the_units_asked_for() -> None:
    text = json.dumps([e.why for e in left_at_larkmoor((), units="si").links])
    assert " m below the lowest way out" in text
    assert " ft " not in text
