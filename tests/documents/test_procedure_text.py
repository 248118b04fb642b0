"""The shutdown of Larkmoor as a person reads it, held to a file that was read through.

Renew it, and read what changed, with
``.venv/bin/python manage.py procedure fixtures/demo/larkmoor.json --shutdown
--compressor fixtures/demo/compressors/yard-25.json > fixtures/golden/larkmoor-shutdown.txt``
"""

import difflib
import re

from maintenance.documents.procedure_text import WIDTH, procedure_text
from maintenance.engine.procedure.report import report_list
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.step import Procedure
from tests.engine.procedure.shutdown.lists import (
    larkmoor_drained,
    larkmoor_list,
    larkmoor_sheet,
)
from tests.fixtures.demo import DEMO, larkmoor

GOLDEN = DEMO.parent / "golden" / "larkmoor-shutdown.txt"


def text_of(procedure: Procedure, *, sheet=None) -> str:
    return procedure_text(report_list(larkmoor(), procedure, sheet=sheet), sheet=sheet)


def whole() -> str:
    return text_of(larkmoor_list(), sheet=larkmoor_sheet())


def test_larkmoors_shutdown_reads_as_it_was_read_through():
    kept = GOLDEN.read_text("utf-8").rstrip("\n")
    changed = difflib.unified_diff(
        kept.splitlines(), whole().splitlines(), "kept", "now", lineterm="", n=0
    )
    assert list(changed) == [], "renew it with the command at the head of this test"


def test_what_stays_open_stands_before_the_first_step():
    text = whole()
    assert text.index("STAYS OPEN") < text.index("[ ]")
    assert "breaker 7" in text[: text.index("[ ]")]


def test_each_step_has_a_box_and_its_number():
    numbers = re.findall(r"^ {2}\[ \] +(\d+) ", whole(), re.MULTILINE)
    assert [int(n) for n in numbers] == list(range(1, len(larkmoor_list().steps) + 1))


def test_every_caution_of_every_step_is_printed():
    flat = " ".join(whole().split())
    for step in larkmoor_list().steps:
        for caution in step.cautions:
            assert f"Caution: {' '.join(caution.split())}" in flat, step.key


def test_the_check_is_told_at_the_head_and_rule_by_rule_at_the_end():
    text = whole()
    assert "Checked against 12 rules: no step breaks one." in text[:400]
    assert len(re.findall(r"^ {2}I\d+ .*: holds$", text, re.MULTILINE)) == 12


def test_a_broken_rule_is_told_at_the_head_and_at_its_step():
    """Without the step that lets the pressure off, what is opened next may spurt."""
    steps = tuple(s for s in larkmoor_list().steps if s.act != "relieve")
    text = text_of(Procedure("shutdown", steps), sheet=larkmoor_sheet())
    assert re.search(r"broken:\s+I4 at step \d+", text[:500])
    assert "BREAKS RULE I4" in text
    assert "no step breaks one" not in text


def test_lines_are_short_enough_for_paper():
    listed = whole().split("Where the steps come from")[0].splitlines()
    assert max(map(len, listed)) <= WIDTH


def test_no_word_promises_a_state():
    # The rules are named as the rules themselves name what was watched.
    text, _, _ = whole().lower().rpartition("checked against 12 rules")
    for word in ("proved", "guarantee", "compliant"):
        assert word not in text, word
    assert not re.search(r"\bsafe\b|\bdry\b", text)
    assert "should stay" in text


def test_a_list_without_air_names_no_compressor():
    text = text_of(larkmoor_drained())
    assert text.splitlines()[0] == "Shutdown list: Larkmoor Gardens"
    assert "psi on the gauge" not in text


def test_by_hand_each_change_over_is_its_own_step():
    by_hand = larkmoor_list(ShutdownChoices(change_over="hand"))
    text = text_of(by_hand, sheet=larkmoor_sheet())
    assert text.count("gauge at zero. Open zone") == 29
