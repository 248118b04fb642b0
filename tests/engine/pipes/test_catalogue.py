"""The catalogue agrees with open tables and with the rules of its standards."""

import math

import fluids
import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.pipes.catalogue import (
    UNKNOWN_PIPES,
    catalogue_rows,
    pipe_material,
    pipe_names,
    pipe_row,
    pipe_sizes,
)
from maintenance.engine.pipes.ratings import (
    average_inside_diameter,
    rating_inside_controlled,
    rating_outside_controlled,
    rating_schedule,
)

INCH = 0.0254
PSI = 6894.757293168361
ROWS = catalogue_rows()
NOMINAL = {
    "1/2": 0.5,
    "3/4": 0.75,
    "1-1/4": 1.25,
    "1-1/2": 1.5,
    "2-1/2": 2.5,
    "3-1/2": 3.5,
}
IN_FLUIDS = {
    "PVC Sch 40": "40D1785",
    "PVC Sch 80": "80D1785",
    "PVC SDR-13.5": "DR135D2241",
    "PVC SDR-17": "DR17D2241",
    "PVC SDR-21": "DR21D2241",
    "PVC SDR-26": "DR26D2241",
    "PVC SDR-32.5": "DR325D2241",
    "PVC SDR-41": "DR41D2241",
    "steel Sch 40": "40",
}
CONTRACT_NAMES = {
    *(f"PVC Sch {n}" for n in ("40", "80")),
    *(f"PVC SDR-{n}" for n in ("13.5", "17", "21", "26", "32.5", "41")),
    *(f"PE SIDR-{n}" for n in ("7", "9", "11.5", "15", "19")),
    *(f"PE CTS SDR-{n}" for n in ("7.3", "9", "11")),
    *(f"PE IPS DR-{n}" for n in ("7", "9", "11", "13.5", "17")),
    *(f"PE100 SDR-{n}" for n in ("9", "11", "13.6", "17", "21")),
    *(f"PVC-U PN {n}" for n in ("6", "10", "16")),
    *(f"copper {n}" for n in "KLM"),
    "steel Sch 40",
}


def ratio_in(name):
    return float(name.rsplit("-", 1)[1])


def rows_named(*starts):
    return [row for row in ROWS if row.pipe.startswith(starts)]


def test_the_catalogue_has_the_names_of_the_site_file():
    assert {row.pipe for row in ROWS} == CONTRACT_NAMES
    assert set(pipe_names()) == CONTRACT_NAMES | set(UNKNOWN_PIPES)


@pytest.mark.reference
@pytest.mark.parametrize("pipe", IN_FLUIDS)
def test_the_rows_equal_those_of_fluids(pipe):
    # Steel is rounded to 0.01 mm there, and its wall to a quarter of a per cent.
    tolerance = 3e-3 if pipe == "steel Sch 40" else 1e-3
    for size in pipe_sizes(pipe):
        row = pipe_row(pipe, size)
        nominal = NOMINAL.get(size) or float(size)
        _, inside, outside, _ = fluids.nearest_pipe(
            # its types say a whole number, its own documentation shows 0.75
            NPS=nominal,  # type: ignore[arg-type]
            schedule=IN_FLUIDS[pipe],
        )
        assert row.inside_diameter_m == pytest.approx(inside, rel=tolerance)
        assert row.outside_diameter_m == pytest.approx(outside, rel=tolerance)


def test_inside_is_outside_less_twice_the_wall():
    for row in ROWS:
        step = 0.11e-3 if row.size.endswith("mm") else 0.0021 * INCH
        assert row.inside_diameter_m == pytest.approx(
            row.outside_diameter_m - 2 * row.wall_m, abs=step
        )
        assert row.volume_m3_per_m == math.pi / 4 * row.inside_diameter_m**2


def test_pipe_made_to_its_inside_has_the_bores_of_schedule_40():
    for row in rows_named("PE SIDR"):
        bore = pipe_row("steel Sch 40", row.size).inside_diameter_m
        assert row.inside_diameter_m == pytest.approx(bore, abs=0.0015 * INCH)


def test_ratings_follow_the_rules_of_their_families():
    for row in rows_named("PVC Sch"):
        rule = rating_schedule(2000 * PSI, row.wall_m, row.outside_diameter_m)
        assert row.rating_pa == pytest.approx(rule, rel=0.033)
    for row in rows_named("PVC SDR"):
        rule = rating_outside_controlled(2000 * PSI, ratio_in(row.pipe))
        assert row.rating_pa == pytest.approx(rule, rel=0.02)
    for row in rows_named("PE SIDR"):
        rule = rating_inside_controlled(630 * PSI, ratio_in(row.pipe))
        assert row.rating_pa == pytest.approx(rule, rel=0.02)
    for row in rows_named("PE CTS", "PE IPS"):
        rule = rating_outside_controlled(800 * PSI, ratio_in(row.pipe))
        assert row.rating_pa == pytest.approx(rule, rel=0.005)
    for row in rows_named("PE100"):
        rule = rating_outside_controlled(8e6, ratio_in(row.pipe))
        assert row.rating_pa == pytest.approx(rule, rel=0.02)


def test_rating_of_sidr_pipe_is_the_lower_of_the_published():
    assert pipe_row("PE SIDR-15", "1").rating_pa == pytest.approx(80 * PSI)
    assert rating_inside_controlled(800 * PSI, 15) > 80 * PSI


def test_average_diameter_is_below_the_one_used():
    for row in rows_named("PVC Sch"):
        average = average_inside_diameter(row.outside_diameter_m, row.wall_m)
        assert 0.93 * row.inside_diameter_m < average < row.inside_diameter_m


def test_metals_have_no_rating_and_every_row_its_source():
    assert {row.material for row in ROWS if row.rating_pa is None} == {
        "copper",
        "steel",
    }
    assert all(row.source and row.mark in {"read", "from memory"} for row in ROWS)


@pytest.mark.parametrize("pipe", UNKNOWN_PIPES)
def test_an_unknown_pipe_is_the_most_cautious_of_its_class(pipe):
    for size in pipe_sizes(pipe):
        row = pipe_row(pipe, size)
        same = [
            other
            for other in ROWS
            if other.size == size and other.material in UNKNOWN_PIPES[pipe]
        ]
        rated = [o.rating_pa for o in same if o.rating_pa]
        assert row.inside_diameter_m == max(o.inside_diameter_m for o in same)
        assert row.rating_pa == (min(rated) if rated else None)


def test_material_of_a_name_needs_no_size():
    for row in ROWS:
        assert pipe_material(row.pipe) == row.material
    assert pipe_material("unknown") == "unknown plastic"


@pytest.mark.parametrize("size", ["1-1/2", "1 1/2", "1-1/2 in", ' 1-1/2"'])
def test_a_size_may_be_written_as_people_do(size):
    assert pipe_row("pvc  sdr-21", size).size == "1-1/2"
    assert pipe_row("PE100 SDR-11", "63mm").size == "63 mm"


@pytest.mark.parametrize(
    ("pipe", "size", "named"),
    [
        ("PVC SDR-22", "1", "PVC SDR-21"),
        ("PVC SDR-41", "1", "3-1/2"),
        ("PE100 SDR-11", "63", "63 mm"),
        ("", "1", "unknown plastic"),
        ("copper K", "nan", "1-1/4"),
    ],
)
def test_what_is_not_made_is_refused_and_the_nearest_named(pipe, size, named):
    with pytest.raises(InputError, match=named) as refusal:
        pipe_row(pipe, size)
    assert refusal.value.input in ("pipe", "size")
