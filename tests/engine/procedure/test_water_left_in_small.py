"""Small sites for one rule of the map at a time: sizes, depths, positions, the JSON."""

import json
from typing import Any

import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.errors import InputError
from maintenance.engine.network.drain_report import drained_as_json
from maintenance.engine.network.drain_site import drain_site
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft, water_left
from maintenance.engine.procedure.water_left_report import water_left_as_json
from tests.engine.network.small_sites import (
    Record,
    compressor_of,
    joined,
    lateral,
    link,
    machine_record,
    main_line,
    pipe,
    point,
    site_of,
    site_record,
)


def garden(**keys: Any) -> Record:
    """Return one zone with a dip: heads at 0, -1 and 0 m."""
    points, links = joined(main_line(1), lateral("1", "J1", (0.0, 1.0, -1.0), **keys))
    return site_record(points, links, ["1"])


def left_of(record: Record, *, blown: bool = False, **keys: Any) -> WaterLeft:
    site = site_of(record)
    if blown:
        machine = compressor_of(machine_record(185.0, 30.0))
        keys["sheet"] = make_sheet(site, machine)
    return water_left(build_graph(site), {}, **keys)


def link_of(left: WaterLeft, name: str) -> LinkLeft:
    return next(each for each in left.links if each.link == name)


def sag(*, end: str = "open_end", **keys: Any) -> Record:
    points = [
        point("S", "supply", source="public"),
        point("A", end, 2.0),
        point("B", z_m=0.0),
        point("C", "open_end", 2.0),
    ]
    return site_record(points, [pipe("P", "A", "B", **keys), pipe("Q", "B", "C")])


def test_a_pipe_of_unknown_size_has_water_of_unknown_volume_blown_or_not() -> None:
    record = garden(pipe="unknown plastic", size=None)
    for blown in (False, True):
        left = left_of(record, blown=blown)
        wet = link_of(left, "P1.2")
        assert wet.state in ("trapped", "partly")
        assert wet.wet_length_m > 0.0
        assert wet.wet_volume_m3 is None
        assert left.trapped_by_zone["1"] is None
        assert next(p for p in left.places if "P1.2" in p.links).volume_m3 is None
    assert "row_not_worked_out" in {warning.code for warning in left.warnings}
    assert water_left_as_json(left)["trapped_by_zone"]["1"] is None  # type: ignore[index]


def test_a_blown_dip_holds_no_pool_of_gravity() -> None:
    gravity, blown = left_of(garden()), left_of(garden(), blown=True)
    assert link_of(gravity, "P1.2").state in ("trapped", "partly")
    assert link_of(blown, "P1.2").state == "blown"
    assert link_of(blown, "P1.2").why.startswith("Blown (Zone 1)")
    assert (blown.trapped_by_zone["1"] or 0) < 0.5 * (gravity.trapped_by_zone["1"] or 0)


@pytest.mark.parametrize(
    ("depth", "frost_m", "below"),
    [
        ("36 in", 0.8, True),
        ("36 in", 0.9144, False),
        ("36 in", None, None),
        (None, 0.8, None),
        ("12 in", 0.8, False),
    ],
)
def test_below_frost_depth_is_true_false_or_not_known(
    depth: str | None, frost_m: float | None, below: bool | None
) -> None:
    left = left_of(sag(depth=depth), frost_depth_m=frost_m)
    assert link_of(left, "P").below_frost_depth is below
    assert link_of(left, "P").state == "trapped"
    deep = link_of(left, "P").wet_volume_m3 if below else 0.0
    assert left.below_frost_m3 == pytest.approx(deep)


@pytest.mark.parametrize("placement", ["above_ground", "indoors"])
def test_what_is_not_buried_lies_below_no_frost_depth(placement: str) -> None:
    for frost_m in (None, 0.1):
        left = left_of(sag(placement=placement, depth="3 ft"), frost_depth_m=frost_m)
        assert link_of(left, "P").below_frost_depth is False
        assert link_of(left, "P").placement == placement


@pytest.mark.parametrize("frost_m", [-0.1, float("nan"), float("inf"), 11.0])
def test_a_frost_depth_that_is_none_is_refused(frost_m: float) -> None:
    with pytest.raises(InputError, match="give 0 to 10 m, or leave it out"):
        left_of(sag(), frost_depth_m=frost_m)


def test_a_closed_opening_is_what_the_list_says_at_its_end() -> None:
    graph = build_graph(site_of(sag()))
    open_, shut = water_left(graph, {}), water_left(graph, {"A": "closed"})
    assert link_of(open_, "P").why == (
        "Its low end B lies 6.6 ft below the lowest way out."
    )
    assert link_of(shut, "P").air_locked_length_m == 0.0
    both = water_left(graph, {"A": "closed", "C": "closed"})
    assert link_of(both, "P").why == "No opening lets its water out."
    assert "no_way_out" in {warning.code for warning in both.warnings}


def assembly(**keys: Any) -> Record:
    """Return an assembly over a line that runs down from its test cocks to a plug."""
    points = [
        point("S", "supply", source="public"),
        point("IN", z_m=1.0),
        point("OUT", z_m=1.0),
        point("E", "end", -1.0),
        point("F", "open_end", 3.0),
    ]
    links = [
        pipe("UP", "S", "IN"),
        link("B", "backflow", "IN", "OUT", device="RP", size="1", **keys),
        pipe("DOWN", "OUT", "E"),
        pipe("RISE", "OUT", "F"),
    ]
    return site_record(points, links)


def test_parts_without_a_recorded_winter_stand_as_the_list_leaves_them() -> None:
    left = left_of(assembly())
    drained = drain_site(site_of(assembly()))
    assert left.drainage.level_m["OUT"] == pytest.approx(1.0), "half-open cocks let out"
    assert drained.drainage.level_m["OUT"] == pytest.approx(3.0), "closed: over F only"
    (warning,) = [w for w in left.warnings if w.code == "left_as_listed"]
    assert warning.about == ("B",)
    shut = {"winter": "closed"}
    recorded = left_of(
        assembly(shutoff_1=shut, shutoff_2=shut, test_cocks={"count": 4, **shut})
    )
    assert recorded.drainage.level_m["OUT"] == pytest.approx(3.0)
    assert "left_as_listed" not in {warning.code for warning in recorded.warnings}


def test_the_json_is_the_object_of_drain_with_the_frost_depth_besides() -> None:
    site = site_of(garden())
    record = json.loads(
        json.dumps(water_left_as_json(left_of(garden(), blown=True)), allow_nan=False)
    )
    contract = drained_as_json(drain_site(site))
    assert set(record) == set(contract) - {"format"}
    links, first = record["links"], contract["links"]
    assert isinstance(first, list)
    assert set(first[0]) | {"below_frost_depth"} <= set(links[0])
    assert [each["link"] for each in links] == [each.id for each in site.links]
    assert {each["state"] for each in links} <= {
        *("trapped", "partly", "air_locked", "drained", "blown")
    }
    assert "blown" in {each["state"] for each in links}
    assert [p["point"] for p in record["points"]] == [p.id for p in site.points]
    assert record["trapped_m3"] == pytest.approx(
        sum(each["wet_volume_m3"] for each in links)
    )
    assert "trapped_m3" in record["figures"]
