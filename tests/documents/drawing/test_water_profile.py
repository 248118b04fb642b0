"""The profile of the water: wet runs to scale, levels, the ground and the frost."""

import re

import pytest

from maintenance.documents.drawing.water_profile import water_profile_svg
from maintenance.documents.left_profile import water_line, ways_of, wettest
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import water_left
from tests.documents.drawing.checks import SVG, hold_rules, marks
from tests.documents.drawing.sites import random_net
from tests.documents.water import larkmoor_left, left_of
from tests.engine.network.small_sites import pipe, point, site_record


def way(left, key):
    return next(each for each in ways_of(left.graph) if each.key == key)


def dip(**keys):
    """Return a line that falls 2 m over 10 m and climbs 4 m over 20 m."""
    points = [
        point("A", "blowout_port", 2.0),
        point("E", "open_end", 2.0),
        point("B", z_m=0.0),
        point("C", "open_end", 4.0),
    ]
    return site_record(
        points,
        [
            pipe("PE", "A", "E", 1.0),
            pipe("P", "E", "B", 10.0, **keys),
            pipe("Q", "B", "C", 20.0, **keys),
        ],
    )


@pytest.mark.parametrize(("done", "system"), [(None, "us"), ((), "si")])
def test_labels_are_disjoint_and_inside_on_every_line_of_larkmoor(done, system):
    left = larkmoor_left(done, frost_depth_m=0.4)
    ways = ways_of(left.graph)
    assert [each.key for each in ways[:3]] == ["main:A1", "main:A2", "zone:1"]
    assert len(ways) == 2 + 30
    for each in ways:
        drawing = water_profile_svg(water_line(left, each, system), system=system)
        assert drawing is not None, each.key
        hold_rules(drawing, "water-profile")


@pytest.mark.parametrize("seed", range(6))
def test_labels_are_disjoint_and_inside_on_random_nets(seed):
    left = water_left(build_graph(random_net(seed, "all")), {})
    for each in ways_of(left.graph)[:3]:
        drawing = water_profile_svg(water_line(left, each, "us"), system="us")
        if drawing is not None:
            hold_rules(drawing, "water-profile")


def test_a_line_runs_from_its_port_over_its_own_valve_to_the_farthest_head():
    left = larkmoor_left()
    zone = way(left, "zone:15")
    line = water_line(left, zone, "us")
    assert line.stations[0].point == "A1"
    assert "Z15" in zone.links
    assert {link for link in zone.links if link.startswith("Z")} == {"Z15"}
    assert line.stations[-1].label.startswith("head H15")
    lengths = [left.graph.bores[reach.link].length_m for reach in line.reaches]
    assert line.stations[-1].distance_m == pytest.approx(sum(lengths))
    assert wettest(left, ways_of(left.graph)) is not None


def test_no_line_goes_through_a_valve_that_summer_keeps_shut():
    left = larkmoor_left()
    shut = {
        link.id
        for link in left.graph.links.values()
        if getattr(link, "summer", None) == "closed"
    }
    assert shut
    for each in ways_of(left.graph):
        assert shut.isdisjoint(each.links)


def test_a_site_without_a_port_begins_at_its_source():
    points = [point("S", "supply", source="well"), point("D", "end", -3.0)]
    left = left_of(site_record(points, [pipe("P", "S", "D", 30.0)]))
    (main,) = ways_of(left.graph)
    assert (main.key, main.start, main.links) == ("main:S", "S", ("P",))


def test_the_wet_run_is_to_scale_and_its_level_is_level():
    left = left_of(dip())
    drawing = water_profile_svg(
        water_line(left, way(left, "main:A"), "si"), system="si"
    )
    assert drawing is not None
    root = hold_rules(drawing, "water-profile")
    # Water stands to 2 m: all of P, and 10 of the 20 m of Q.
    runs = {
        link: xs_of(path.get("d"))
        for link in ("P", "Q")
        for path in marks(root)[link].iter(f"{SVG}path")
        if path.get("stroke-width") == "7"
    }
    wide = max(runs["P"]) - min(runs["P"])
    assert max(runs["Q"]) - min(runs["Q"]) == pytest.approx(wide, abs=0.5)
    ground = next(g for g in root.iter(f"{SVG}g") if g.get("class") == "drawing-ground")
    (level,) = [p for p in ground if p.get("stroke-dasharray") == "9 4"]
    ys = [float(xy.split()[1]) for xy in re.split("[ML]", level.get("d") or "")[1:]]
    assert ys[0] == ys[1]
    assert xs_of(level.get("d")) == pytest.approx(
        [min(runs["P"]), max(runs["Q"])], abs=0.5
    )


def xs_of(path):
    return [float(xy.split()[0]) for xy in re.split("[ML]", path or "")[1:]]


def test_ground_and_frost_are_drawn_where_the_depth_is_known():
    def dashes(left):
        line = water_line(left, way(left, "main:A"), "us")
        drawing = water_profile_svg(line, system="us")
        assert drawing is not None
        return [line.text for line in drawing.key], drawing.svg.count("10 3 1.6 3")

    key, frost = dashes(left_of(dip()))
    assert not [text for text in key if "ground" in text]
    key, frost = dashes(left_of(dip(depth="0.5 m")))
    assert any("the ground" in text for text in key)
    assert frost == 0
    key, frost = dashes(left_of(dip(depth="0.5 m"), frost_depth_m=0.8))
    assert any("how deep the frost goes" in text for text in key)
    assert frost == 2
    key, frost = dashes(left_of(dip(placement="above_ground", depth="0.5 m")))
    assert any("above ground" in text for text in key)
    assert not any("the ground, where" in text for text in key)


def test_the_table_has_a_row_for_every_station_and_pipe():
    left = larkmoor_left()
    line = water_line(left, way(left, "zone:15"), "us")
    drawing = water_profile_svg(line, system="us")
    assert drawing is not None
    parts = [row[0] for row in drawing.rows]
    assert parts[0] == "A1"
    assert [p for p in parts if p in {r.link for r in line.reaches}] == [
        reach.link for reach in line.reaches
    ]
    row = next(row for row in drawing.rows if row[0] == "P15-2")
    assert row[drawing.columns.index("State")] == "water in part"
    assert row[drawing.columns.index("Water, gal")] == "1.2"


def test_a_pool_whose_low_point_is_off_the_line_is_told_on_it():
    left = larkmoor_left(())
    pools = dict(water_line(left, way(left, "zone:19"), "us").pools)
    assert any(words.startswith("38.8 gal") for words in pools.values())
