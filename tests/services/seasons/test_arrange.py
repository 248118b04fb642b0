"""A person adds steps, moves them and writes notes."""

from dataclasses import replace

import pytest

from maintenance.models import ListStep
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.seasons.arrange import add_step, move_step, write_notes
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.rebuild import rebuild_season_list
from maintenance.services.seasons.step_rows import own_key
from tests.services.seasons.lists import (
    BLOW,
    EVENING,
    FIRST,
    NOON,
    compiled,
    do,
    finish,
    ids,
    opened,
    step,
)

HYDRANT = step(own_key("h1"), text="Open the yard hydrant.")


@pytest.fixture
def list_id(owner):
    return opened(owner)


def keys(account, list_id):
    return [line.step.key for line in season_list(account, list_id=list_id).steps]


def add(account, list_id, added=HYDRANT, after=None):
    return add_step(
        account, list_id=list_id, step=added, after=after, now=NOON, actor="Cy"
    )


def move(account, list_id, key, after):
    numbers = ids(account, list_id)
    move_step(
        account,
        list_id=list_id,
        step=numbers[key],
        after=numbers[after] if after else None,
        now=NOON,
        actor="Cy",
    )


def test_a_step_is_added_where_a_person_wants_it_and_once(owner, list_id):
    number = add(owner, list_id, after=ids(owner, list_id)["second"])
    assert keys(owner, list_id) == ["first", "second", HYDRANT.key, "blow"]
    assert add(owner, list_id) == number
    assert keys(owner, list_id) == ["first", "second", HYDRANT.key, "blow"]
    line = season_list(owner, list_id=list_id).steps[2]
    assert (line.step, line.own, line.number) == (HYDRANT, True, 3)
    assert ListStep.objects.get(pk=number).history.get().actor == "Cy"
    add(owner, list_id, replace(HYDRANT, key=own_key("h2")))
    assert keys(owner, list_id)[0] == own_key("h2")


def test_two_steps_under_one_key_are_told_apart(owner, list_id):
    add(owner, list_id)
    with pytest.raises(
        ConflictError, match="Another step was added under this one's key"
    ):
        add(owner, list_id, replace(HYDRANT, text="Open the other hydrant."))


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"text": " "}, "The step says nothing"),
        ({"key": "first"}, 'a step of your own needs a key that begins with "own:"'),
        ({"key": "own:"}, "needs a key"),
        ({"minutes": float("nan")}, "cannot take nan minutes"),
        ({"minutes": -1.0}, r"cannot take -1\.0 minutes"),
    ],
)
def test_a_step_that_cannot_be_kept_is_refused(owner, list_id, fields, sentence):
    with pytest.raises(ServiceError, match=sentence):
        add(owner, list_id, replace(HYDRANT, **fields))
    assert len(keys(owner, list_id)) == 3


def test_a_step_is_moved_behind_another_or_to_the_head(owner, list_id):
    move(owner, list_id, "first", "blow")
    assert keys(owner, list_id) == ["second", "blow", "first"]
    move(owner, list_id, "blow", None)
    assert keys(owner, list_id) == ["blow", "second", "first"]
    move(owner, list_id, "blow", "blow")
    move(owner, list_id, "first", "second")
    assert keys(owner, list_id) == ["blow", "second", "first"]
    placed = {e.step.key: e.placed for e in season_list(owner, list_id=list_id).steps}
    assert placed == {"blow": True, "second": False, "first": True}
    assert [
        each.key for each in season_list(owner, list_id=list_id).procedure.steps
    ] == [
        "blow",
        "second",
        "first",
    ]


def test_what_was_done_under_the_same_key_stays_ahead_of_a_step(owner, list_id):
    do(owner, list_id, "second")
    anew = step("second", "B1/shutoff_2", "closed")
    rebuild_season_list(
        owner,
        list_id=list_id,
        compiled=compiled(owner, FIRST, anew, BLOW),
        now=NOON,
        actor="Cy",
    )
    move(owner, list_id, "second", None)
    lines = season_list(owner, list_id=list_id).steps
    assert [(e.step.key, e.step.to, e.gone) for e in lines[:2]] == [
        ("second", "half_open", True),
        ("second", "closed", False),
    ]


def test_what_stands_where_it_should_is_not_moved(owner, list_id):
    move(owner, list_id, "second", "first")
    assert not season_list(owner, list_id=list_id).steps[1].placed
    assert ListStep.objects.get(key="second").history.count() == 1


def test_a_step_that_is_not_there_is_not_moved(owner, stranger, list_id):
    options = {"list_id": list_id, "after": None, "now": NOON, "actor": "Cy"}
    with pytest.raises(NotFoundError, match="no step 0"):
        move_step(owner, step=0, **options)
    with pytest.raises(NotFoundError, match="no season list"):
        move_step(stranger, step=ids(owner, list_id)["first"], **options)
    with pytest.raises(NotFoundError, match="no step 0"):
        add(owner, list_id, after=0)
    assert keys(owner, list_id) == ["first", "second", "blow"]


def notes(account, list_id, text, seen=""):
    write_notes(account, list_id=list_id, notes=text, seen=seen, now=NOON, actor="Cy")


def test_notes_are_written_over_those_that_were_seen(owner, colleague, list_id):
    notes(owner, list_id, "Key is under the pot.")
    notes(owner, list_id, "Key is under the pot.")
    with pytest.raises(ConflictError, match="Someone else wrote notes"):
        notes(colleague, list_id, "Mind the dog.")
    notes(colleague, list_id, "Mind the dog.", seen="Key is under the pot.")
    assert season_list(owner, list_id=list_id).head.notes == "Mind the dog."
    with pytest.raises(ServiceError, match="cannot be stored"):
        notes(owner, list_id, "\x00", seen="Mind the dog.")


def test_nothing_of_a_closed_list_is_arranged(owner, list_id):
    do(owner, list_id, "first")
    finish(owner, list_id)
    close_season_list(owner, list_id=list_id, now=EVENING, actor="Ann")
    with pytest.raises(ConflictError, match="was closed by Ann"):
        add(owner, list_id, replace(FIRST, key=own_key("2")))
    with pytest.raises(ConflictError, match="was closed by Ann"):
        move(owner, list_id, "first", "blow")
    with pytest.raises(ConflictError, match="was closed by Ann"):
        notes(owner, list_id, "Late.")
