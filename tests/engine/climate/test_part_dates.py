"""The dates of parts: in the air by the nights, in boxes and the ground by the soil."""

from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.ground_seasons import ground_seasons
from maintenance.engine.climate.part_dates import site_dates
from maintenance.engine.climate.seasons import month_day
from maintenance.engine.climate.series import Record
from maintenance.engine.errors import InputError
from maintenance.engine.freezing.parts import parts_at_risk
from maintenance.exchange.site_file import read_site
from maintenance.exchange.weather.record_file import read_record
from tests.engine.climate.made_series import series_of
from tests.reference.climate_records import FOLDER

SITE = read_site((FOLDER.parent / "demo" / "larkmoor.json").read_bytes())
PARTS = {part.part: part for part in parts_at_risk(SITE)}


@cache
def record():
    return read_record((FOLDER / "champion.csv").read_bytes())


@cache
def ground():
    return ground_seasons(record().series, ("turf", "bare"), (0.25, 0.6, 9.0))


@cache
def dates():
    return site_dates(SITE, record())


def of(part, found=None):
    return (found or dates()).of(PARTS[part])


def record_of(series):
    return Record(series, "made", "degF", "made")


def test_a_part_in_the_air_has_the_dates_of_its_threshold():
    """Champion, first night at or below 28 degF: the dates of `test_freeze_dates`."""
    found = of("B1")
    told = [month_day(found.days[chance], "fall") for chance in (10, 50, 90)]
    assert told == ["09-26", "10-07", "10-18"]
    assert found.errors[10] == pytest.approx(1.92, abs=0.05)


def test_above_ground_freezes_before_boxes_and_boxes_before_laterals():
    days = [of(part).days[50] for part in ("B1", "Z1", "P20-1", "P1-1")]
    assert all(before + 7.0 < after for before, after in pairwise(days))


def test_deeper_and_under_turf_is_never_sooner():
    def numbers(cover, inches):
        days = ground().days_of_frost(cover, inches * 0.0254)
        return np.array([np.inf if day is None else day for day in days])

    for cover in ("turf", "bare"):
        for shallow, deep in pairwise((4, 8, 12, 18, 24, 36)):
            assert (numbers(cover, shallow) <= numbers(cover, deep)).all()
    for inches in (8, 12, 18):
        assert (numbers("bare", inches) <= numbers("turf", inches)).all()
    assert np.isinf(numbers("turf", 36)).all()
    assert np.isfinite(numbers("bare", 4)).all()


def test_the_deepest_frost_agrees_with_the_modified_berggren_formula():
    """Champion 1989-2017, n 0.5 and 0.7: 13.9 and 22.6 in, mean and worst under turf.

    Worked out apart from the column by modified Berggren with other soil constants,
    which came out 15 to 25 % shallower elsewhere; the model claims 30 %.
    """
    deepest = ground().frost_m["turf"].max(axis=0) / 0.0254
    assert 0.7 * 13.9 < deepest.mean() < 1.4 * 13.9
    assert 0.7 * 22.6 < deepest.max() < 1.4 * 22.6


def test_soil_lags_the_air_and_is_told_for_the_winter_only():
    autumn, winter = dates().usual_soil(60), dates().usual_soil(160)
    assert autumn > ground().air_k[60].mean() - 3.0
    assert 270.0 < winter < 276.0 < autumn
    assert dates().usual_soil(-1) is None
    assert dates().usual_soil(334) is None


def test_a_pipe_whose_depth_nobody_recorded_has_no_date():
    assert of("PQ1") is None
    assert dates().knows(PARTS["PQ1"])


def test_without_maxima_only_what_stands_in_the_air_has_dates():
    bare = series_of([40.0] * 100 + [20.0] * 265)
    found = site_dates(SITE, record_of(bare))
    assert (found.soil_k, found.deepest_m, found.usual) == ((), {}, None)
    assert not found.record.has_maxima
    assert of("B1", found).numbers == (100,)
    assert of("Z1", found) is None
    assert of("PM1", found) is None


def test_a_winter_that_lacks_many_days_is_left_out():
    series = record().series
    cut = series_of(
        (series.tmin_k[:1461] * 1.8 - 459.67).tolist(),
        (series.tmax_k[:1461] * 1.8 - 459.67).tolist(),
        first=series.first,
    )
    whole = ground_seasons(cut, ())
    holed = cut.tmax_k.copy()
    at = cut.index(date(1983, 11, 1))
    holed[at : at + 11] = np.nan
    fewer = ground_seasons(
        series_of(
            (cut.tmin_k * 1.8 - 459.67).tolist(),
            (holed * 1.8 - 459.67).tolist(),
            first=cut.first,
        ),
        (),
    )
    assert whole is not None
    assert fewer is not None
    assert (whole.air_k.shape[1], fewer.air_k.shape[1]) == (3, 2)


def test_a_record_without_a_whole_season_is_refused():
    with pytest.raises(InputError, match="holds no whole season"):
        site_dates(SITE, record_of(series_of([30.0] * 100)))


def test_a_pipe_lies_in_warm_soil_a_week_after_its_last_cold_day():
    """One below all frost never was in cold soil."""
    shallow = ground().days_of_warm_soil("turf", 0.25)
    assert None not in shallow
    assert set(ground().days_of_warm_soil("turf", 9.0)) == {None}
    under = ground().under_k["turf"][:, :, ground().depths_m.index(0.25)]
    for season, number in enumerate(shallow):
        warm = under[number - 7 + 1 :, season]
        assert warm.min() > (33.0 + 459.67) / 1.8 >= under[number - 7, season]


def test_an_offset_moves_the_record_before_its_dates_are_worked_out():
    """Two degrees colder: the first 28 °F is the station's first 30 °F."""
    found = site_dates(SITE, record(), offset_k=-2.0 / 1.8)
    expected = freeze_dates(record().series, (30.0 + 459.67) / 1.8)
    events = tuple(event.number for event in expected.events if event.valid)
    same = [a == b for a, b in zip(of("B1", found).numbers, events, strict=True)]
    assert sum(same) >= len(same) - 2  # a tenth of a degree may round the other way
    assert of("P1-1", found).days[10] < of("P1-1").days[10]
    assert found.offset_k == pytest.approx(-1.111, abs=0.001)


def test_parts_that_came_or_changed_since_are_known_to_be_unknown():
    deeper = replace(PARTS["P1-1"], depth_m=0.777)
    assert not dates().knows(deeper)
    assert dates().of(deeper) is None
    assert dates().knows(PARTS["P1-1"])
