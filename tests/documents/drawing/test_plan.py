import json
from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from maintenance.documents.drawing.plan import plan_svg
from maintenance.documents.drawing.sheet import Label
from maintenance.engine.errors import InputError
from maintenance.engine.site import Junction, Site
from maintenance.engine.site.record import from_record
from tests.documents.drawing.checks import (
    FIXTURES,
    SVG,
    hold_rules,
    marks,
    overlapping,
)
from tests.documents.drawing.sites import (
    height,
    hillside,
    pipe,
    random_net,
    site_of,
)


def recorded_site(name: str) -> Site:
    return from_record(Site, json.loads((FIXTURES / name).read_text("utf-8")))


def link_path(root, id_):
    group = marks(root)[id_]
    return group.find(f"{SVG}path")


def label(text: str, box: tuple[float, float, float, float]) -> Label:
    return Label(text, text, 0, 0, "start", box)


def test_the_check_for_overlaps_finds_one():
    one, two = label("a", (0, 0, 10, 10)), label("b", (9, 9, 20, 20))
    assert overlapping((one, two)) == [("a", "b")]
    assert overlapping((one, replace(two, layer="narrow"))) == []


@pytest.mark.parametrize("known", ["all", "some", "none"])
@pytest.mark.parametrize("seed", range(12))
def test_labels_are_disjoint_and_inside_on_random_nets(seed, known):
    site = random_net(seed, known)
    hold_rules(plan_svg(site, system="us"), "plan")


@pytest.mark.parametrize("known", ["all", "some", "none"])
@pytest.mark.parametrize("zones", [1, 9, 30])
def test_labels_are_disjoint_and_inside_on_a_hillside(zones, known):
    hold_rules(plan_svg(hillside(zones, known=known), system="si"), "plan")


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize(
    "name",
    ["demo/larkmoor.json", "examples/site-a.json", "examples/example-lateral.json"],
)
def test_labels_are_disjoint_and_inside_on_the_fixtures(name, system):
    hold_rules(plan_svg(recorded_site(name), system=system), "plan")


def test_larkmoor_carries_at_least_thirty_labels_and_all_that_matter():
    site = recorded_site("demo/larkmoor.json")
    drawing = plan_svg(site, system="us")
    wide = {one.mark: one.text for one in drawing.labels if one.layer == "wide"}
    assert len(wide) >= 30
    must = [
        *(p.id for p in site.points if p.kind in ("supply", "blowout_port", "drain")),
        *(
            link.id
            for link in site.links
            if link.kind in ("zone_valve", "backflow", "pump")
        ),
    ]
    assert [id_ for id_ in must if id_ not in wide] == []


def test_every_part_has_a_mark_with_its_title_and_a_row():
    site = hillside(4)
    drawing = plan_svg(site, system="us")
    drawn = marks(hold_rules(drawing, "plan"))
    ids = [part.id for part in (*site.points, *site.links)]
    assert sorted(drawn) == sorted(ids)
    assert sorted(row[0] for row in drawing.rows) == sorted(ids)
    title = drawn["P-A"].findtext(f"{SVG}title")
    assert title == ("P-A: pipe, PVC Sch 40, 2 in, 6.6 ft long, elevation 0 to −1.3 ft")


@pytest.mark.parametrize(
    ("known", "heading"),
    [
        ("all", ""),
        ("some", "dashed: place not recorded"),
        ("none", "schematic, not to place"),
    ],
)
def test_the_heading_says_what_is_assumed(known, heading):
    drawing = plan_svg(hillside(3, known=known), system="us")
    assert drawing.heading == heading
    drawn = [one for one in drawing.labels if one.mark == "heading"]
    assert [one.text for one in drawn] == ([heading] * 2 if heading else [])
    scale = [one for one in drawing.labels if one.mark in ("scale", "north")]
    assert len(scale) == (0 if known == "none" else 4)


def test_a_link_with_an_assumed_end_is_dashed_and_an_unknown_pipe_dotted():
    points = [
        Junction(id="a", elevation=height(0), position=(0.0, 0.0)),
        Junction(id="b", elevation=height(0), position=(20.0, 0.0)),
        Junction(id="c", elevation=height(0), position=(40.0, 0.0)),
        Junction(id="d", elevation=height(0)),
    ]
    links = [
        pipe("plain", "a", "b", 20),
        pipe("dotted", "b", "c", 20, pipe="unknown PE"),
        pipe("sizeless", "a", "c", 45, size=None),
        pipe("dashed", "c", "d", 10),
    ]
    root = hold_rules(plan_svg(site_of(points, links), system="si"), "plan")
    dash = {
        id_: link_path(root, id_).get("stroke-dasharray")
        for id_ in (link.id for link in links)
    }
    assert dash["plain"] is None
    assert dash["dotted"].startswith("0.1 ")
    assert dash["sizeless"].startswith("0.1 ")
    assert float(dash["dashed"].split()[0]) > 2


def test_a_larger_pipe_has_a_wider_line():
    points = [Junction(id=f"n{i}", elevation=height(0)) for i in range(6)]
    sizes = ["1/2", "1", "1-1/2", "50 mm", "4"]
    links = [
        pipe(f"p{i}", f"n{i}", f"n{i + 1}", 9, size=size)
        for i, size in enumerate(sizes)
    ]
    root = hold_rules(plan_svg(site_of(points, links), system="us"), "plan")
    widths = [float(link_path(root, f"p{i}").get("stroke-width")) for i in range(5)]
    assert widths == sorted(set(widths))


def test_states_are_hatched_and_told_in_the_table():
    site = hillside(2)
    states = {"R1-1": "wet", "R1-2": "air_locked", "R2-1": "blown", "P1": "drained"}
    drawing = plan_svg(site, system="us", states=states, key="wet one")
    root = hold_rules(drawing, "wet-one")
    patterns = {node.get("id") for node in root.iter(f"{SVG}pattern")}
    assert patterns == {f"wet-one-{state}" for state in states.values()}
    used = [n.get("stroke") for n in root.iter() if n.get("stroke", "").startswith("u")]
    assert len([one for one in used if one]) == len(states)
    told = {row[0]: row[-1] for row in drawing.rows}
    assert told["R1-2"] == "air-locked: may not drain"
    assert told["P2"] == "" if "P2" in told else told["V1"] == ""


def test_an_unknown_state_is_refused_in_a_sentence():
    with pytest.raises(InputError, match='"soggy" is not a state of a pipe; use one'):
        plan_svg(hillside(1), system="us", states={"P1": "soggy"})


def test_a_site_without_points_says_what_to_do():
    drawing = plan_svg(site_of([], []), system="us")
    root = hold_rules(drawing, "plan")
    texts = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert all("record a source and a pipe" in text for text in texts)
    assert len(texts) == 2


@pytest.mark.parametrize("count", [1, 2])
def test_points_without_a_link_or_all_in_one_place_are_drawn(count):
    points = [
        Junction(id=f"n{i}", elevation=height(1), position=(5.0, 5.0))
        for i in range(count)
    ]
    hold_rules(plan_svg(site_of(points, []), system="us"), "plan")


@given(st.text(max_size=30), st.text(min_size=1, max_size=12))
def test_any_name_and_id_gives_well_formed_svg(name, id_):
    points = [Junction(id=id_, elevation=height(1)), *hillside(1, known="none").points]
    links = list(hillside(1, known="none").links)
    zone = replace(hillside(1).zones[0], name=name)
    site = replace(site_of(points, links, [zone]), name=f"<b>{name}&\x00")
    root = hold_rules(plan_svg(site, system="us"), "plan")
    assert not list(root.iter("b"))


def test_the_same_site_gives_the_same_drawing():
    first = plan_svg(hillside(6, known="some"), system="us")
    assert plan_svg(hillside(6, known="some"), system="us") == first
