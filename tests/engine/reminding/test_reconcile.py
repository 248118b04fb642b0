"""What is found against what is kept: written once, met, moved, ended."""

from dataclasses import replace
from datetime import date

from maintenance.engine.reminding.reconcile import Found, Kept, reconcile

GAUGE = Found(
    kind="gauge_calibration",
    about="gauge:1",
    due_on=date(2027, 5, 1),
    what="Calibrate",
    why="It ends.",
    zone="UTC",
    last_done_on=date(2026, 5, 1),
)


def test_what_is_kept_already_changes_nothing():
    changes = reconcile([Kept(9, GAUGE)], [GAUGE])
    assert (changes.new, changes.reworded, changes.ended) == ([], [], [])


def test_what_is_new_is_told_from_the_start():
    assert reconcile([], [GAUGE]).new == [(GAUGE, False)]


def test_a_date_that_was_met_is_done_and_the_next_is_told_from_the_start():
    after = replace(GAUGE, due_on=date(2028, 4, 20), last_done_on=date(2027, 4, 20))
    changes = reconcile([Kept(9, GAUGE)], [after])
    assert changes.new == [(after, False)]
    assert [(row, word) for row, word, _ in changes.ended] == [(9, "done")]


def test_a_date_that_was_only_put_off_is_withdrawn_and_not_told_anew():
    later = replace(GAUGE, due_on=date(2027, 6, 1))
    changes = reconcile([Kept(9, GAUGE)], [later])
    assert changes.new == [(later, True)]
    assert changes.ended == [(9, "withdrawn", "moved to 2027-06-01")]


def test_a_date_that_was_brought_forward_is_told_at_once():
    sooner = replace(GAUGE, due_on=date(2027, 4, 1))
    assert reconcile([Kept(9, GAUGE)], [sooner]).new == [(sooner, False)]


def test_what_is_no_longer_found_ends_with_the_right_word():
    assert reconcile([Kept(9, GAUGE)], []).ended[0][1] == "withdrawn"
    assert reconcile([Kept(9, GAUGE)], [], [GAUGE.place]).ended[0][1] == "done"


def test_new_words_for_the_same_date_reword_it():
    other = replace(GAUGE, why="Another rule.")
    assert reconcile([Kept(9, GAUGE)], [other]).reworded == [(9, other)]


def test_of_two_rows_about_the_same_thing_one_stays():
    old = replace(GAUGE, due_on=date(2027, 4, 1))
    changes = reconcile([Kept(8, old), Kept(9, GAUGE)], [GAUGE])
    assert changes.new == []
    assert [row for row, *_ in changes.ended] == [8]
