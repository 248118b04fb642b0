"""What cannot be computed is said in a sentence: what, where and how to mend."""

from typing import Any

import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from tests.engine.network.small_sites import (
    Record,
    compressor_of,
    joined,
    lateral,
    link,
    machine_record,
    main_line,
    one_zone,
    pipe,
    point,
    site_of,
    site_record,
)


def sheet_of(record: Record, **machine: Any) -> Sheet:
    return make_sheet(site_of(record), compressor_of(machine_record(**machine)))


def zone_row(sheet: Sheet) -> RowSheet:
    return next(row for row in sheet.rows if row.row.kind == "zone")


def no_port() -> Record:
    record = one_zone()
    record["points"][1]["kind"] = "junction"
    return record


def no_heads() -> Record:
    points, links = main_line(1)
    points += [point("L1"), point("E1", "end")]
    links += [
        link("V1", "zone_valve", "J1", "L1", zone="1"),
        pipe("P1.1", "L1", "E1", 9.0),
    ]
    return site_record(points, links, ["1"])


def too_high() -> Record:
    return one_zone(falls_m=(-30.0, -30.0), step_m=40.0)


@pytest.mark.parametrize(
    ("record", "machine", "words"),
    [
        (one_zone(), {"cfm": 0.0}, ("no air", "free air delivery")),
        (one_zone(), {"cfm": 0.0, "gallons": 0.0}, ("no air", "free air delivery")),
        (one_zone(), {"regulator": {"fitted": False}}, ("regulator", "Fit one")),
        (
            one_zone(),
            {"regulator": {"fitted": True, "lowest": "90 psi"}},
            ("90 psi", "lower range"),
        ),
        (one_zone(), {"step_psi": 90.0}, ("step", "finer")),
        (no_port(), {}, ("no blow-out port", "fit a port")),
        (no_heads(), {}, ("no head",)),
        (one_zone(placement="above_ground"), {}, ("above ground", "PVC")),
        (one_zone(placement="indoors"), {}, ("indoors", "PVC")),
        (one_zone(pipe="unknown plastic", size=None), {}, ("P1.1", "size", "measure")),
        (
            one_zone(head_flow=None, head_at_pressure=None),
            {},
            ("H1.1", "flow", "enter"),
        ),
        (too_high(), {}, ("lift", "higher port")),
    ],
    ids=[
        "compressor of zero",
        "compressor and receiver of zero",
        "no regulator",
        "regulator too coarse below",
        "step too coarse",
        "no port",
        "no heads",
        "above-ground plastic",
        "indoor plastic",
        "unknown size",
        "missing head flow",
        "too high",
    ],
)
def test_what_cannot_be_blown_is_said_in_a_sentence(
    record: Record, machine: dict[str, Any], words: tuple[str, ...]
) -> None:
    sheet = sheet_of(record, **machine)
    row = zone_row(sheet)
    assert row.verdict == "cannot"
    assert row.set_pressure_pa is None
    assert (row.displacement, row.passes, row.gauge) == (None, (), None)
    assert row.verdict_text.endswith(".")
    for word in words:
        assert word.lower() in row.verdict_text.lower(), row.verdict_text
    assert any("1" in warning.about for warning in sheet.warnings)
    assert sheet.water_out_m3 == pytest.approx(0.0, abs=1e-12)
    assert "No setting can be given" in sheet.answer


def test_a_site_without_zones_is_said_in_a_sentence() -> None:
    points, links = main_line(1)
    sheet = sheet_of(site_record(points, links))
    assert sheet.rows == ()
    assert "no zone" in sheet.answer
    assert sheet.water_left_m3 == pytest.approx(sheet.site_volume_m3)


def test_one_zone_that_cannot_be_blown_leaves_the_other_computed() -> None:
    points, links = joined(
        main_line(2),
        lateral("1", "J1", head_flow=None, head_at_pressure=None),
        lateral("2", "J2"),
    )
    sheet = sheet_of(site_record(points, links, ["1", "2"]))
    verdicts = {row.row.key: row.verdict for row in sheet.rows}
    assert verdicts["1"] == "cannot"
    assert verdicts["2"] != "cannot"
    assert sheet.most_useful_unknown is not None
    assert "H1.1" in sheet.most_useful_unknown.key
    total = sheet.water_out_m3 + sheet.water_left_m3
    assert total == pytest.approx(sheet.site_volume_m3, rel=1e-9)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"head_head": "drip_emitters", "head_riser": None}, "drip"),
        ({"valve_anti_siphon": True}, "siphon"),
        ({"head_check_valve": "8 ft"}, "checks hold"),
    ],
    ids=["drip", "anti-siphon", "check heads"],
)
def test_odd_zones_are_computed_with_a_caution(
    keys: dict[str, Any], words: str
) -> None:
    row = zone_row(sheet_of(one_zone(**keys)))
    assert row.displacement is not None
    assert row.displacement.time_s is not None
    assert any(words in caution.lower() for caution in row.cautions), row.cautions


def test_check_heads_keep_more_water_out_of_reach() -> None:
    plain = zone_row(sheet_of(one_zone())).displacement
    checked = zone_row(sheet_of(one_zone(head_check_valve="8 ft"))).displacement
    assert plain is not None
    assert checked is not None
    assert plain.time_s is not None
    assert checked.time_s is not None
    assert checked.time_s > plain.time_s


def test_an_exception_for_plastic_that_is_not_buried_is_kept_and_printed() -> None:
    reason = "behind a block wall, nobody near"
    record = one_zone(placement="above_ground", air_exception=reason)
    row = zone_row(sheet_of(record))
    assert row.verdict != "cannot"
    assert any(reason in caution for caution in row.cautions)


@pytest.mark.parametrize("valve", [True, False])
def test_a_ring_is_computed_on_with_a_warning(valve: bool) -> None:
    points, links = joined(main_line(2), lateral("1", "J2"))
    points.append(point("J3"))
    links.append(pipe("R1", "J1", "J3", 30.0))
    if valve:
        points.append(point("J4"))
        links += [
            link("IV", "isolation_valve", "J3", "J4", type="ball"),
            pipe("R2", "J4", "J2", 25.0),
        ]
    else:
        links.append(pipe("R2", "J3", "J2", 25.0))
    sheet = sheet_of(site_record(points, links, ["1"]))
    codes = {warning.code for warning in sheet.warnings}
    assert ("ring" if valve else "ring_without_valve") in codes
    assert zone_row(sheet).displacement is not None


def test_no_discharge_temperature_gives_no_clock_and_says_so() -> None:
    sheet = sheet_of(one_zone(), discharge_temperature=None)
    assert zone_row(sheet).heat is None
    assert any(w.code == "no_heat_clock" for w in sheet.warnings)


def test_no_gauge_at_the_port_gives_no_done_reading() -> None:
    record = one_zone()
    row = zone_row(
        sheet_of(record, regulator={"fitted": True, "gauge_at": "compressor"})
    )
    assert row.gauge is not None
    assert not row.gauge.usable
    assert "gauge" in row.gauge.why_not
