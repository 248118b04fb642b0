"""How every kind of part stands in winter, and what opening and shutting it does."""

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.network.drain_site import DrainedSite, drain_site
from maintenance.engine.network.graph import build_graph
from maintenance.engine.network.openings import Opening, find_openings
from maintenance.engine.network.passages import BOTH_WAYS, SHUT, Passage, find_passages
from maintenance.engine.network.positions import changed_positions, winter_positions
from tests.engine.network.small_sites import (
    Record,
    head,
    link,
    pipe,
    point,
    site_of,
    site_record,
    zone_valve,
)

OPEN, HALF, CLOSED = (
    {"winter": position} for position in ("open", "half_open", "closed")
)


def two_points(part: Record) -> Record:
    """Return a supply and a line that has one part in it."""
    return site_record(
        [point("S", "supply", source="well"), point("J", z_m=1.0), point("K", z_m=1.0)],
        [part],
        [part["zone"]] if "zone" in part else (),
    )


def passage(part: Record, *, opens: bool = False, shuts: bool = False) -> Passage:
    graph = build_graph(site_of(two_points(part)))
    ids = (part["id"],)
    positions = changed_positions(
        graph,
        winter_positions(graph),
        opens=ids if opens else (),
        shuts=ids if shuts else (),
    )
    return find_passages(graph, positions)[part["id"]]


@pytest.mark.parametrize(
    ("kind", "keys", "expected"),
    [
        ("isolation_valve", CLOSED, SHUT),
        ("isolation_valve", OPEN, BOTH_WAYS),
        ("isolation_valve", HALF, BOTH_WAYS),
        ("isolation_valve", {}, SHUT),
        ("check_valve", {"holds": "0.5 m"}, Passage(0.5, None)),
        ("check_valve", {}, Passage(0.0, None)),
        ("pump", {}, SHUT),
        ("pump", {"drains_back": "unknown"}, SHUT),
        ("pump", {"drains_back": "yes"}, Passage(None, 0.0)),
        ("master_valve", {}, SHUT),
        ("relief_valve", {}, SHUT),
        ("backflow", {"device": "RP", "shutoff_1": OPEN, "shutoff_2": OPEN}, SHUT),
        ("meter", {}, BOTH_WAYS),
        ("filter", {}, BOTH_WAYS),
        ("fitting", {}, BOTH_WAYS),
    ],
)
def test_links_pass_in_winter_as_their_kind_does(
    kind: str, keys: Record, expected: Passage
):
    assert passage(link("X", kind, "J", "K", **keys)) == expected


def test_a_zone_valve_is_shut_in_winter():
    assert passage(zone_valve("1", "J", "K")) == SHUT


@pytest.mark.parametrize(
    "part",
    [
        link("X", "isolation_valve", "J", "K", winter="closed"),
        link("X", "check_valve", "J", "K", holds="2 m"),
        link("X", "pump", "J", "K"),
        link("X", "master_valve", "J", "K"),
        zone_valve("1", "J", "K"),
    ],
    ids=lambda part: part["kind"],
)
def test_an_opened_valve_or_pump_passes_both_ways_and_a_shut_one_nothing(part: Record):
    assert passage(part, opens=True) == BOTH_WAYS
    assert passage(part, shuts=True) == SHUT


def openings(
    part: Record, *, opens: bool = False, shuts: bool = False
) -> list[Opening]:
    """Return the openings at a point that hangs on a pipe behind a zone valve."""
    graph = build_graph(
        site_of(
            site_record(
                [point("S", "supply", source="public"), point("J"), part],
                [zone_valve("1", "S", "J"), pipe("P", "J", part["id"], 9.0)],
                ["1"],
            )
        )
    )
    ids = (part["id"],)
    positions = changed_positions(
        graph,
        winter_positions(graph),
        opens=ids if opens else (),
        shuts=ids if shuts else (),
    )
    return list(find_openings(graph, positions))


WITH_AIR = [Opening("X", 1.0, admits_air=True)]
WITHOUT_AIR = [Opening("X", 1.0)]


@pytest.mark.parametrize(
    ("part", "in_winter", "opened"),
    [
        (point("X", "drain", 1.0, drain="manual"), WITHOUT_AIR, WITHOUT_AIR),
        (
            point("X", "drain", 1.0, drain="manual", admits_air=True),
            WITH_AIR,
            WITH_AIR,
        ),
        (point("X", "test_cock", 1.0), WITH_AIR, WITH_AIR),
        (point("X", "open_end", 1.0), WITH_AIR, WITH_AIR),
        (point("X", "quick_coupler", 1.0), [], WITH_AIR),
        (point("X", "end", 1.0), [], WITH_AIR),
        (point("X", "hydrant", 1.0), [], WITH_AIR),
        (point("X", "tank", 1.0), [], WITH_AIR),
        (point("X", "blowout_port", 1.0), [], WITH_AIR),
        (
            point("X", "vent", 1.0),
            [Opening("X", 1.0, admits_air=True, passes_water=False)],
            WITH_AIR,
        ),
        (
            head("X", 1.0),
            [Opening("X", 1.15, admits_air=True)],
            [Opening("X", 1.15, admits_air=True)],
        ),
        (
            head("X", 1.0, check_valve="2 m"),
            [Opening("X", 1.15, holds_m=2.0)],
            [Opening("X", 1.15, admits_air=True)],
        ),
        (point("X", "drain", 1.0, drain="automatic"), [], WITHOUT_AIR),
    ],
    ids=lambda value: value["kind"] if isinstance(value, dict) else "",
)
def test_points_open_as_their_kind_does(
    part: Record, in_winter: list[Opening], opened: list[Opening]
):
    assert openings(part) == in_winter
    assert openings(part, opens=True) == opened
    assert openings(part, shuts=True) == []


def test_an_automatic_drain_waits_for_the_head_that_its_pressure_is():
    (found,) = openings(
        point("X", "drain", 1.0, drain="automatic", opens_below="9.80665 kPa")
    )
    assert found.opens_below_m == pytest.approx(1.0)


def assembly(device: str, **keys: object) -> list[Opening]:
    part = link("B", "backflow", "J", "K", device=device, **keys)
    graph = build_graph(site_of(two_points(part)))
    return list(find_openings(graph, winter_positions(graph)))


def test_an_assembly_left_half_open_is_open_on_both_its_sides():
    cocks = {"count": 4, "winter": "half_open"}
    found = assembly("RP", shutoff_1=HALF, shutoff_2=HALF, test_cocks=cocks)
    assert found == [
        Opening("J", 1.0, admits_air=True),
        Opening("K", 1.0, admits_air=True),
    ]
    behind = assembly("RP", shutoff_1=CLOSED, shutoff_2=HALF, test_cocks=cocks)
    assert [each.point for each in behind] == ["K"]
    assert assembly("RP", shutoff_1=HALF, shutoff_2=HALF) == []


def test_a_vacuum_breaker_lets_air_in_behind_it_but_no_water_out():
    air = [Opening("K", 1.0, admits_air=True, passes_water=False)]
    assert assembly("AVB") == air
    assert assembly("PVB", shutoff_2=HALF) == air
    assert assembly("PVB", shutoff_2=CLOSED) == []
    assert assembly("PVB") == [], "an unknown shut-off counts as closed"
    assert assembly("DC", shutoff_2=HALF) == []


def test_what_runs_back_through_a_pump_leaves_by_the_well_and_not_into_a_public_main():
    for source, way_out in (("well", True), ("public", False)):
        record = site_record(
            [point("S", "supply", -5.0, source=source), point("J", z_m=1.0)],
            [link("PU", "pump", "S", "J", drains_back="yes")],
        )
        level = drain_site(site_of(record)).drainage.level_m["J"]
        assert (level == 1.0) is way_out


def small(**keys: object) -> DrainedSite:
    points = [point("S", "supply", source="public"), point("J"), point("K")]
    links = [
        link("V", "isolation_valve", "S", "J", winter="closed"),
        pipe("P", "J", "K", 9.0),
        link(
            "B",
            "backflow",
            "J",
            "K",
            device="DC",
            test_cocks={"count": 4},
            shutoff_1={},
            shutoff_2={},
        ),
    ]
    return drain_site(site_of(site_record(points, links)), **keys)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        ({"opens": ["Q"]}, '"Q" cannot be opened: no part of this site has that id'),
        ({"shuts": ["Q"]}, '"Q" cannot be shut: no part of this site has that id'),
        ({"opens": ["P"]}, '"P" cannot be opened: it is a part of kind pipe'),
        ({"opens": ["J"]}, '"J" cannot be opened: it is a part of kind junction'),
        ({"shuts": ["S"]}, '"S" cannot be shut: it is a part of kind supply'),
        ({"opens": ["V"], "shuts": ["V"]}, '"V" cannot be open and shut at once'),
        ({"opens": ["B"], "shuts": ["B/shutoff_1"]}, "cannot be open and shut at once"),
        ({"opens": ["B/shutof_1"]}, 'did you mean "B/shutoff_1"'),
    ],
)
def test_what_cannot_be_opened_or_shut_is_refused_in_one_sentence(
    keys: Record, sentence: str
):
    with pytest.raises(InputError) as refusal:
        small(**keys)
    assert sentence in refusal.value.text
    assert "\n" not in refusal.value.text


def test_an_assembly_opens_whole_or_part_by_part():
    whole = small(opens=["B"])
    parts = small(opens=["B/shutoff_1", "B/shutoff_2", "B/test_cocks"])
    assert whole.positions == parts.positions
    assert whole.drainage.level_m["J"] == 0.0
    assert small().drainage.level_m["J"] == float("inf")


def test_an_id_may_be_named_twice_on_one_side():
    assert small(opens=["V", "V"]).positions["V"] == "open"
