"""When no flow of a zone is given, and what is said of one that is."""

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.network.zone_flow import zone_flow
from tests.engine.network.running_zone import (
    CLOSED,
    GPM,
    Parts,
    changed,
    codes,
    flow_of,
    garden,
    gpm,
    source,
    through,
)
from tests.engine.network.small_sites import (
    Record,
    head,
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)


@pytest.mark.parametrize(
    ("id_", "keys", "code", "key"),
    [
        ("S", {"static_pressure": None}, "missing_pressure", "S.static_pressure"),
        ("M", {"pipe": "unknown plastic", "size": None}, "missing_size", "M.size"),
        (
            "P1.2",
            {"pipe": "unknown plastic", "size": None},
            "missing_size",
            "P1.2.size",
        ),
        ("H1.2", {"flow": None, "at_pressure": None}, "missing_flow", "H1.2"),
        ("H1.3", {"flow": "0 gpm"}, "missing_flow", "H1.3"),
    ],
)
def test_an_unknown_gives_no_flow_but_what_to_measure(id_, keys, code, key):
    record = changed(garden(), id_, **keys)
    found = flow_of(record)
    assert codes(found) == [code]
    assert key in found.missing[0].text
    assert found.missing[0].about == (id_,)


def test_all_that_is_missing_is_said_at_once():
    record = changed(garden(), "M", pipe="unknown PVC", size=None)
    record = changed(record, "S", static_pressure=None)
    record = changed(record, "H1.1", flow=None, at_pressure=None)
    expected = ["missing_pressure", "missing_size", "missing_flow"]
    assert codes(flow_of(record)) == expected


def test_an_unknown_off_the_way_of_the_water_is_not_asked_for():
    other: Parts = ([point("X")], [pipe("MX", "J", "X", pipe="unknown", size=None)])
    record = garden(other, lateral("2", "X", pipe="unknown", size=None))
    record["zones"].append({"id": "2", "name": "Zone 2", "valve": "V2"})
    assert gpm(record) == pytest.approx(gpm(garden()), rel=1e-9)


def test_a_regulator_without_its_pressure_gives_no_flow():
    record = through(link("R", "pressure_regulator", "J", "Z"), points=())
    assert codes(flow_of(record)) == ["missing_outlet_pressure"]


def test_a_pump_without_its_pressure_gives_no_flow_and_is_not_run_shut():
    well = source(source="well", psi=None)
    pumped: Parts = (
        [well, point("W"), point("J")],
        [link("PU", "pump", "S", "W", flow="9 gpm"), pipe("M", "W", "J", 12.0)],
    )
    found = flow_of(site_record(*joined(pumped, lateral("1", "J")), ["1"]))
    assert codes(found) == ["missing_pressure"]
    assert "PU.shutoff_pressure" in found.missing[0].text
    assert "Do not run the pump against a shut valve" in found.missing[0].text


def test_unknown_valves_and_sources_are_refused_with_the_nearest_name():
    graph = build_graph(site_of(garden()))
    with pytest.raises(InputError, match=r'"V11".*did you mean "V1"'):
        zone_flow(graph, "V11")
    with pytest.raises(InputError, match="no zone valve"):
        zone_flow(graph, "M")
    with pytest.raises(InputError, match='no source is called "J"'):
        zone_flow(graph, "V1", source="J")


@pytest.mark.parametrize(
    "part",
    [
        link("VS", "isolation_valve", "J", "Z", **CLOSED),
        link("C", "check_valve", "Z", "J"),
        link("B", "backflow", "Z", "J", device="RP"),
        link("B", "backflow", "J", "Z", device="RP", shutoff_2=CLOSED),
        link("B", "backflow", "J", "Z", device="AG"),
        link("R", "relief_valve", "J", "Z"),
    ],
)
def test_no_water_comes_through_what_is_shut_or_turned_the_other_way(part):
    found = flow_of(through(part, points=()))
    assert codes(found) == ["no_water"]
    assert ("VS" in found.missing[0].text) == (part["id"] == "VS")


def test_a_named_source_that_does_not_reach_the_zone_gives_no_flow():
    shut = link("VX", "isolation_valve", "S2", "J", **CLOSED)
    record = garden(([source("S2", 80.0)], [shut]))
    assert flow_of(record).source == "S"
    found = flow_of(record, source="S2")
    assert codes(found) == ["no_water"]
    assert found.missing[0].text.endswith("; S does.")


@pytest.mark.parametrize(
    ("part", "named"),
    [
        (link("B", "backflow", "J", "Z", device="RP"), "The loss in B is"),
        (link("B", "meter", "J", "Z"), "The loss in B is"),
        (link("B", "filter", "J", "Z"), "The loss in B is"),
        (link("B", "check_valve", "J", "Z"), "The loss in B is"),
        (
            link("B", "isolation_valve", "J", "Z", summer="half_open"),
            "The loss in B is",
        ),
        (pipe("B", "J", "Z", 0.01, pipe="unknown PVC"), "B: pipe not known"),
    ],
)
def test_a_part_whose_loss_nobody_knows_makes_the_flow_at_most(part, named):
    found = flow_of(through(part, points=()))
    assert found.at_most
    assert found.assumptions[0].startswith(named)
    assert found.flow_m3_per_s == pytest.approx(gpm(garden()) * GPM, rel=1e-3)


def test_a_zone_valve_without_its_coefficient_makes_the_flow_at_most():
    known, unknown = flow_of(garden()), flow_of(garden(valve_cv=None))
    assert unknown.at_most
    assert unknown.flow_m3_per_s is not None
    assert known.flow_m3_per_s is not None
    assert unknown.flow_m3_per_s > known.flow_m3_per_s


def test_a_source_of_unknown_flow_makes_the_flow_at_most():
    found = flow_of(garden(supply=source(flow=None)))
    assert found.at_most
    assert "How much S can give" in found.assumptions[0]


def test_what_is_assumed_is_said():
    house = {"what": "house"}
    use: Parts = (
        [{**point("HOUSE", "other_use"), **house}],
        [pipe("PH", "J", "HOUSE")],
    )
    plain = through(link("V", "isolation_valve", "J", "Z"), points=())
    said = " ".join(flow_of(plain).assumptions)
    assert "V: no summer position recorded, taken as open" in said
    said = " ".join(flow_of(garden(use)).assumptions)
    assert "HOUSE: taken to draw nothing" in said
    assert "nozzle" not in said
    assert "nozzle" in " ".join(flow_of(garden(head_nozzle_height=None)).assumptions)
    quick = {
        "pipe": "PVC Sch 40",
        "size": "1",
        "length": "30 m",
        "heads": 4,
        "head": "spray",
        "flow": "2 gpm",
        "at_pressure": "30 psi",
        "from": "S",
    }
    record = site_record([source()], [], [])
    record["zones"] = [{"id": "1", "quick": quick}]
    found = zone_flow(build_graph(site_of(record)), "1.v")
    assert "The layout of the zone is assumed" in " ".join(found.assumptions)


def test_a_zone_without_heads_gives_no_flow():
    end = head("H9", 0.0)
    other: Parts = ([end], [pipe("P9", "Z", "H9")])
    main: Parts = ([source(), point("J")], [pipe("M", "S", "J", 12.0)])
    shut = link("VZ", "isolation_valve", "L", "Z", **CLOSED)
    valve: Parts = ([point("L"), point("Z")], [{**_valve(), "to": "L"}, shut])
    found = flow_of(site_record(*joined(main, valve, other), ["1"]))
    assert codes(found) == ["no_head"]


def _valve() -> Record:
    return link("V1", "zone_valve", "J", "L", zone="1", cv=20)
