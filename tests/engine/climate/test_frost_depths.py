"""The frost of one winter in ten lies between that of most winters and the worst."""

from dataclasses import replace

from maintenance.engine.climate.frost_depths import frost_depths
from tests.engine.climate.test_kept_dates import fresh


def depths_of(dates):
    return frost_depths(dates)


def test_one_winter_in_ten_by_rank():
    """Weibull: of 19 winters the second deepest; of nine the deepest; of eight none."""
    for winters, expected in ((19, 0.18), (9, 0.09), (8, None)):
        deepest = tuple(n / 100.0 for n in range(1, winters + 1))
        found = frost_depths(replace(fresh(), deepest_m={"turf": deepest}))["turf"]
        assert found.one_in_ten_m == expected
        assert (found.winters, found.deepest_m) == (winters, deepest[-1])


def test_bare_ground_freezes_deeper_than_turf_in_every_winter():
    deepest = fresh().deepest_m
    assert all(b > t for b, t in zip(deepest["bare"], deepest["turf"], strict=True))
    found = depths_of(fresh())
    assert found["bare"].one_in_ten_m > found["turf"].one_in_ten_m
    for each in found.values():
        passed = sum(depth >= each.one_in_ten_m for depth in deepest[each.cover])
        assert passed == 3  # of 30 winters
        assert each.one_in_ten_m <= each.deepest_m


def test_what_is_said_names_the_winters_and_the_doubt_in_both_units():
    found = frost_depths(fresh())["bare"]
    assert found.sentence == found.told("us")
    assert "in one winter of 10" in found.sentence
    assert "worst of 30 winters" in found.sentence
    assert "good to 30 % either way" in found.sentence
    assert "bare ground" in found.sentence
    assert " cm" in found.told("si")


def test_without_maxima_nothing_is_told():
    assert frost_depths(replace(fresh(), deepest_m={})) == {}
    assert frost_depths(replace(fresh(), deepest_m={"turf": ()})) == {}
