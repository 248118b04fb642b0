"""A list on paper loses no step, no caution and no number, whatever is said once."""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from maintenance.documents.season_print import (
    SHORT_WORDS,
    PrintStep,
    SaidOnce,
    SeasonPrint,
    letter_at,
    print_list,
    short,
)
from maintenance.documents.used_sheet import used_rows
from maintenance.engine.blowout.report import sheet_as_json
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.step import Procedure, Step
from tests.documents.season import sheet_of_larkmoor, shutdown_of_larkmoor, whole_of

WAYS = ("controller", "next_first", "hand")
DEEDS = (
    "Air off",
    "Air off before the station ends",
    "Leave the air on",
    "rest",
    "Start it again after a rest",
)


def printed(procedure, units="us", **fields) -> SeasonPrint:
    rows = used_rows(sheet_as_json(sheet_of_larkmoor(units)), units)
    return print_list(whole_of(procedure), rows, **fields)


def steps_of(found: SeasonPrint) -> list[PrintStep]:
    return [s for run in found.runs for block in run.blocks for s in block.steps]


APPLIES: dict[str, Callable[[PrintStep], bool]] = {
    "Each row": lambda _step: True,
    "From a station": lambda step: bool(step.station),
    "With a rest": lambda step: bool(step.used and "rest" in step.used.passes),
}


def at_the_step(step: PrintStep, said: Sequence[SaidOnce]) -> str:
    """Return all that a person reads for one row of air, wherever it stands."""
    words = [step.text, f"station {step.station}"]
    words += [each.text for each in said if APPLIES[each.rows](step)]
    if step.used:
        used = step.used
        words += [used.setting, used.front, used.passes, used.gauge]
    return " ".join(words)


def test_every_step_is_printed_once_and_in_order():
    procedure = shutdown_of_larkmoor()
    found = steps_of(printed(procedure))
    assert [each.line.step for each in found] == list(procedure.steps)
    assert len(found) > 100


def test_every_caution_stands_in_full_at_its_step_or_in_the_block():
    procedure = shutdown_of_larkmoor()
    found = printed(procedure)
    in_full = {each.letter: each.text for each in found.cautions}
    assert len(in_full) > 10
    for step in steps_of(found):
        whole = [in_full.get(each.letter, each.text) for each in step.cautions]
        assert whole == list(step.line.step.cautions)
        for each in step.cautions:
            if each.letter:
                assert in_full[each.letter].startswith(each.text.removesuffix(" …"))
            else:
                assert not each.text.endswith("…")


def test_a_letter_stands_at_two_steps_at_least_and_names_one_caution():
    found = printed(shutdown_of_larkmoor())
    letters = [each.letter for each in found.cautions]
    assert letters == [letter_at(place) for place in range(len(letters))]
    for each in found.cautions:
        at = [
            s for s in steps_of(found) if each.letter in {c.letter for c in s.cautions}
        ]
        assert len(at) >= 2, each


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("way", WAYS)
def test_nothing_that_a_row_of_air_asks_for_is_lost(way, units):
    """The text, the columns and what is said once hold every number and every deed."""
    procedure = shutdown_of_larkmoor(units, ShutdownChoices(change_over=way))
    found = printed(procedure, units)
    checked = 0
    for run in found.runs:
        for block in run.blocks:
            for step in block.steps:
                asked = step.line.step.text
                if step.used is None:
                    assert step.text == asked
                    continue
                checked += 1
                there = at_the_step(step, block.said)
                without_pass = asked.replace("after pass", "").split("rest")[0]
                for number in re.findall(r"(?<!\w)\d+", without_pass):
                    assert re.search(rf"\b{number}\b", there), (number, asked)
                for deed in DEEDS:
                    assert (deed in asked) == (deed in there), (deed, asked)
                assert "see it pass" in there
    assert checked > 25


def test_what_is_said_of_some_rows_is_true_of_no_other():
    found = printed(shutdown_of_larkmoor())
    some = 0
    for run in found.runs:
        for block in run.blocks:
            rows = [step for step in block.steps if step.used]
            for said in block.said:
                for step in rows:
                    for sentence in re.split(r"(?<=\.) ", said.text):
                        if "setting" in sentence:
                            continue
                        some += 1
                        there = sentence in step.line.step.text
                        assert APPLIES[said.rows](step) == there
    assert some > 20


def test_a_row_that_is_worded_otherwise_keeps_all_its_words():
    procedure = shutdown_of_larkmoor()
    blown = next(step for step in procedure.steps if step.act == "blow")
    other = replace(blown, text="Blow it as Ann showed you, at 15 psi and no more.")
    (step,) = steps_of(printed(Procedure("shutdown", (other,))))
    assert step.used is not None
    assert step.text == other.text


def test_a_row_without_figures_stands_as_it_is_worded():
    blown = Step(key="b", act="blow", on="Z", row="99", to="1; 2", text="Blow it.")
    found = printed(Procedure("shutdown", (blown,)))
    (run,) = found.runs
    assert (run.air, run.blocks[0].said) == (False, ())
    assert steps_of(found)[0].text == "Blow it."


def test_only_the_steps_asked_for_end_with_a_line_to_write_on():
    whole = whole_of(shutdown_of_larkmoor())
    found = print_list(whole, {}, asked=[whole.all_steps[3].id])
    asked = [s.line.number for s in steps_of(found) if s.to_read]
    assert asked == [4]


def test_a_step_that_a_rebuild_left_out_is_not_on_the_paper():
    whole = whole_of(shutdown_of_larkmoor())
    first, *others = whole.all_steps
    gone = replace(whole, all_steps=(replace(first, gone=True, number=None), *others))
    assert len(steps_of(print_list(gone, {}))) == len(others)


def test_the_time_of_the_paper_is_that_of_all_its_steps():
    procedure = shutdown_of_larkmoor()
    total = sum(step.minutes for step in procedure.steps)
    assert printed(procedure).minutes == pytest.approx(total)


@pytest.mark.parametrize(
    "caution",
    ["a an an an an an an an", "One.", "one: two three four five six seven eight"],
)
def test_a_short_caution_is_a_beginning_of_the_whole(caution):
    text = short(caution).removesuffix(" …")
    assert caution.startswith(text)
    assert 1 <= len(text.split()) <= max(SHORT_WORDS, len(caution.split()))
