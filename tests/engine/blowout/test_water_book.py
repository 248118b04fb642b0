"""The sheet's book of the water: nothing appears, nothing is lost."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from tests.engine.network.small_sites import (
    PSI,
    Record,
    compressor_of,
    joined,
    lateral,
    machine_record,
    main_line,
    pipe,
    point,
    site_of,
    site_record,
)

few = settings(max_examples=8)
falls = st.lists(
    st.floats(-0.6, 0.6).map(lambda x: round(x, 2)), min_size=1, max_size=4
)
machines = st.sampled_from(((6.0, 6.0), (25.0, 30.0), (80.0, 10.0), (185.0, 0.0)))


def garden(zones: list[list[float]], *, end: bool, coupler: bool) -> Record:
    names = [str(n) for n in range(1, len(zones) + 1)]
    parts = [
        lateral(name, f"J{name}", fall) for name, fall in zip(names, zones, strict=True)
    ]
    points, links = joined(main_line(len(names)), *parts)
    if end:
        points.append(point("D1", "drain", -0.5, drain="manual"))
        links.append(pipe("MD", f"J{len(names)}", "D1", 5.0))
    if coupler:
        points.append(point("Q1", "quick_coupler", 0.2))
        links.append(pipe("MQ", "J1", "Q1", 3.0))
        points.append(point("Q2", "quick_coupler", 0.2))
        links.append(pipe("MQ2", "J1", "Q2", 2.0))
    return site_record(points, links, names)


def sheet_of(record: Record, machine: tuple[float, float], **keys: Any) -> Sheet:
    return make_sheet(site_of(record), compressor_of(machine_record(*machine)), **keys)


@few
@given(
    st.lists(falls, min_size=1, max_size=3),
    machines,
    st.booleans(),
    st.booleans(),
    st.sampled_from((None, 1, 4)),
)
def test_every_row_begins_with_what_the_rows_before_it_left(
    zones: list[list[float]],
    machine: tuple[float, float],
    end: bool,
    coupler: bool,
    passes: int | None,
) -> None:
    sheet = sheet_of(garden(zones, end=end, coupler=coupler), machine, passes=passes)
    whole = sheet.site_volume_m3
    assert sheet.water_out_m3 + sheet.water_left_m3 == pytest.approx(whole, rel=1e-9)
    assert 0.0 < sheet.water_left_m3 <= whole
    touched: dict[str, int] = {}
    kept: list[float] = []
    for number, row in enumerate(sheet.rows):
        assert row.water_at_start_m3 is not None
        assert row.water_at_start_m3 <= row.row.volume_m3 * (1.0 + 1e-9)
        full = sum(s.volume_m3 for s in row.row.segments if s.link not in touched)
        earlier = {touched[s.link] for s in row.row.segments if s.link in touched}
        most = full + sum(kept[n] for n in earlier)
        assert row.water_at_start_m3 >= full * (1.0 - 1e-9)
        assert row.water_at_start_m3 <= most * (1.0 + 1e-9)
        touched |= dict.fromkeys((s.link for s in row.row.segments), number)
        kept.append(row.passes[-1].left_fraction_after * row.row.volume_m3)


@few
@given(falls, machines)
def test_what_the_only_row_leaves_is_what_the_site_keeps(
    fall: list[float], machine: tuple[float, float]
) -> None:
    sheet = sheet_of(garden([fall], end=False, coupler=False), machine)
    row = sheet.rows[0]
    assert row.water_at_start_m3 == pytest.approx(sheet.site_volume_m3, rel=1e-9)
    kept = row.passes[-1].left_fraction_after * row.row.volume_m3
    assert sheet.water_left_m3 == pytest.approx(kept, rel=1e-9)


def test_a_row_run_twice_begins_with_what_the_first_left() -> None:
    sheet = sheet_of(garden([[-0.5, -0.3]], end=False, coupler=True), (25.0, 30.0))
    by_kind = {row.row.key: row for row in sheet.rows}
    shared = [s for s in by_kind["coupler:Q2"].row.segments if s.link == "M1"]
    assert shared
    start = by_kind["coupler:Q2"].water_at_start_m3
    assert start is not None
    own = sum(s.volume_m3 for s in by_kind["coupler:Q2"].row.segments if s.link != "M1")
    in_main = start - own
    assert 0.0 < in_main < shared[0].volume_m3 * 0.9, "an earlier row emptied the main"


@few
@given(falls, machines, st.integers(2, 6))
def test_what_is_left_falls_with_every_pass_and_is_never_nothing(
    fall: list[float], machine: tuple[float, float], passes: int
) -> None:
    sheet = sheet_of(garden([fall], end=False, coupler=False), machine, passes=passes)
    row = sheet.rows[0]
    assert row.displacement is not None
    lefts = [row.displacement.left_fraction]
    lefts += [done.left_fraction_after for done in row.passes]
    assert len(row.passes) == passes
    assert all(after < before for before, after in pairwise(lefts))
    assert lefts[-1] > 0.0
    for done in row.passes:
        assert done.left_low <= done.left_fraction_after <= done.left_high <= 1.0
    assert row.passes[-1].rest_s == 0.0
    assert all(done.on_s == row.longest_pass_s for done in row.passes)


@few
@given(falls, machines)
def test_the_passes_asked_for_change_no_verdict_no_length_and_no_least_air(
    fall: list[float], machine: tuple[float, float]
) -> None:
    record = garden([fall], end=False, coupler=False)
    plain = sheet_of(record, machine).rows[0]
    asked = sheet_of(record, machine, passes=5).rows[0]
    assert plain.verdict == asked.verdict
    assert plain.longest_pass_s == asked.longest_pass_s
    assert plain.least_free_air_m3_per_s == asked.least_free_air_m3_per_s
    for a, b in zip(plain.passes, asked.passes, strict=False):
        assert a.left_fraction_after == pytest.approx(b.left_fraction_after, rel=1e-9)


@few
@given(machines)
def test_the_passes_of_one_row_change_no_verdict_of_the_next(
    machine: tuple[float, float],
) -> None:
    record = garden([[0.5, -0.5], [1.0], [0.0, 2.0]], end=False, coupler=True)
    plain = sheet_of(record, machine).rows
    for passes in (1, 2, 6):
        asked = sheet_of(record, machine, passes=passes).rows
        assert [row.verdict for row in asked] == [row.verdict for row in plain]
        assert [row.verdict_text for row in asked] == [r.verdict_text for r in plain]
        shown = [len(row.passes) for row in asked if row.passes]
        assert set(shown) == {passes}


def test_a_part_on_no_row_counts_as_left() -> None:
    record = garden([[0.0]], end=False, coupler=False)
    record["points"].append(point("E1", "end"))
    record["links"].append(pipe("STUB", "J1", "E1", 30.0))
    sheet = sheet_of(record, (25.0, 30.0))
    stub = 30.0 * 3.14159265 / 4 * 0.02664**2
    assert sheet.water_left_m3 > 0.95 * stub
    missed = [w for w in sheet.warnings if w.code == "not_reached"]
    assert missed
    assert "STUB" in missed[0].about


@few
@given(st.lists(falls, min_size=1, max_size=3), machines)
def test_what_the_last_row_through_each_pipe_leaves_there_is_what_the_site_keeps(
    zones: list[list[float]], machine: tuple[float, float]
) -> None:
    record = garden(zones, end=True, coupler=True)
    sheet = sheet_of(record, machine)
    bores = build_graph(site_of(record)).bores
    left = {link: bore.volume_m3 or 0.0 for link, bore in bores.items()}
    for row in sheet.rows:
        for segment, pipe_left in zip(row.row.segments, row.left_in_pipes, strict=True):
            assert pipe_left.link == segment.link
            assert pipe_left.volume_m3 <= segment.volume_m3 * pipe_left.fullest + 1e-12
            left[pipe_left.link] = pipe_left.volume_m3
    assert sum(left.values()) == pytest.approx(sheet.water_left_m3, rel=1e-9)


def test_the_setting_asked_for_is_the_rows_setting() -> None:
    record = garden([[0.0, 0.0]], end=False, coupler=False)
    sheet = sheet_of(record, (25.0, 30.0), setting_pa=37.0 * PSI)
    assert sheet.rows[0].set_pressure_pa == pytest.approx(37.0 * PSI)
