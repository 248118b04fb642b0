"""Drains, devices, assemblies and the end: there where the part is, absent where not."""

import pytest

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.shutdown.run_off import levels_after
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    main_line,
    pipe,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.shutdown.lists import (
    at,
    checked,
    compiled,
    larkmoor_drained,
    larkmoor_list,
    site_at,
    small_garden,
    step_of,
    words,
)
from tests.fixtures.demo import CONTRACTOR, DEMO, larkmoor

CROOK_LANE = next(path for path in CONTRACTOR if path.stem == "crook-lane-22")
SITE_A = DEMO.parent / "examples" / "site-a.json"


def with_assembly(device, **keys):
    """Return a site behind one assembly, with a shut-off and a drain before it."""
    points = [
        point("SUP", "supply", source="public"),
        point("K1"),
        point("K2", z_m=0.5),
        point("AIR", "blowout_port", 0.5),
        point("J1"),
    ]
    links = [
        link("VS", "isolation_valve", "SUP", "K1", summer="open", winter="closed"),
        pipe("PK", "K1", "K2"),
        link("B1", "backflow", "K2", "AIR", device=device, size="1", **keys),
        pipe("PM", "AIR", "J1"),
    ]
    drain = ([point("D0", "drain", -1.0, drain="manual")], [pipe("PD0", "K1", "D0")])
    return site_of(
        site_record(*joined((points, links), drain, lateral("1", "J1")), ["1"])
    )


def with_device(kind, **keys):
    """Return a garden whose zone has a device behind its valve."""
    points, links = lateral("1", "J1")
    for each in links:
        if each["id"] == "V1":
            each["to"] = "L0"
    points.append(point("L0"))
    links.append(link("X1", kind, "L0", "L1", **keys))
    main = main_line()
    main[1][0]["device"] = "RP"
    return site_of(site_record(*joined(main, (points, links)), ["1"]))


def test_in_each_section_the_high_openings_are_opened_first():
    procedure = larkmoor_list()
    assert at(procedure, "open B1/test_cocks") < at(procedure, "open D0")
    assert at(procedure, "open Q1") < at(procedure, "open D1")
    assert at(procedure, "open Q3") < at(procedure, "open D2")
    drained = larkmoor_drained()
    assert at(drained, "open Q3") < at(drained, "open E1") < at(drained, "open D2")


def test_pressure_is_let_off_before_anything_is_opened():
    procedure = larkmoor_list()
    last = max(n for n, step in enumerate(procedure.steps) if step.act == "relieve")
    opened = [n for n, s in enumerate(procedure.steps) if s.key.startswith("open ")]
    first_end = at(procedure, "switch_off at A2")
    assert max(
        n for n in range(first_end) if procedure.steps[n].act == "relieve"
    ) < min(opened)
    assert last < len(procedure.steps)


def test_automatic_drains_are_looked_at_and_only_where_there_are_any():
    assert "5 psi" in step_of(larkmoor_list(), "check D3").text
    assert "utomatic drain" not in words(compiled(small_garden(), air=False))


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        ("filter", "screen"),
        ("injector", "bleach"),
        ("meter", "turbine"),
        ("flow_sensor", "turbine"),
    ],
)
def test_what_air_would_break_is_out_of_the_line_before_it(kind, told):
    procedure = compiled(with_device(kind))
    step = step_of(procedure, "remove X1")
    assert told in " ".join((step.text, step.why, *step.cautions))
    blown = [n for n, each in enumerate(procedure.steps) if each.act == "blow"]
    assert at(procedure, "remove X1") < min(blown)
    assert checked(with_device(kind), procedure).broken == ()


def test_a_meter_that_no_air_reaches_stays():
    assert "remove MT1" not in {step.key for step in larkmoor_list().steps}


def test_tanks_and_vents_are_emptied_where_they_are():
    points = [point("T1", "tank"), point("E1", "vent", 1.0)]
    links = [pipe("PT", "J1", "T1"), pipe("PE", "J1", "E1")]
    procedure = compiled(small_garden((points, links)))
    assert "Empty tank T1" in step_of(procedure, "drain T1").text
    assert "vent E1" in step_of(procedure, "check E1").text
    assert "vent" not in words(compiled(small_garden())).replace("events", "")


def test_an_assembly_is_left_as_entered_and_covered():
    procedure = larkmoor_list()
    assert step_of(procedure, "set B1/shutoff_1").to.startswith("half open")
    second = at(procedure, "set B1/shutoff_2")
    assert second > at(procedure, "disconnect A1")
    assert "unions" in step_of(procedure, "install cover B1").cautions[0]


def test_where_the_entered_position_is_not_the_usual_one_both_sources_stand():
    shut = {"summer": "open", "winter": "closed"}
    half = {"summer": "open", "winter": "half_open"}
    site = with_assembly(
        "PVB",
        shutoff_1=half,
        shutoff_2=shut,
        test_cocks={"count": 2, "winter": "half_open"},
    )
    procedure = compiled(site)
    # It is shut for the air already, and stays so: what it is left at is said there.
    doubts = [
        caution
        for step in procedure.steps
        if step.on == "B1/shutoff_2"
        for caution in step.cautions
    ]
    assert any("entered for this site" in d and "Medford" in d for d in doubts)
    assert checked(site, procedure).broken == ()


def test_a_buried_double_check_has_its_own_custom_and_its_flood_caution():
    procedure = compiled(site_at(CROOK_LANE), air=False)
    doubts = " ".join(step_of(procedure, "open B1/test_cocks").cautions)
    assert "entered for this site" in doubts
    assert "double checks" in doubts
    assert "floods" in doubts


def test_a_position_that_is_not_entered_is_said_to_be_the_usual_one():
    procedure = compiled(with_assembly("RP"))
    doubts = step_of(procedure, "set B1/shutoff_1").cautions
    assert any("No winter position is entered" in doubt for doubt in doubts)


def test_an_atmospheric_breaker_is_drained_not_blown():
    site = with_assembly("AVB")
    procedure = compiled(site)
    assert not [step for step in procedure.steps if step.act == "blow"]
    assert "air in" in step_of(procedure, "check B1").text
    assert [w.about for w in procedure.warnings if w.code == "not_blown"] == [("1",)]


def test_drains_are_left_open_and_named_as_staying_open():
    procedure = larkmoor_list()
    stays = {each.id for each in procedure.stays_open}
    assert {"D0", "D1", "D2"} <= stays
    end = checked(larkmoor(), procedure).end.standing.positions
    assert {end[drain] for drain in ("D0", "D1", "D2")} == {"open"}


def test_lids_tags_and_the_record_come_last():
    procedure = larkmoor_list()
    last = [step.act for step in procedure.steps[-3:]]
    assert last == ["install", "tag", "record"]
    assert "V1 and V2" in procedure.steps[-2].text


def test_the_last_run_and_the_meter_come_before_everything_that_is_turned():
    procedure = larkmoor_list()
    first = next(n for n, step in enumerate(procedure.steps) if step.changes)
    assert at(procedure, "run zones") < at(procedure, "record meter") < first
    plain = compiled(small_garden(), air=False)
    assert "record meter" not in {step.key for step in plain.steps}


def test_sections_that_drain_back_through_their_valve_do_not_count_as_full():
    """Site A, zone 1: its lateral empties to the drain at 97 ft while Z1 stands open."""
    site = site_at(SITE_A)
    graph = build_graph(site)
    procedure = compiled(site, air=False)
    end = checked(site, procedure).end.standing.positions
    levels = levels_after(graph, procedure)(end)
    foot = 0.3048
    # By hand: M4 leaves by the coupler at 98 ft; P1-P2-P3 run back to M5 at 98 ft.
    assert levels["M4"] == pytest.approx(98 * foot)
    assert levels["P2"] == pytest.approx(98 * foot)
    # Shut in behind its checks the zone would keep all its water: 98.5 + 8 ft.
    alone = levels_after(graph, procedure.__class__("shutdown", ()))(end)
    assert alone["P2"] == pytest.approx(106.5 * foot)


def test_every_step_has_its_text_reason_source_and_minutes():
    for step in (*larkmoor_list().steps, *larkmoor_drained().steps):
        assert step.text.endswith((".", ")")), step.key
        assert step.why, step.key
        assert step.source, step.key
        assert step.minutes > 0, step.key
        assert step.block, step.key
