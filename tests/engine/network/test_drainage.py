"""What stays in the pipes: unknown sizes, level pipes, zones, air, sources, notes."""

from collections.abc import Sequence

import pytest

from maintenance.engine.network.drain_report import drained_as_json
from maintenance.engine.network.drain_site import DrainedSite, drain_site
from maintenance.engine.network.drainage import LinkWater
from maintenance.engine.network.zone_parts import zone_of_links
from tests.engine.network.small_sites import (
    Record,
    head,
    joined,
    lateral,
    link,
    main_line,
    pipe,
    point,
    site_of,
    site_record,
    zone_valve,
)


def drained(
    points: list[Record], links: list[Record], zones: Sequence[str] = (), **keys: object
) -> DrainedSite:
    record = site_record(points, links, zones)
    return drain_site(site_of(record), **keys)  # type: ignore[arg-type]


def water(result: DrainedSite, name: str) -> LinkWater:
    return next(each for each in result.drainage.links if each.link == name)


def codes(result: DrainedSite) -> list[str]:
    return [warning.code for warning in result.warnings]


def sag(**keys: object) -> tuple[list[Record], list[Record]]:
    """Return an open end, a dip of 2 m, and an open end: 20 m of pipe hold water."""
    points = [
        point("S", "supply", source="public"),
        point("A", "open_end", 2.0),
        point("B", z_m=0.0),
        point("C", "open_end", 2.0),
    ]
    return points, [pipe("P", "A", "B", 10.0, **keys), pipe("Q", "B", "C", 10.0)]


def test_a_pipe_of_unknown_size_has_a_length_and_no_volume():
    points, links = sag(pipe="unknown plastic", size=None)
    result = drained(points, links)
    unknown = water(result, "P")
    assert unknown.wet_length_m == pytest.approx(10.0)
    assert unknown.wet_volume_m3 is None
    known = water(result, "Q").wet_volume_m3
    assert known is not None
    assert known > 0.0
    assert result.drainage.trapped_m3 == pytest.approx(known), "totals leave it out"
    (warning,) = (w for w in result.warnings if w.code == "unknown_size")
    assert warning.about == ("P",)
    assert "no total counts" in warning.text
    assert "Measure" in warning.text


def test_a_total_of_nothing_but_unknown_sizes_is_unknown_and_not_zero():
    points, links = sag(pipe="unknown", size=None)
    links[1] = {**links[0], "id": "Q", "from": "B", "to": "C"}
    result = drained(points, links)
    assert result.drainage.trapped_m3 is None
    assert result.drainage.trapped_by_zone == {"main": None}
    assert drained_as_json(result)["trapped_m3"] is None
    (best,) = result.next_drains
    assert (best.at, best.empties_m3) == ("B", None)
    assert best.empties_length_m == pytest.approx(20.0)
    assert result.figures["trapped_m3"].text().startswith("unknown")


def test_a_pipe_of_unknown_size_without_water_holds_nothing():
    points, links = sag(pipe="unknown", size=None)
    points[2] = point("B", "drain", 0.0, drain="manual")
    result = drained(points, links)
    assert water(result, "P").wet_volume_m3 == 0.0
    assert "unknown_size" not in codes(result)


def test_a_level_pipe_is_wet_wholly_or_not_at_all_and_warned_of():
    points, links = sag()
    points += [point("E", z_m=0.0), point("F", "open_end", 2.0)]
    links += [pipe("LOW", "B", "E", 5.0), pipe("HIGH", "C", "F", 5.0)]
    result = drained(points, links)
    assert water(result, "LOW").state == "trapped"
    assert water(result, "HIGH").state == "drained"
    (warning,) = (w for w in result.warnings if w.code == "no_slope")
    assert warning.about == ("HIGH",)


def test_a_level_that_rounding_moves_by_a_hair_is_the_same_level():
    """0.1 m + 0.2 m is not 0.3 m in a machine; the pipe at 0.3 m is empty all the same."""
    points = [
        point("S", "supply", source="public"),
        point("A", z_m=0.3),
        head("H", 0.1, nozzle_height="0.2 m"),
        point("C", "open_end", 0.9),
    ]
    links = [
        zone_valve("1", "S", "A"),
        pipe("P", "A", "H", 4.0),
        pipe("Q", "A", "C", 4.0),
    ]
    result = drained(points, links, ["1"])
    assert result.drainage.level_m["A"] > 0.3, "or this test shows nothing"
    assert water(result, "P").state == "trapped"
    assert water(result, "Q").state == "drained"


def test_water_is_told_by_zone_and_the_rest_is_main():
    points, links = joined(
        main_line(2), lateral("1", "J1", (0.5, 0.5)), lateral("2", "J2", (0.0, -0.3))
    )
    result = drained(points, links, ["1", "2"])
    by_zone = result.drainage.trapped_by_zone
    assert set(by_zone) == {"1", "2", "main"}
    for zone, volume in by_zone.items():
        pipes = [
            each.wet_volume_m3 or 0.0
            for each in result.drainage.links
            if each.link.startswith({"1": "P1", "2": "P2", "main": "M"}[zone])
        ]
        assert volume == pytest.approx(sum(pipes))
    known = [volume for volume in by_zone.values() if volume is not None]
    assert result.drainage.trapped_m3 == pytest.approx(sum(known))


def test_a_check_lets_air_through_only_forward():
    """A cock on one side, an open drain on the other; the check is all that parts them."""
    for forward, state in ((True, "drained"), (False, "air_locked")):
        points = [
            point("S", "supply", source="public"),
            point("T", "test_cock", 5.0),
            point("A", z_m=4.0),
            point("B", z_m=3.0),
            point("D", "drain", 2.0, drain="manual"),
        ]
        ends = ("A", "B") if forward else ("B", "A")
        links = [
            pipe("UP", "T", "A", 9.0),
            link("C", "check_valve", *ends),
            pipe("DOWN", "B", "D", 9.0),
        ]
        assert water(drained(points, links), "DOWN").state == state


def test_an_air_lock_names_its_highest_point_and_its_pipes():
    points = [
        point("S", "supply", source="public"),
        point("A", z_m=3.0),
        point("B", "quick_coupler", 6.0),
        point("D", "drain", 0.0, drain="manual"),
    ]
    links = [pipe("P", "A", "D", 9.0), pipe("Q", "A", "B", 7.0)]
    result = drained(points, links)
    (lock,) = result.air_locks
    assert lock.highest == "B"
    assert lock.length_m == pytest.approx(16.0)
    assert set(lock.links) == {"P", "Q"}
    (warning,) = (w for w in result.warnings if w.code == "air_locked")
    assert "open something at B" in warning.text
    assert drained(points, links, opens=["B"]).air_locks == ()


def test_air_locked_water_is_not_trapped_water():
    points = [
        point("S", "supply", source="public"),
        point("A", z_m=3.0),
        point("D", "drain", 0.0, drain="manual"),
    ]
    result = drained(points, [pipe("P", "A", "D", 9.0)])
    assert result.drainage.trapped_m3 == 0.0
    assert result.drainage.air_locked_length_m == pytest.approx(9.0)


def fed(winter: str) -> DrainedSite:
    points = [
        point("S", "supply", 0.0, source="public"),
        point("HOUSE", "other_use", 1.0, what="house"),
        point("K", z_m=-1.0),
        point("J", z_m=-2.0),
        point("D", "drain", -3.0, drain="manual"),
    ]
    links = [
        pipe("SERVICE", "S", "K", 8.0),
        pipe("TAP", "K", "HOUSE", 8.0),
        link("V", "isolation_valve", "K", "J", winter=winter),
        pipe("P", "J", "D", 9.0),
    ]
    return drained(points, links)


def test_what_a_source_or_a_house_keeps_is_said_and_gets_no_drain():
    result = fed("closed")
    assert water(result, "SERVICE").state == "trapped"
    assert water(result, "TAP").state == "trapped"
    assert result.next_drains == ()
    (kept,) = (w for w in result.warnings if w.code == "kept")
    assert kept.about == ("SERVICE", "TAP")
    assert "source_open" not in codes(result)


def test_a_source_that_no_shut_valve_parts_is_warned_of():
    result = fed("open")
    (warning,) = (w for w in result.warnings if w.code == "source_open")
    assert warning.about == ("S",)


def test_water_without_any_way_out_has_no_level():
    points, links = main_line(2)
    result = drained(points, links)
    assert result.drainage.level_m["J2"] == float("inf")
    shown = {p["point"]: p["spill_level_m"] for p in _points(result)}
    assert shown["J2"] is None
    (warning,) = (w for w in result.warnings if w.code == "no_way_out")
    assert warning.about == ("M1", "M2")


def _points(result: DrainedSite) -> list[dict[str, object]]:
    found = drained_as_json(result)["points"]
    assert isinstance(found, list)
    return found


def test_gaps_in_the_record_are_named_with_what_was_taken():
    points, links = joined(main_line(1), lateral("1", "J1"))
    points[-1].pop("nozzle_height")
    points += [point("D", "drain", -1.0, drain="automatic"), point("E")]
    links += [
        pipe("X", "J1", "D", 4.0),
        link("C", "check_valve", "J1", "E"),
        link("V", "isolation_valve", "J1", "E", type="stop_and_waste"),
    ]
    result = drained(points, links, ["1"])
    about = {warning.code: warning.about for warning in result.warnings}
    assert about["missing_nozzle_height"] == ("H1.3",)
    assert about["missing_opens_below"] == ("D",)
    assert about["missing_holds"] == ("C",)
    assert about["missing_winter"] == ("V",)
    assert about["waste_not_counted"] == ("V",)
    assert result.drainage.level_m["D"] == float("inf"), "an unknown drain stays shut"


def test_a_shut_automatic_drain_lets_no_air_in():
    """The head over D is 5 m until the cap at A comes off; D opens under 1 m."""
    points = [
        point("S", "supply", source="public"),
        point("A", "end", 0.5),
        point("B", z_m=5.0),
        point("D", "drain", 0.0, drain="automatic", opens_below="9.8 kPa",
              admits_air=True),
    ]  # fmt: skip
    links = [pipe("P", "B", "D", 9.0), pipe("Q", "D", "A", 9.0)]
    shut, opened = drained(points, links), drained(points, links, opens=["A"])
    assert shut.drainage.opened == ()
    assert shut.drainage.aired == frozenset()
    assert opened.drainage.opened == ("D",)
    assert opened.drainage.aired == {"A", "B", "D"}


def test_a_zone_ends_at_a_supply():
    points, links = lateral("1", "S")
    points.insert(0, point("S", "supply", source="public"))
    points += [point("S2", "supply", source="well"), point("X", z_m=-1.0)]
    links += [pipe("IN", "L1", "S2"), pipe("OTHER", "S2", "X")]
    result = drained(points, links, ["1"])
    zones = zone_of_links(result.graph)
    assert zones["IN"] == zones["P1.3"] == "1"
    assert "OTHER" not in zones


def test_an_anti_siphon_valve_lets_air_in_at_its_outlet():
    for anti_siphon, state in ((True, "drained"), (False, "air_locked")):
        points = [
            point("S", "supply", source="public"),
            point("L", z_m=3.0),
            point("D", "drain", 0.0, drain="manual"),
        ]
        links = [
            zone_valve("1", "S", "L", anti_siphon=anti_siphon),
            pipe("P", "L", "D", 9.0),
        ]
        assert water(drained(points, links, ["1"]), "P").state == state
