"""Verdicts against the limits that a public form prints, and our check values.

The form: City of Iowa City (Iowa), Public Drinking Water Program, *Backflow Prevention
Assembly Test Data and Maintenance Report*, 9/02 (www8.iowa-city.org/WebLink, document
1481641), read on 25 November 2026. The check values marked A are worked from it by
hand; the air gap's least opening is from Cerritos (California) 13.12.015.
"""

import json
import re
from datetime import date
from itertools import product

import pytest
from django.core.management import call_command

from maintenance.engine.backflow.validity import (
    calibration_on,
    certificate_on,
    years_after,
)
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.registry import find_worksheet
from tests.engine.backflow.field_readings import FORM, readings, verdict

pytestmark = pytest.mark.reference

# The column "test requirement" of the form, line by line.
PRINTED = {
    "RP": """check_1 Confirmed Pressure Drop 5.0 PSID min
        relief Opening Pressure 2.0 PSID min
        check_2 Differential Pressure in direction of flow 1.0 PSID min
        check_2_held Held against Backpressure Yes/No
        buffer Difference (Check Valve 1 - Relief) 3.0 PSID min""",
    "DC": """check_1 Differential Pressure in direction of flow 1.0 PSID min
        check_1_held Held against Backpressure (optional) Yes/No
        check_2 Differential Pressure in direction of flow 1.0 PSID min
        check_2_held Held against Backpressure (optional) Yes/No""",
    "PVB": """air_inlet Valve Opening Differential 1.0 PSID min
        check_1 Closes tight in direction of flow 1.0 PSID min""",
    "SVB": """check_1 Differential Pressure Across Check 1.0 PSID min
        air_inlet Start to Open at 1.0 PSID min
        fully_open Fully Open when supply is at atmospheric pressure Yes/No""",
}


def as_printed(device):
    for line in PRINTED[device].splitlines():
        key, words = line.split(maxsplit=1)
        number = re.search(r"(\d\.\d) PSID min", words)
        use = "optional" if "(optional)" in words else "required"
        yield key, number.group(1) if number else None, use


@pytest.mark.parametrize("device", PRINTED)
def test_the_shipped_limits_are_the_printed_ones(device):
    shipped = [
        (limit.key, None if limit.value is None else str(limit.value), limit.use)
        for limit in FORM.of(device)
        if limit.use != "not used"
    ]
    assert sorted(shipped, key=str) == sorted(as_printed(device), key=str)


def test_all_readings_about_the_limits_of_an_rp_agree_with_whole_tenths():
    counts = {"passed": 0, "failed": 0}
    for first, relief, second, held in product(
        range(48, 56), range(18, 26), range(9, 12), (True, False)
    ):
        passes = first >= 50 and relief >= 20 and second >= 10 and held
        passes = passes and first - relief >= 30
        found = verdict(
            "RP",
            readings(
                check_1=f"{first // 10}.{first % 10}",
                relief=f"{relief // 10}.{relief % 10}",
                check_2=f"{second // 10}.{second % 10}",
                check_2_held="yes" if held else "no",
            ),
        )
        assert (found.result == "passed") == passes, (first, relief, second, held)
        assert str(found.buffer) == f"{(first - relief) / 10:.1f}"
        counts[found.result] += 1
    assert min(counts.values()) > 30


A = [
    ("A1", "RP check_1=7.2 relief=3.1 check_2=1.8 held", "passed", "4.1", ""),
    ("A2", "RP check_1=5.1 relief=2.1 check_2=1.0 held", "passed", "3.0", ""),
    ("A3", "RP check_1=5.0 relief=2.1 check_2=1.4 held", "failed", "2.9", "buffer"),
    (
        "A4",
        "RP check_1=4.9 relief=1.8 check_2=2.0 held",
        "failed",
        "3.1",
        "Check valve 1|relief valve",
    ),
    ("A5", "RP check_1=8.0 relief=2.6 check_2=1.2 leaks", "failed", "5.4", "back-pr"),
    ("A7", "DC check_1=1.0 check_2=0.9", "failed", None, "Check valve 2"),
    ("A8", "PVB air_inlet=1.0 check_1=1.0", "passed", None, ""),
    ("A9", "SVB check_1=1.6 air_inlet=1.2 shut", "failed", None, "not fully open"),
]
WORDS = {
    "held": ("back_pressure_held", "yes"),
    "leaks": ("back_pressure_held", "no"),
    "shut": ("fully_open", "no"),
}


def inputs(line):
    device, *pairs = line.split()
    given = {"device": device}
    for pair in pairs:
        key, text = WORDS.get(pair) or pair.split("=")
        given[key] = f"{text} psi" if pair not in WORDS else text
    return given


@pytest.mark.parametrize(
    ("line", "result", "buffer", "about"), [row[1:] for row in A], ids=[a[0] for a in A]
)
def test_a_check_value_comes_out_with_one_reason_for_each_limit(
    line, result, buffer, about
):
    answered = find_worksheet("backflow_verdict").answer(inputs(line)).outputs
    assert answered["verdict"] == result
    assert answered["buffer_psi"] == buffer
    named, reasons = about.split("|") if about else [], answered["reasons"]
    assert isinstance(reasons, list)
    assert len(reasons) == len(named)
    assert all(part in reason for part, reason in zip(named, reasons, strict=True))


def test_the_inputs_and_outputs_are_those_of_the_contract():
    sheet = find_worksheet("backflow_verdict")
    measured = {"check_1", "relief", "check_2", "air_inlet", "gap", "supply_diameter"}
    answers = {"back_pressure_held", "fully_open"}
    names = {entry.name for entry in sheet.inputs}
    assert names == {"device", "criteria"} | measured | answers
    keys = ["verdict", "reasons", "buffer_psi"]
    assert [output.key for output in sheet.outputs] == keys


def test_an_input_that_the_device_does_not_have_is_refused_by_its_own_name():
    with pytest.raises(InputError, match="back_pressure_held: this is not") as caught:
        find_worksheet("backflow_verdict").answer(inputs("PVB check_1=1.0 held"))
    assert caught.value.input == "back_pressure_held"


def test_a6_a_relief_valve_that_did_not_open_fails_without_a_number(capsys):
    words = ["device=RP", "check_1=7.2 psi", "relief=did not open", "check_2=1.8 psi"]
    call_command("calculate", "backflow_verdict", *words, "--json")
    answered = json.loads(capsys.readouterr().out)
    assert answered["outputs"]["verdict"] == "failed"
    assert answered["outputs"]["buffer_psi"] is None
    assert answered["inputs"]["relief"]["value"] == "did not open"
    assert "0" not in json.dumps(answered["inputs"]["relief"])


@pytest.mark.parametrize(
    ("supply", "gap", "result"),
    [("3/4 in", "1.5 in", "passed"), ("3/8 in", "0.9 in", "failed")],
)
def test_a10_an_air_gap(supply, gap, result):
    given = {"device": "AG", "supply_diameter": supply, "gap": gap}
    answered = find_worksheet("backflow_verdict").answer(given).outputs
    assert answered["verdict"] == result


def test_a38_a_calibration_counts_on_its_last_day():
    ends = date(2025, 4, 30)
    assert not calibration_on(date(2025, 4, 30), ends=ends).flagged
    assert calibration_on(date(2025, 5, 1), ends=ends).flagged


def test_a39_a_certificate_of_three_years_from_29_february():
    ends = years_after(date(2024, 2, 29), 3)
    assert ends == date(2027, 2, 28)
    assert not certificate_on(date(2027, 2, 28), ends=ends).flagged
    assert certificate_on(date(2027, 3, 1), ends=ends).flagged


def test_a41_an_atmospheric_vacuum_breaker_is_inspected_not_tested():
    answered = find_worksheet("backflow_verdict").answer({"device": "AVB"})
    assert answered.outputs["verdict"] == "incomplete"
    assert "inspected, not tested" in answered.warnings[0].text
