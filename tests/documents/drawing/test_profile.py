import random
from dataclasses import replace

import pytest

from maintenance.documents.drawing.axes import Axis, round_step
from maintenance.documents.drawing.line import (
    Profile,
    Reach,
    StandingWater,
    Station,
)
from maintenance.documents.drawing.profile import profile_svg
from maintenance.engine.errors import InputError
from tests.documents.drawing.checks import SVG, hold_rules


def dip() -> Profile:
    """Return a line that falls into a dip and climbs out of it."""
    at = [(0, 0, "A1"), (30, -2, "J1"), (60, -6, "J2"), (90, 1, "H1"), (120, 2, "H2")]
    limits = [500e3, 500e3, None, 310e3]
    swept = [True, True, False, None]
    return Profile(
        name="zone 8",
        stations=tuple(Station(distance_m=d, elevation_m=z, point=p) for d, z, p in at),
        reaches=tuple(
            Reach(
                link=f"P{i}",
                start=i,
                end=i + 1,
                pipe_text="PVC Sch 40 1 in",
                limit_pa=limits[i],
                swept=swept[i],
            )
            for i in range(4)
        ),
        standing=(StandingWater(at="J2", volume_m3=0.004, fills_bore=True),),
        setting_pa=310e3,
        plateau_pa=73_900.0,
    )


def random_profile(seed: int) -> Profile:
    chance = random.Random(seed)  # noqa: S311
    count = chance.randint(2, 40)
    along, stations = 0.0, []
    for index in range(count):
        stations.append(
            Station(
                distance_m=along,
                elevation_m=chance.choice([0.0, chance.uniform(-30, 2000)]),
                point=f"point {index}",
                label=chance.choice(["", "head with a long name"]),
            )
        )
        along += chance.choice([0.0, 0.2, chance.uniform(1, 80)]) + (index == 0)
    reaches = tuple(
        Reach(
            link=f"R{i}",
            start=i,
            end=i + 1,
            pipe_text=chance.choice(["", "PE SIDR-15 1 in", "unknown plastic"]),
            limit_pa=chance.choice([None, chance.uniform(0, 9e5)]),
            swept=chance.choice([True, False, None]),
            mark=chance.choice(["", "water stays here"]),
        )
        for i in range(count - 1)
    )
    standing = tuple(
        StandingWater(
            at=chance.choice([f"R{i}", f"point {i}", "elsewhere"]),
            volume_m3=chance.uniform(0, 0.1),
            fills_bore=chance.random() < 0.5,
        )
        for i in range(count // 3)
    )
    return Profile(
        name=f"row {seed}",
        stations=tuple(stations),
        reaches=reaches,
        standing=standing,
        setting_pa=chance.choice([None, 3e5]),
        plateau_pa=chance.choice([None, 7e4]),
    )


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("seed", range(25))
def test_labels_are_disjoint_and_inside_on_random_profiles(seed, system):
    hold_rules(profile_svg(random_profile(seed), system=system), "profile")


def test_the_dip_says_what_stays_what_is_not_swept_and_what_limits():
    drawing = profile_svg(dip(), system="us", key="z8")
    root = hold_rules(drawing, "z8")
    texts = [label.text for label in drawing.labels if label.layer == "wide"]
    for wanted in (
        "not swept",
        "1.1 gal, fills the bore",
        "set 45 psi",
        "dry gauge 10.7 psi",
        "limit 44 psi",
        "limit 72 psi",
        "limit unknown",
        "A1, 0 ft",
    ):
        assert wanted in texts
    assert texts.count("not swept") == 1
    water = [n for n in root.iter() if n.get("class") == "drawing-water"]
    assert [n.get("stroke") for n in water] == ["url(#z8-standing)"]
    assert "Not swept: P2." in (root.findtext(f"{SVG}desc") or "")


def test_every_station_and_reach_has_a_row_in_order():
    drawing = profile_svg(dip(), system="us")
    assert [row[0] for row in drawing.rows] == [
        "A1", "P0", "J1", "P1", "J2", "P2", "H1", "P3", "H2",
    ]  # fmt: skip
    rows = {row[0]: row for row in drawing.rows}
    assert rows["P2"][4:6] == ("unknown", "not swept")
    assert rows["J2"][6] == "1.1"
    assert rows["P3"][4:6] == ("44", "not worked out")


def test_the_water_stands_at_the_foot():
    drawing = profile_svg(dip(), system="si")
    root = hold_rules(drawing, "profile")
    water = next(n for n in root.iter() if n.get("class") == "drawing-water")
    spots = [
        tuple(map(float, spot.split()))
        for spot in (water.get("d") or "")[1:].split("L")
    ]
    lowest = max(spots, key=lambda spot: spot[1])
    assert spots.index(lowest) == 1
    assert len(spots) == 3


def test_unknown_limits_are_said_not_drawn_as_zero():
    bare = replace(
        dip(),
        reaches=tuple(replace(reach, limit_pa=None) for reach in dip().reaches),
        setting_pa=None,
        plateau_pa=None,
    )
    drawing = profile_svg(bare, system="us")
    root = hold_rules(drawing, "profile")
    assert "limits not known" in [label.text for label in drawing.labels]
    titles = [n.text or "" for n in root.iter(f"{SVG}title")]
    assert not any("limit" in title for title in titles)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"setting_pa": float("nan")}, "set pressure is nan"),
        ({"plateau_pa": float("inf")}, "gauge reading when dry is inf"),
        (
            {"stations": (Station(distance_m=0, elevation_m=float("nan"), point="A"),)},
            "elevation of A is nan",
        ),
        ({"reaches": (Reach(link="P9", start=0, end=77),)}, "reach P9 ends at"),
    ],
)
def test_what_cannot_be_drawn_is_refused_by_name(change, words):
    with pytest.raises(InputError, match=words):
        profile_svg(replace(dip(), **change), system="us")


def test_a_line_of_no_length_says_that_there_is_none():
    drawing = profile_svg(Profile(name="x", stations=(), reaches=()), system="us")
    root = hold_rules(drawing, "profile")
    texts = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert all("No line to draw" in text for text in texts)
    assert len(texts) == 2


@pytest.mark.parametrize(
    ("least", "step"),
    [(0.9, 1.0), (1.0, 1.0), (1.2, 2.0), (2.2, 2.5), (26, 50), (0.03, 0.05)],
)
def test_steps_of_an_axis_are_round(least, step):
    assert round_step(least) == pytest.approx(step)


def test_an_axis_is_labelled_in_the_unit_of_the_reader():
    us = Axis("height", "us", 0.0, 30.48, 0.0, 100.0)
    spots, texts = zip(*us.ticks(5), strict=True)
    assert texts == ("0", "20", "40", "60", "80", "100")
    assert spots == pytest.approx((0, 20, 40, 60, 80, 100))
    si = Axis("height", "si", -1.0, 1.0, 0.0, 100.0)
    assert [text for _, text in si.ticks(4)] == ["−1.0", "−0.5", "0.0", "0.5", "1.0"]


def test_names_are_escaped():
    odd = replace(dip(), name="<script>&\x0b")
    root = hold_rules(profile_svg(odd, system="us"), "profile")
    assert root.findtext(f"{SVG}title") == "Profile of <script>&"
