import itertools
import math
import random

import pytest

from maintenance.documents.drawing.layout import lay_out
from maintenance.engine.site import Junction
from tests.documents.drawing.sites import height, hillside, pipe, random_net, site_of


def random_tree(seed):
    chance = random.Random(seed)  # noqa: S311
    count = chance.randint(2, 70)
    points = [Junction(id=f"n{i}", elevation=height(0)) for i in range(count)]
    links = [
        pipe(f"p{i}", f"n{chance.randint(max(0, i - 9), i - 1)}", f"n{i}", 5)
        for i in range(1, count)
    ]
    return site_of(points, links)


def pieces(layout, link):
    ends = [
        (layout.points[end].x, layout.points[end].y) for end in (link.from_, link.to)
    ]
    bend = list(layout.bends.get(link.id, ()))
    if bend and math.dist(ends[0], bend[0]) > math.dist(ends[0], bend[-1]):
        bend.reverse()
    run = [ends[0], *bend, ends[1]]
    return list(itertools.pairwise(run))


def share_more_than_ends(one, two):
    """Tell whether two upright or level pieces meet inside both."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = two
    left, right = max(min(ax, bx), min(cx, dx)), min(max(ax, bx), max(cx, dx))
    low, high = max(min(ay, by), min(cy, dy)), min(max(ay, by), max(cy, dy))
    if left > right + 1e-9 or low > high + 1e-9:
        return False
    met = ((left + right) / 2, (low + high) / 2)
    return not any(math.dist(met, end) < 1e-6 for end in (*one, *two))


@pytest.mark.parametrize("seed", range(30))
def test_a_tree_is_laid_out_square_and_without_crossings(seed):
    site = random_tree(seed)
    layout = lay_out(site)
    runs = {link.id: pieces(layout, link) for link in site.links}
    for run in runs.values():
        for (x1, y1), (x2, y2) in run:
            assert abs(x1 - x2) < 1e-9 or abs(y1 - y2) < 1e-9
    ends = {link.id: {link.from_, link.to} for link in site.links}
    for one, first in runs.items():
        for two, second in runs.items():
            # Two branches of one point may share the way along it.
            if one < two and not ends[one] & ends[two]:
                assert not any(
                    share_more_than_ends(a, b) for a in first for b in second
                )


@pytest.mark.parametrize("seed", range(20))
def test_no_two_points_of_a_tree_stand_in_one_place(seed):
    layout = lay_out(random_tree(seed))
    spots = [(round(p.x, 6), round(p.y, 6)) for p in layout.points.values()]
    assert len(spots) == len(set(spots))


def test_recorded_points_stay_and_the_others_are_marked():
    site = hillside(5, known="some")
    layout = lay_out(site)
    assert layout.kind == "partly"
    for point in site.points:
        placed = layout.points[point.id]
        assert placed.recorded == (point.position is not None)
        if point.position is not None:
            assert (placed.x, placed.y) == point.position


def test_points_between_recorded_ones_are_spread_by_length():
    points = [
        Junction(id="a", elevation=height(0), position=(0.0, 0.0)),
        Junction(id="b", elevation=height(0)),
        Junction(id="c", elevation=height(0)),
        Junction(id="d", elevation=height(0), position=(40.0, 20.0)),
    ]
    links = [pipe("1", "a", "b", 10), pipe("2", "b", "c", 20), pipe("3", "c", "d", 10)]
    placed = lay_out(site_of(points, links)).points
    assert (placed["b"].x, placed["b"].y) == pytest.approx((10.0, 5.0))
    assert (placed["c"].x, placed["c"].y) == pytest.approx((30.0, 15.0))


def test_a_dead_end_is_hung_on_at_its_length_and_away_from_the_rest():
    points = [
        Junction(id="a", elevation=height(0), position=(0.0, 0.0)),
        Junction(id="b", elevation=height(0), position=(30.0, 0.0)),
        Junction(id="end", elevation=height(0)),
    ]
    placed = lay_out(
        site_of(points, [pipe("1", "a", "b", 30), pipe("2", "b", "end", 12)])
    ).points
    assert math.dist((30.0, 0.0), (placed["end"].x, placed["end"].y)) == pytest.approx(
        12
    )
    assert placed["end"].x > 30


@pytest.mark.parametrize("known", ["all", "some", "none"])
@pytest.mark.parametrize("seed", range(10))
def test_every_point_gets_a_finite_place_and_the_same_one_each_time(seed, known):
    site = random_net(seed, known)
    layout = lay_out(site)
    assert set(layout.points) == {point.id for point in site.points}
    assert all(math.isfinite(p.x + p.y) for p in layout.points.values())
    assert lay_out(site) == layout
