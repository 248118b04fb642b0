"""The commands ``calculate`` and ``check_references``."""

import json
from dataclasses import replace

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from maintenance.engine.worksheets.examples import published_examples
from maintenance.engine.worksheets.registry import WORKSHEETS
from maintenance.management.commands import check_references

FREE_AIR = (
    "free_air_delivery=25 cfm",
    "elevation=5280 ft",
    "inlet_temperature=40 degF",
)


def run(capsys, *words):
    call_command("calculate", *words)
    return capsys.readouterr().out


def test_options_may_stand_anywhere(capsys):
    for words in (
        ("--json", "free_air", *FREE_AIR),
        ("free_air", "--json", *FREE_AIR),
        ("free_air", *FREE_AIR[:1], "--json", *FREE_AIR[1:]),
        ("free_air", *FREE_AIR, "--json"),
    ):
        whole = json.loads(run(capsys, *words))
        assert whole["worksheet"] == "free_air"
        scfm = whole["outputs"]["standard_m3_per_s"] / (0.3048**3 / 60)
        assert scfm == pytest.approx(21.74, rel=0.003)


def test_the_text_names_result_inputs_method_and_source(capsys):
    text = run(capsys, "free_air", *FREE_AIR)
    assert "flow of standard air: 21.7 cfm (615 L/min)" in text
    assert "free_air_delivery = 25 cfm (stated)" in text
    assert "Method: " in text
    assert "Source: US Standard Atmosphere 1976" in text


def test_a_refusal_is_a_sentence_and_with_json_an_object_too(capsys):
    with pytest.raises(CommandError, match="elevation") as refusal:
        call_command(
            "calculate", "free_air", "--json", "elevation=nan m", *FREE_AIR[:1]
        )
    error = json.loads(capsys.readouterr().out)["error"]
    assert error["input"] == "elevation"
    assert error["text"] == str(refusal.value)
    assert (error["low"], error["high"]) == (-430.0, 6000.0)


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("fre_air",), "free_air"),
        (("free_air", "25 cfm"), 'key="value unit"'),
        (("free_air", "elevation=0 m", "elevation=1 m"), "twice"),
        (("free_air", "elevtion=0 m"), "elevation"),
    ],
)
def test_a_slip_is_named_with_its_mend(words, named):
    with pytest.raises(CommandError, match=named):
        call_command("calculate", *words)


def test_the_list_names_each_worksheet_and_each_input(capsys):
    assert len(run(capsys, "--list").splitlines()) == len(WORKSHEETS)
    text = run(capsys, "head_air", "--list")
    assert all(entry.name in text for entry in WORKSHEETS["head_air"].inputs)


def test_every_reference_is_printed_with_its_difference(capsys):
    call_command("check_references")
    text = capsys.readouterr().out
    assert text.count("expected,") == len(published_examples())
    assert "; 0 differ." in text
    assert "DIFFERS" not in text


def test_a_reference_that_differs_fails_the_command(capsys, monkeypatch):
    wrong = replace(published_examples()[2], expected="30 cfm")
    monkeypatch.setattr(check_references, "published_examples", lambda: (wrong,))
    with pytest.raises(CommandError, match="1 of the check values"):
        call_command("check_references")
    assert "DIFFERS" in capsys.readouterr().out
