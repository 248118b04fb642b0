"""The answer for one zone alone is about that zone, not about one of one."""

from dataclasses import replace

import pytest

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.exchange.demonstration import read_demonstration

FILES = read_demonstration()
LARKMOOR = next(each for each in FILES.sites if each.id == "larkmoor")
MACHINES = {each.id: each for each in FILES.compressors}
SAID = {
    "enough": "{name} should clear zone {zone}.",
    "too_much": "{name} should clear zone {zone}.",
    "enough_with_rests": "{name} should clear zone {zone}, with rests.",
    "not_enough": "{name} does not clear zone {zone}.",
    "cannot": "{name} does not clear zone {zone}.",
}


@pytest.mark.parametrize("name", ["yard-25", "pancake-6"])
def test_the_answer_follows_the_verdict_of_the_zone(name: str):
    rows = [r for r in make_sheet(LARKMOOR, MACHINES[name]).rows if r.row.zone]
    one_of_each = {row.verdict: row for row in rows}
    assert len(one_of_each) >= 3
    for verdict, row in one_of_each.items():
        assert row.row.zone
        sheet = make_sheet(LARKMOOR, MACHINES[name], zone=row.row.zone)
        said = SAID[verdict].format(name=name, zone=row.row.zone)
        assert sheet.answer.startswith(f"{said} Set zones at "), sheet.answer


def test_a_zone_without_a_setting_is_told_why():
    machine = replace(MACHINES["yard-25"], regulator=None)
    answer = make_sheet(LARKMOOR, machine, zone="13").answer
    assert answer.startswith("No setting can be given for yard-25: No setting: no ")
