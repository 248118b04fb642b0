"""What an outlook says in tables: nothing lost, nothing blank, all with its method."""

from datetime import date, datetime
from functools import cache

import pytest

from maintenance.documents.outlook_dates import date_told
from maintenance.documents.outlook_kinds import alike_parts, harmed_at, odds_of
from maintenance.documents.outlook_night import (
    NOT_WITHIN,
    act_at_told,
    lead_rows,
    night_rows,
)
from maintenance.documents.outlook_notes import Notes
from maintenance.documents.outlook_season import (
    depth_told,
    spring_lines,
    spring_of,
    waiting_lines,
)
from maintenance.engine.climate.forecast_errors import NightPair, learn_errors
from maintenance.engine.climate.part_dates import SiteDates, site_dates
from maintenance.engine.climate.site_outlook import SiteOutlook, site_outlook
from maintenance.engine.climate.waiting import site_waiting
from tests.fixtures.demo import larkmoor
from tests.web.freeze_sites import NOW, TO_THE_COLD_NIGHT, champion, forecast

OCTOBER = date(2026, 10, 5)


@cache
def dates() -> SiteDates:
    return site_dates(larkmoor(), champion())


def outlook(
    *, skip: int = 0, today: date = OCTOBER, now: datetime = NOW, **keys: object
) -> SiteOutlook:
    told: dict[str, object] = {"dates": dates(), "forecast": forecast(skip=skip)}
    return site_outlook(larkmoor(), now, today, **{**told, **keys})  # type: ignore[arg-type]


def test_every_part_stands_in_one_group_and_those_in_it_share_all() -> None:
    found = outlook(skip=TO_THE_COLD_NIGHT)
    groups = alike_parts(found)
    parts = [part for group in groups for part in group.parts]
    assert sorted(parts) == sorted(each.part.part for each in found.parts)
    by_id = {each.part.part: each for each in found.parts}
    for group in groups:
        for part in group.parts:
            assert by_id[part].dates == group.one.dates
            assert by_id[part].alert == group.one.alert
            assert by_id[part].tonight == group.one.tonight
    levels = [group.one.alert.level for group in groups]
    assert levels == sorted(levels, reverse=True)


def test_the_date_of_a_small_bare_part_is_champions_published_one() -> None:
    # Reference 3, check A7: 10/50/90 % Sep 26, Oct 7, Oct 18.
    found, notes = outlook(), Notes()
    backflow = next(each for each in found.parts if each.part.part == "B1")
    told = [date_told(backflow, at, found, notes, "us") for at in (10, 50, 90)]
    assert [each.text for each in told] == [
        "Sat 26 Sep 2026 ± 3 d",
        "Wed 7 Oct 2026 ± 2 d",
        "Sun 18 Oct 2026 ± 3 d",
    ]
    inputs = {each.name: each.text for each in told[0].figure.inputs}
    assert inputs["seasons with frost there"] == "36 of 36"
    assert inputs["deviation"] == "8.5 days"
    assert told[0].figure.sources
    assert told[0].note == told[1].note == 1


def test_a_date_that_is_never_reached_says_how_often_frost_came() -> None:
    found, notes = outlook(), Notes()
    turf = next(each for each in found.parts if each.part.part == "PH")
    told = date_told(turf, 10, found, notes, "us")
    assert told.text == f"in 0 of {len(turf.dates.numbers)} winters"  # type: ignore[union-attr]
    assert told.figure.value is None
    assert "none of" in told.figure.missing


def test_without_a_record_a_date_says_what_would_tell_it() -> None:
    found = site_outlook(larkmoor(), NOW, OCTOBER, forecast=forecast())
    told = date_told(found.parts[0], 10, found, Notes(), "us")
    assert told.text == "not known"
    assert "station" in told.figure.missing


def test_the_odds_have_one_line_for_each_kind_the_shallowest_of_the_buried() -> None:
    odds = odds_of(outlook(), "us")
    names = [line.name for line in odds.lines]
    assert [line.letter for line in odds.lines] == list("ABCDE")
    assert names[0].startswith("small bare parts above ground")
    assert names[1].startswith("parts in boxes")
    assert set(names[2:]) == {
        "pipes 10 in under paving",
        "pipes 10 in under bare soil",
        "pipes 12 in under turf",
    }
    assert odds.lines[0].law.mean_day == pytest.approx(67.06, abs=0.01)


def test_a_mild_night_is_told_and_not_left_blank() -> None:
    found = outlook()
    rows = night_rows(alike_parts(found), found, Notes(), "us")
    assert {row.first_ice.text for row in rows} == {NOT_WITHIN}
    assert all(row.shares[0].text == "0 %" for row in rows)
    in_air = {e.part.part for e in found.parts if e.part.threshold_of != "soil"}
    assert {part for row in rows for part in row.alike.parts} == in_air


def test_a_cold_night_has_hours_on_the_clock_of_the_site_and_three_shares() -> None:
    found = outlook(skip=TO_THE_COLD_NIGHT)
    rows = night_rows(alike_parts(found), found, Notes(), "us")
    (row,) = [row for row in rows if "B1" in row.alike.parts]
    night = next(e.tonight for e in found.parts if e.part.part == "B1")
    assert night is not None
    assert night.first_ice_s is not None
    hours = int(night.first_ice_s // 3600)
    minutes = 12 * 60 + 30 + int(night.first_ice_s // 60)
    clock = f"{minutes // 60 % 24:02}:{minutes % 60:02}"
    assert row.first_ice.text == f"in {hours} h, {clock}"
    assert row.first_ice.figure.rounding == "down"
    shares = [told.figure.value for told in row.shares]
    assert shares == [night.ice_fraction, night.ice_colder, night.ice_coldest]
    assert shares == sorted(shares)  # type: ignore[type-var]


def test_each_day_ahead_tells_its_error_and_whether_it_was_learnt() -> None:
    pairs = [NightPair(1, 280.0 + (at % 3), 279.0) for at in range(61)]
    rows = lead_rows(outlook(errors=learn_errors(pairs)), Notes(), "us")
    assert len(rows) == 7
    assert rows[0].learnt == "learnt here from 61 nights"
    assert rows[1].learnt == "assumed; 0 nights so far, 60 needed"
    assert rows[1].error == "3.3 °F"
    assert all(row.chance and row.chance.figure.inputs for row in rows[:6])


def test_an_old_forecast_tells_of_no_day_ahead() -> None:
    assert lead_rows(outlook(forecast=None), Notes(), "us") == []


def test_the_chance_to_act_at_says_what_nobody_has_stated() -> None:
    told = act_at_told(outlook(), Notes())
    assert told.text == "10 %"
    assert any("nobody has stated" in text for text in told.figure.assumptions)


def test_waiting_shows_few_rows_the_last_and_the_best_among_them() -> None:
    waiting = site_waiting(
        larkmoor(), dates(), date(2026, 9, 1), worth=(12.0, 900.0, 0.9)
    )
    assert waiting is not None
    assert waiting.best is not None
    lines = waiting_lines(waiting, Notes())
    days = [line.day for line in lines]
    assert len(days) <= 12
    assert days == sorted(days)
    assert days[-1] == waiting.rows[-1].day
    assert [line.day for line in lines if line.best] == [waiting.best]
    by_day = {row.day: row for row in waiting.rows}
    for line in lines:
        assert line.chance.figure.value == by_day[line.day].chance
        assert line.watering_days == (line.day - date(2026, 9, 1)).days
        assert line.cost is not None


def test_spring_is_told_from_january_to_may_only() -> None:
    assert spring_of(outlook()) is None
    found = outlook(today=date(2027, 3, 15), forecast=None)
    spring = spring_of(found)
    assert spring is not None
    told, lines = spring_lines(spring, found, Notes(), "us")
    assert [line.name for line in lines] == [
        "Last freeze",
        "Soil at the pipes",
        "Week ahead",
    ]
    assert lines[2].state == "not known"
    assert len(told.figure.inputs) == 3


def test_units_are_those_asked_for_in_methods_too() -> None:
    found, notes = outlook(), Notes("si")
    for alike in alike_parts(found):
        assert "°F" not in harmed_at(alike.one.part, "si")
        date_told(alike.one, 10, found, notes, "si")
    depth = depth_told(dates(), notes, "si")
    assert depth is not None
    assert depth[1].text.endswith(" cm")
    methods = " ".join(note.method for note in notes.listed)
    assert "soil at 20 cm" in methods
    assert "8 in" not in methods
