"""Sheets of what is kept: one zone alone, passes asked for, and what would help."""

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.units import parse_quantity
from maintenance.exchange.demonstration import read_demonstration
from maintenance.services.blowout import help_of, sheets_of

FILES = read_demonstration()
SITE = next(each for each in FILES.sites if each.id == "crook-lane-22")
YARD = next(each for each in FILES.compressors if each.id == "yard-25")
LOW_PA = parse_quantity("30 psi", "pressure")


def test_one_zone_alone_is_the_row_of_the_whole_sheet():
    (whole,) = sheets_of(SITE, [YARD])
    (alone,) = sheets_of(SITE, [YARD], zone="5")
    (row,) = alone.rows
    assert row == next(each for each in whole.rows if each.row.key == "5")
    assert row.order > 1


def test_a_setting_for_one_zone_is_no_setting_for_the_others():
    (alone,) = sheets_of(SITE, [YARD], zone="5", setting_pa=LOW_PA)
    (row,) = alone.rows
    assert row.set_pressure_pa == pytest.approx(LOW_PA)
    # What is too much for another zone is not refused here.
    limits = {r.row.key: r.limit.limit_pa for r in sheets_of(SITE, [YARD])[0].rows}
    lowest = min((pa, key) for key, pa in limits.items() if pa and key != "main:D1")
    highest = max((pa, key) for key, pa in limits.items() if pa and key != "main:D1")
    between = (lowest[0] + highest[0]) / 2
    sheets_of(SITE, [YARD], zone=highest[1], setting_pa=between)
    with pytest.raises(InputError, match="above the limit of zone") as refused:
        sheets_of(SITE, [YARD], setting_pa=between)
    assert refused.value.input == "set"


def test_every_row_makes_the_passes_asked_for():
    (sheet,) = sheets_of(SITE, [YARD], passes=5)
    assert {len(row.passes) for row in sheet.rows} == {5}
    (usual,) = sheets_of(SITE, [YARD])
    assert [row.verdict for row in sheet.rows] == [r.verdict for r in usual.rows]


@pytest.mark.parametrize("passes", [0, 21])
def test_passes_that_nobody_makes_are_refused(passes: int):
    with pytest.raises(InputError, match="takes 1 to 20") as refused:
        sheets_of(SITE, [YARD], passes=passes)
    assert refused.value.input == "passes"


def test_what_would_help_is_worked_out_once():
    first = help_of(SITE, YARD, zone="4")
    assert help_of(SITE, YARD, zone="4") is first
    assert help_of(SITE, YARD, zone="4", air_temperature_k=280.0) is not first
    with pytest.raises(InputError, match='There is no zone "x"'):
        help_of(SITE, YARD, zone="x")
