"""The plan as a map of water: state in line and word, drops where water stands."""

import math
import re
from itertools import pairwise

import pytest

from maintenance.documents.drawing.graph import graph_of
from maintenance.documents.drawing.water_lines import MEANINGS, WATER, run_of, water_key
from maintenance.documents.drawing.water_map import map_symbols, water_map_svg
from maintenance.documents.water_words import STATES, standing_places
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import water_left
from tests.documents.drawing.checks import SVG, hold_rules, marks
from tests.documents.drawing.sites import hillside, random_net, site_of
from tests.documents.water import larkmoor_left, left_of
from tests.engine.network.small_sites import pipe, point, site_record


def left_on(site):
    return water_left(build_graph(site), {})


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("done", [None, (), ("main:E1", "main:Q2", "13")])
def test_labels_are_disjoint_and_inside_on_larkmoor(done, system):
    left = larkmoor_left(done, frost_depth_m=0.4)
    hold_rules(water_map_svg(left, system=system), "water-map")


@pytest.mark.parametrize("known", ["all", "some", "none"])
@pytest.mark.parametrize("seed", range(4))
def test_labels_are_disjoint_and_inside_on_random_nets(seed, known):
    hold_rules(
        water_map_svg(left_on(random_net(seed, known)), system="us"), "water-map"
    )


@pytest.mark.parametrize("known", ["all", "some", "none"])
def test_labels_are_disjoint_and_inside_on_a_hillside(known):
    left = left_on(hillside(9, known=known))
    hold_rules(water_map_svg(left, system="si", key="m 1"), "m-1")


def test_every_part_has_a_mark_that_tells_its_state_and_every_link_a_row():
    left = larkmoor_left()
    drawing = water_map_svg(left, system="us")
    drawn = marks(hold_rules(drawing, "water-map"))
    graph = graph_of(left.graph.site)
    assert set(drawn) == {*graph.points, *graph.links}
    for each in left.links:
        told = drawn[each.link].findtext(f"{SVG}title") or ""
        assert told.endswith(f"{STATES[each.state]}: {each.why}")
    rows = {row[0]: row for row in drawing.rows}
    assert list(rows) == [each.link for each in left.links]
    state, water, told_by = (
        drawing.columns.index(name) for name in ("State", "Water, gal", "Told by")
    )
    assert rows["P15-2"][state] == "water in part"
    assert rows["P15-2"][water] == "1.2"
    assert rows["P15-2"][told_by] == "blow-out sheet"
    assert rows["PR3"][told_by] == "heights"
    assert rows["PM3"][state] == "blown out"


def solid(drawing, link):
    """Return the runs of a pipe that are drawn full."""
    group = marks(hold_rules(drawing, "water-map"))[link]
    return [
        path.get("d") or ""
        for path in group.iter(f"{SVG}path")
        if path.get("stroke-width") == f"{WATER:g}"
    ]


def length_of(path):
    spots = [tuple(map(float, xy.split())) for xy in re.split("[ML]", path)[1:]]
    return sum(math.dist(a, b) for a, b in pairwise(spots))


def test_a_pipe_wet_in_part_is_solid_from_its_low_end_over_that_share():
    points = [
        point("S", "supply", source="public", position=[0, 0]),
        point("A", "open_end", 1.0, position=[0, 50]),
        point("B", z_m=0.0, position=[100, 50]),
        point("C", "open_end", 4.0, position=[200, 50]),
    ]
    record = site_record(points, [pipe("P", "A", "B"), pipe("Q", "B", "C")])
    drawing = water_map_svg(left_of(record), system="us")
    (whole,), (part,) = solid(drawing, "P"), solid(drawing, "Q")
    assert length_of(part) == pytest.approx(0.25 * length_of(whole), rel=0.01)
    start = re.split("[ML]", part)[1]
    assert start == re.split("[ML]", whole)[1] or start == re.split("[ML]", whole)[2]
    blown = water_map_svg(larkmoor_left(), system="us")
    assert solid(blown, "P15-1") == []
    assert len(solid(blown, "P15-2")) == 1


def test_a_run_of_a_bent_path_has_its_share_of_the_length():
    bent = ((0.0, 0.0), (10.0, 0.0), (10.0, 30.0))
    assert run_of(bent, 0.5, from_end=False) == [(0, 0), (10, 0), (10, 10)]
    assert run_of(bent, 0.25, from_end=True) == [(10, 30), (10, 20)]
    assert run_of(bent, 1.0, from_end=False) == list(bent)


def test_each_place_with_water_has_a_drop_and_the_most_of_it_a_word():
    left = larkmoor_left()
    drawing = water_map_svg(left, system="us")
    places = [place.at for place in standing_places(left)]
    drops = drawing.svg.count('d="M0 0C3.4 4.6')
    assert drops == len(places) == 10
    wide = {one.mark: one.text for one in drawing.labels if one.layer == "wide"}
    assert {f"water {at}" for at in places} <= set(wide)
    assert wide["water R3"] == "R3: 14.1 gal"
    assert wide["water HOUSE"].endswith("12.7 gal kept")
    narrow = [one.mark for one in drawing.labels if one.layer == "narrow"]
    assert sum(mark.startswith("water") for mark in narrow) >= 6


def test_valves_with_water_at_them_have_a_ring():
    drained = water_map_svg(larkmoor_left(()), system="us").svg.count("<circle")
    blown = water_map_svg(larkmoor_left(), system="us").svg.count("<circle")
    states = [
        each.state
        for each in larkmoor_left().links
        if each.link not in larkmoor_left().graph.bores
    ]
    assert blown == sum(state in ("trapped", "partly") for state in states)
    assert drained > 3 * blown


def test_the_key_tells_what_is_drawn_and_no_more():
    blown = {line.text for line in water_map_svg(larkmoor_left(), system="us").key}
    deep = water_map_svg(larkmoor_left((), frost_depth_m=0.3), system="us")
    texts = {line.text for line in deep.key}
    assert MEANINGS["blown"] in blown
    assert MEANINGS["air_locked"] not in blown
    assert MEANINGS["below"] not in blown
    assert MEANINGS["blown"] not in texts
    assert {MEANINGS[name] for name in ("air_locked", "below", "above")} <= texts
    samples = [line.svg for line in water_key(MEANINGS)]
    assert len(samples) == len(set(samples)) == len(MEANINGS)
    assert any(line.text == "zone valve" for line in map_symbols(larkmoor_left()))


def test_a_site_without_points_says_what_to_do():
    drawing = water_map_svg(left_on(site_of([], [])), system="us")
    assert "record a source and a pipe" in drawing.svg
