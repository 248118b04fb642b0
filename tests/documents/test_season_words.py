"""How far a list is, which rules it breaks, and how two years differ, in words."""

from dataclasses import replace

import pytest

from maintenance.documents.season_words import (
    check_words,
    list_title,
    progress_words,
)
from maintenance.documents.season_years import (
    reading_difference,
    step_difference,
    zone_difference,
)
from maintenance.documents.used_sheet import used_rows
from maintenance.engine.blowout.report import sheet_as_json
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.reading import read_reading
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.services.seasons.beside import StepBeside, ZoneBeside
from tests.documents.season import (
    HEAD,
    line_of,
    reported,
    sheet_of_larkmoor,
    shutdown_of_larkmoor,
    whole_of,
    zone_line,
)
from tests.fixtures.demo import larkmoor

STEP = Step(key="a", act="blow", on="Z1", to="45 psi", text="Blow zone 1.")
THREE = Procedure("shutdown", tuple(replace(STEP, key=key) for key in "abc"))
TWO_OF_THREE = "2 of 3 steps have an outcome, 1 of them skipped."
PSI_PA = 6894.757
NONE = [zone_line("1"), zone_line("2")]
ENDED = [zone_line("1", "done"), zone_line("2", "partly", "wet")]


def test_a_list_is_called_by_season_and_year():
    assert list_title(HEAD) == "Shutdown list 2026"
    assert list_title(replace(HEAD, season="startup")) == "Start-up list 2026"


@pytest.mark.parametrize(
    ("reports", "zones", "words"),
    [
        (
            {},
            NONE,
            "None of 3 steps has an outcome yet. None of 2 zones has ended yet.",
        ),
        (
            {1: reported(), 2: reported("skipped")},
            [ENDED[0], NONE[1]],
            f"{TWO_OF_THREE} 1 of 2 zones have ended: 1 done.",
        ),
        (
            {n: reported() for n in (1, 2, 3)},
            ENDED,
            "All 3 steps have an outcome. All 2 zones have ended: 1 done and 1 partly.",
        ),
        ({}, [], "None of 3 steps has an outcome yet."),
    ],
)
def test_progress_counts_every_step_and_zone(reports, zones, words):
    assert progress_words(whole_of(THREE, reports=reports, zones=zones)) == words


def test_the_check_names_its_rules_by_number_and_what_is_broken():
    whole = shutdown_of_larkmoor()
    good = check_procedure(larkmoor(), whole)
    assert check_words(good) == (
        f"Checked against {len(RULES)} rules; the list breaks none of them."
    )
    without = [step for step in whole.steps if step.act != "prove_holding"]
    bad = check_procedure(larkmoor(), replace(whole, steps=tuple(without)))
    words = check_words(bad)
    assert f"breaks {len(bad.broken)}." in words
    assert f"Step {bad.broken[0].at_step}: " in words


def beside(this, last, *, this_step=STEP, last_step=STEP):
    return StepBeside(
        "a",
        line_of(this_step, 1, this) if this_step else None,
        line_of(last_step, 1, last) if last_step else None,
    )


@pytest.mark.parametrize(
    ("both", "told"),
    [
        (beside(reported(), reported()), ()),
        (beside(None, reported()), ()),
        (beside(reported(), None), ("had no outcome last year",)),
        (
            beside(reported(), reported("skipped")),
            ("done now, skipped (no key) last year",),
        ),
        (
            beside(reported(reading="48 psi"), reported(reading="44 psi")),
            ("4 psi higher",),
        ),
        (beside(reported(reading="44 psi"), reported(reading="44 psi")), ()),
        (
            beside(reported(reading="no water"), reported(reading="44 psi")),
            ("read otherwise",),
        ),
        (beside(reported(seconds=40.0), reported(seconds=52.0)), ("12 s shorter",)),
        (beside(reported(seconds=40.2), reported(seconds=40.0)), ()),
        (beside(reported(), None, last_step=None), ("not in last year's list",)),
        (beside(None, reported(), this_step=None), ("not in this year's list",)),
        (
            beside(None, None, last_step=replace(STEP, to="40 psi")),
            ("asks for 45 psi, last year for 40 psi",),
        ),
    ],
)
def test_what_differs_at_a_step_is_said_and_nothing_else(both, told):
    assert step_difference(both, "us") == told


@pytest.mark.parametrize(
    ("this", "last", "told"),
    [
        ("done", "done", ""),
        (None, "done", ""),
        ("done", None, "had no outcome last year"),
        ("not_found", "done", "not found now, done last year"),
        ("partly", "skipped", "partly now, skipped last year"),
    ],
)
def test_what_differs_at_a_zone_is_said(this, last, told):
    both = ZoneBeside("1", zone_line("1", this), zone_line("1", last))
    assert zone_difference(both) == told


def test_a_zone_of_one_year_only_is_said_to_be_so():
    assert zone_difference(ZoneBeside("1", zone_line("1"), None)) == "new this year"
    gone = ZoneBeside("1", None, zone_line("1", "done"))
    assert zone_difference(gone) == "not in this year's list"


@pytest.mark.parametrize(
    ("this", "last", "units", "told"),
    [
        ("310 kPa", "280 kPa", "si", "30 kPa higher"),
        ("50000 gal", "48213 gal", "us", "1787 gal more"),
        # A difference of temperatures has no offset: 9 °F are 5 °C apart.
        ("50 degF", "41 degF", "us", "9 °F warmer"),
        ("5 degC", "10 degC", "si", "5 °C colder"),
        ("44 psi", "48213 gal", "us", ""),
        ("44", "43", "us", ""),
        ("44 psi", "303.369 kPa", "us", "the same reading"),
    ],
)
def test_readings_are_compared_in_the_units_of_the_page(this, last, units, told):
    found = reading_difference(read_reading(this), read_reading(last), units)
    assert found.replace(",", "") == told


def test_figures_are_read_back_as_the_sheet_shows_them():
    sheet = sheet_of_larkmoor()
    rows = used_rows(sheet_as_json(sheet), "us")
    assert len(rows) == len(sheet.rows)
    for row in sheet.rows:
        used = rows[row.row.key]
        if row.set_pressure_pa is None:
            assert (used.setting, used.passes) == ("", "")
            continue
        assert int(used.setting) <= row.set_pressure_pa / PSI_PA < int(used.setting) + 1
        assert used.passes.startswith(f"{len(row.passes)} × ")
        assert row.displacement
        assert row.displacement.time_s is None or (
            int(used.front) - 1 < row.displacement.time_s <= int(used.front) + 1e-6
        )
        assert bool(used.gauge) == bool(row.gauge and row.gauge.usable)
    assert used_rows({}, "us") == used_rows(None, "us") == {}


@pytest.mark.parametrize(
    ("reading", "told"),
    [
        ("15 psi", "within the 13 to 16 psi worked out"),
        ("13 psi", "within the 13 to 16 psi worked out"),
        ("20 psi", "above the 13 to 16 psi worked out: heads may be stuck"),
        ("9 psi", "below the 13 to 16 psi worked out"),
        ("no water seen", ""),
        ("15", ""),
    ],
)
def test_a_reading_is_held_against_the_band_that_was_worked_out(reading, told):
    used = used_rows(sheet_as_json(sheet_of_larkmoor()), "us")["27"]
    assert used.gauge == "13 to 16"
    assert used.beside(read_reading(reading), "us") == told


def test_a_main_has_no_heads_that_could_be_stuck():
    rows = used_rows(sheet_as_json(sheet_of_larkmoor()), "us")
    main, coupler = rows["main:E1"], rows["coupler:Q1"]
    names = [main.name, coupler.name, rows["30"].name]
    assert names == ["Main to E1", "Coupler Q1", "Zone 30"]
    assert main.beside(read_reading("15 psi"), "us") == "above the 1 psi worked out"


def test_where_the_gauge_cannot_tell_no_reading_is_judged():
    rows = used_rows(sheet_as_json(sheet_of_larkmoor()), "us")
    silent = next(row for row in rows.values() if row.setting and not row.gauge)
    assert silent.beside(read_reading("20 psi"), "us") == ""
