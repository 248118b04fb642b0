"""A person adds a step; the list is checked with it."""

import pytest
from django.test import Client

from tests.web.conftest import text_of
from tests.web.season_pages import (
    address,
    finish,
    forms_of,
    keep_site,
    latest,
    look,
    start,
)


@pytest.fixture
def whole(office: Client):
    keep_site()
    return start(office, compressor="shop-25")


def _form(office, whole, after=""):
    page = f"{address(whole, 'add')}?after={after}"
    form = next(f for f in forms_of(office.get(page)) if "client_id" in f.fields)
    form.action = address(whole, "add")
    return form


def test_a_step_stands_behind_the_one_it_was_asked_for(office, whole):
    second = whole.steps[1]
    form = _form(office, whole, second.id)
    answer = form.send(
        office, text="Feed the dog.", minutes="5", caution="It bites gloves."
    )
    added = latest().steps[2]
    assert answer["Location"].endswith(f"#step-{added.id}")
    assert (added.step.text, added.step.minutes) == ("Feed the dog.", 5.0)
    assert added.step.cautions == ("It bites gloves.",)
    assert added.step.block == second.step.block
    assert added.own
    text = text_of(look(office, whole))
    assert "Added by a person." in text
    assert "it breaks none" in text


def test_the_same_form_sent_twice_adds_one_step(office, whole):
    form = _form(office, whole)
    answers = [form.send(office, text="Look again.") for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert len(latest().steps) == len(whole.steps) + 1
    assert latest().steps[-1].step.text == "Look again."


def test_a_step_that_moves_a_part_is_checked_and_explained(office, whole):
    form = _form(office, whole, "head")
    answer = form.send(
        office, text="Open the cocks.", part="B1/test_cocks", position="open", seen="on"
    )
    assert answer.status_code == 302, text_of(answer)
    first = latest().steps[0]
    assert (first.step.act, first.step.sees) == ("open", ("B1/test_cocks",))
    text = text_of(look(office, whole))
    assert "first at step 1." in text
    assert "under pressure: let it off first" in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"text": "  "}, "Write what is to be done."),
        ({"text": "x", "minutes": "soon"}, "Write whole minutes"),
        ({"text": "x", "part": "V99", "position": "open"}, "is no part here"),
        ({"text": "x", "part": "B1/test_cocks"}, "Choose what B1/test_cocks"),
        ({"text": "x", "position": "open"}, "Choose the part"),
        (
            {"text": "x", "part": "B1/test_cocks", "position": "off"},
            "B1/test_cocks can be: open",
        ),
        ({"text": "a\x00b"}, "Null characters are not allowed"),
        ({"text": "x" * 600}, "at most 500"),
    ],
)
def test_a_step_that_cannot_be_is_refused_at_its_question(office, whole, typed, said):
    answer = _form(office, whole).send(office, **typed)
    assert answer.status_code == 422
    text = text_of(answer)
    assert "Nothing was stored yet" in text
    assert said in text
    assert len(latest().steps) == len(whole.steps)


def test_nothing_is_added_to_a_closed_list(office, whole):
    form = _form(office, whole)
    finish(office, whole)
    office.post(address(whole, "close"))
    answer = form.send(office, text="Late.")
    assert answer.status_code == 422
    assert "was closed by" in text_of(answer)
    assert len(latest().steps) == len(whole.steps)
