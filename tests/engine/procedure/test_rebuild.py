"""A list rebuilt keeps all that was done, and says beforehand what would change."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.progress import positions_reached
from maintenance.engine.procedure.rebuild import difference, rebuild
from tests.engine.procedure.listed_steps import (
    COMPILED,
    listed,
    numbered,
    open_lists,
    step,
)

START = {key.upper(): "open" for key in "abcdefgh"}


def compiled_part(rows):
    """Return the compiled steps that stand, without those a person placed."""
    return [e.step.key for e in rows if not (e.own or e.gone or e.placed)]


def moved_once(rows):
    """Return the parts whose position no order of the steps can change."""
    moves = [e.step.on for e in rows if e.outcome == "done"]
    return [part for part in moves if moves.count(part) == 1]


def keys(found):
    return [getattr(each, "key", None) or each.step.key for each in found]


@settings(max_examples=150)
@given(rows=open_lists(), first=COMPILED, second=COMPILED)
def test_no_rebuild_loses_or_rewords_what_was_done(rows, first, second):
    for steps in (first, second, first):
        told = {e.row: (e.step, e.outcome, e.when) for e in rows if e.outcome}
        before = {each.row for each in rows}
        was = positions_reached(START, rows).positions
        rows = numbered(rebuild(rows, steps))
        assert before <= {each.row for each in rows}
        assert told == {e.row: (e.step, e.outcome, e.when) for e in rows if e.outcome}
        now = positions_reached(START, rows).positions
        for part in moved_once(rows):
            assert now[part] == was[part]


@settings(max_examples=150)
@given(rows=open_lists(), first=COMPILED, second=COMPILED)
def test_a_rebuilt_list_asks_for_what_was_compiled(rows, first, second):
    for steps in (first, second):
        rows = numbered(rebuild(rows, steps))
        standing = {e.step.key: e for e in rows if not (e.own or e.gone)}
        assert standing.keys() == {each.key for each in steps}
        for each in steps:
            if standing[each.key].outcome is None:
                assert standing[each.key].step == each
            else:
                assert standing[each.key].step.changes == each.changes
                assert standing[each.key].step.act == each.act
        free = [key for key in keys(steps) if not standing[key].placed]
        assert compiled_part(rows) == free


@settings(max_examples=150)
@given(rows=open_lists(), steps=COMPILED)
def test_after_a_rebuild_there_is_no_difference_and_rebuilding_changes_nothing(
    rows, steps
):
    once = numbered(rebuild(rows, steps))
    assert not difference(once, steps)
    assert rebuild(once, steps) == once


@settings(max_examples=100)
@given(rows=open_lists())
def test_a_list_differs_in_nothing_from_itself(rows):
    itself = tuple(e.step for e in rows if not (e.own or e.gone))
    found = difference(rows, itself)
    assert not found
    assert found.kept == ()
    assert rebuild(rows, itself) == rows


@settings(max_examples=100)
@given(rows=open_lists(), steps=COMPILED)
def test_what_a_person_added_stays_behind_the_step_it_stood_behind(rows, steps):
    new = numbered(rebuild(rows, steps))
    kept = {each.key for each in steps}
    fixed = [e for e in new if e.step.key in kept and not e.gone and not e.placed]
    after: dict[int | None, str | None] = {}
    before = None
    for each in rows:
        if each.own:
            after[each.row] = before
        elif each.step.key in kept and not each.placed:
            before = each.step.key
    for row, wanted in after.items():
        at = next(n for n, each in enumerate(new) if each.row == row)
        ahead = [each.step.key for each in new[:at] if each in fixed]
        assert (ahead[-1] if ahead else None) == wanted


def test_added_gone_changed_and_moved_are_told_apart():
    rows = listed(
        (step("a"), "done"),
        (step("b"), "done"),
        step("c"),
        step("d"),
        step("e"),
        step("f"),
    )
    steps = [step("f"), step("a"), step("c", "half_open"), step("e"), step("g")]
    steps.insert(3, step("d", text="In other words."))
    found = difference(rows, steps)
    assert keys(found.added) == ["g"]
    assert [(e.step.key, e.outcome) for e in found.gone] == [("b", "done")]
    assert [e.is_.key for e in found.changed] == ["c", "d"]
    assert keys(found.moved) == ["f"]
    assert (found.again, found.kept) == ((), ())


def test_another_deed_is_to_be_done_though_the_former_was():
    rows = listed((step("a", "half_open"), "done"), step("b"))
    steps = (step("a", "closed"), step("b"))
    assert [e.is_ for e in difference(rows, steps).again] == [steps[0]]
    old, new, other = rebuild(rows, steps)
    assert (old.row, old.gone, old.outcome) == (1, True, "done")
    assert (new.row, new.gone, new.outcome) == (None, False, None)
    assert other == rows[1]
    assert positions_reached({}, (old, new)).positions == {"A": "half_open"}


def test_a_regulator_set_otherwise_is_set_again_a_zone_is_not_blown_again():
    rows = listed(
        (step("set", "45 psi", act="set", changes=()), "done"),
        (step("blow", "45 psi", act="blow", changes=()), "done"),
    )
    steps = (
        step("set", "40 psi", act="set", changes=()),
        step("blow", "40 psi", act="blow", changes=()),
    )
    found = difference(rows, steps)
    assert [each.is_.key for each in found.again] == ["set"]
    assert [each.is_.key for each in found.kept] == ["blow"]
    assert bool(difference(rows[1:], steps[1:])) is False


def test_a_part_that_comes_back_has_what_was_done_of_it():
    rows = listed((step("a"), "done"), (step("b"), "done"))
    without = numbered(rebuild(rows, [step("b")]))
    assert [(e.row, e.gone) for e in without] == [(1, True), (2, False)]
    assert rebuild(without, [step("a"), step("b")]) == rows


def test_a_step_that_comes_back_undone_is_the_same_step():
    rows = listed(step("a"), step("b"))
    without = numbered(rebuild(rows, [step("b")]))
    assert rebuild(without, [step("a"), step("b")]) == rows


def test_a_step_that_stands_is_not_changed_for_its_own_double():
    rows = listed((step("a"), None, {"gone": True}), step("a"), step("b"))
    assert rebuild(rows, [step("a"), step("b")]) == rows


def test_what_was_done_in_between_counts_and_not_what_was_done_before():
    rows = listed((step("a", "half_open"), "done"))
    rows = numbered(rebuild(rows, [step("a", "closed")]))
    untouched = rebuild(rows, [step("a", "half_open")])
    assert [(e.row, e.gone) for e in untouched] == [(2, True), (1, False)]
    shut = tuple(e if e.gone else replace(e, outcome="done") for e in rows)
    again = rebuild(shut, [step("a", "half_open")])
    assert [(e.row, e.outcome, e.gone) for e in again] == [
        (1, "done", True),
        (2, "done", True),
        (None, None, False),
    ]


def test_a_late_report_never_counts_for_another_deed():
    rows = listed(step("a", "half_open"))
    rows = numbered(rebuild(rows, [step("a", "closed")]))
    late = tuple(replace(e, outcome="done") if e.row == 1 else e for e in rows)
    assert [e.outcome for e in late if not e.gone] == [None]
    assert not difference(late, [step("a", "closed")])


def test_a_place_that_a_person_chose_outlives_a_rebuild():
    rows = listed(step("b"), (step("a"), None, {"placed": True}), step("c"))
    steps = [step("a"), step("b"), step("c")]
    assert not difference(rows, steps)
    assert rebuild(rows, steps) == rows


def test_two_steps_of_one_name_are_refused():
    with pytest.raises(InputError, match='two steps of the new list are named "a"'):
        difference((), [step("a"), step("a")])
    with pytest.raises(InputError, match="give each its own"):
        rebuild((), [step("a"), step("a")])
