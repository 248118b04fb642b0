"""Remedies in words: in one's own units, and nothing promised that was not found."""

from dataclasses import replace

import pytest

from maintenance.documents.remedies_text import remedies_text
from maintenance.documents.remedies_words import air_needed, help_answer, remedy_words
from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.remedies import Frontier, Remedy, ZoneHelp
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.blowout.trials import Trial
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from tests.web.conftest import COMPRESSOR, LATERAL

SITE = read_site(LATERAL.read_text("utf-8"))
MACHINE = read_compressor(COMPRESSOR.read_text("utf-8"))
TRIAL = Trial("more_passes", "1", "6", "Make 6 passes.", SITE, MACHINE)


def remedy(act: str, value: str, text: str, verdict: str = "not_enough") -> Remedy:
    return Remedy(act, "x", value, verdict, 0.064, text)


@pytest.mark.parametrize(
    ("act", "value", "us", "si"),
    [
        ("lower_set", "25 psi", "Set 25 psi: slower.", "Set 172 kPa: slower."),
        ("bigger_hose", "1 in", "Use a 1 in hose.", "Use a 25.4 mm hose."),
        ("bigger_receiver", "60 gal", "A tank, 60 gal.", "A tank, 228 L."),
        ("bigger_compressor", "31 cfm", "Of 31 cfm or more.", "Of 878 L/min or more."),
        ("more_passes", "6", "Make 6 passes.", "Make 6 passes."),
        ("drain_at", "1.2 gal", "Drain at H1.", "Drain at H1."),
    ],
)
def test_a_remedy_is_told_in_ones_own_units(
    act: str, value: str, us: str, si: str, row: RowSheet
):
    each = remedy(act, value, us)
    assert remedy_words(each, "us") == us
    # Limits and settings are rounded down, needs up.
    assert remedy_words(each, "si") == si
    found = ZoneHelp(row, (each,), (), ())
    assert si in remedies_text(found, "si")


def test_the_air_needed_is_rounded_up_and_none_is_said():
    assert air_needed(Frontier(0.1, 0.0100), "us") == "21.2 cfm"
    assert air_needed(Frontier(0.1, 0.0100), "si") == "600 L/min"
    assert air_needed(Frontier(0.1, None), "us") == "none is enough with this hose"


@pytest.fixture(scope="module")
def row() -> RowSheet:
    return make_sheet(SITE, MACHINE, zone="1").rows[0]


def told(row: RowSheet, now: str, *verdicts: str, in_vain: int = 1, sheet: str = ""):
    found = tuple(remedy("drain_at", "1 gal", f"Do {v}.", v) for v in verdicts)
    found_help = ZoneHelp(replace(row, verdict=now), found, (TRIAL,) * in_vain, ())
    return help_answer(replace(row, verdict=sheet or now), found_help, "us")


def test_how_many_help_is_said_with_the_cheapest_that_clears(row: RowSheet):
    assert told(row, "not_enough", "not_enough", "enough", "enough") == (
        "Of 4 remedies tried 3 help zone 1. The cheapest that clears it: Do enough."
    )
    assert told(row, "not_enough", "enough_with_rests") == (
        "Of 2 remedies tried 1 helps zone 1. "
        "The cheapest that clears it: Do enough_with_rests."
    )
    assert told(row, "not_enough", "not_enough") == (
        "Of 2 remedies tried 1 helps zone 1. None of them clears it."
    )


def test_a_zone_that_clears_with_rests_is_told_what_does_without(row: RowSheet):
    answer = told(row, "enough_with_rests", "enough_with_rests", "too_much")
    assert answer.endswith("The cheapest that clears it without rests: Do too_much.")
    answer = told(row, "enough_with_rests", "enough_with_rests")
    assert answer.endswith("None of them clears it without rests.")


def test_it_is_said_plainly_when_nothing_helps_or_nothing_can_be_tried(row: RowSheet):
    assert told(row, "not_enough", in_vain=7) == (
        "Of 7 remedies tried none helps zone 1."
    )
    assert told(row, "not_enough") == "The one remedy tried does not help zone 1."
    one = told(row, "not_enough", "enough", in_vain=0)
    assert one.startswith("The one remedy tried helps zone 1. ")
    nothing = told(row, "cannot", in_vain=0)
    assert nothing == f"There is nothing to try for zone 1: {row.verdict_text}"


def test_a_zone_that_clears_behind_its_main_alone_is_not_said_to_clear(row: RowSheet):
    assert told(row, "enough", "enough").endswith("It clears as it is.")
    apart = told(row, "enough", "enough", sheet="not_enough")
    assert apart.endswith(
        "Behind its main alone, with no zone before it, it clears as it is."
    )
