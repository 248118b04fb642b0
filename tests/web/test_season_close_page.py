"""A season is closed once all has an outcome; a changed site shows its difference."""

import re

import pytest
from django.test import Client

from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import SUMMER, edited, read, rich_file
from tests.web.conftest import text_of
from tests.web.season_pages import (
    address,
    finish,
    form_to,
    forms_of,
    keep_site,
    latest,
    look,
    start,
    tick,
)


@pytest.fixture
def whole(office: Client):
    keep_site()
    return start(office, compressor="shop-25")


def _change_site(name="Rose bed"):
    changed = edited(rich_file(), lambda file: file["zones"][0].update(name=name))
    store_site(read(changed), account=local_account(), now=SUMMER)


def _rebuild_form(page):
    return next(form for form in forms_of(page) if "seen" in form.fields)


def test_closing_names_what_has_no_outcome(office, whole):
    answer = office.post(address(whole, "close"))
    assert answer.status_code == 422
    text = text_of(answer)
    assert "is not closed" in text
    assert f"{len(whole.steps)} steps (1:" in text
    assert "zones (1:" in text
    for line in whole.steps:
        assert f"#step-{line.id}" in answer.content.decode()
    assert latest().head.closed_at is None


def test_a_finished_list_is_closed_and_says_what_was_not_done(office, whole):
    first = whole.steps[0]
    form_to(look(office, whole), f"/{first.id}/skip/").send(office, reason="snow")
    finish(office, whole)
    page = text_of(office.get(address(whole, "close")))
    assert "snow" in page
    assert "nothing of it can be changed" in page
    assert office.post(address(whole, "close")).status_code == 302
    closed = text_of(look(office, whole))
    assert "read only" in closed
    assert "The season is closed" in closed


def test_closing_twice_is_one_closing(office, whole):
    finish(office, whole)
    assert office.post(address(whole, "close")).status_code == 302
    when = latest().head.closed_at
    again = office.post(address(whole, "close"))
    assert again.status_code == 409
    assert "was closed by" in text_of(again)
    assert latest().head.closed_at == when
    assert office.get(address(whole, "close")).status_code == 302


def test_what_was_moved_in_another_order_is_to_be_looked_at(office, whole):
    moved = [(c, s) for s in whole.steps for c in s.step.changes]
    again = [
        (earlier, later)
        for n, (first, earlier) in enumerate(moved)
        for second, later in moved[n + 1 :]
        if first.element == second.element and first.position != second.position
    ]
    earlier, later = again[0]
    part = later.step.changes[0].element
    tick(office, whole, later.number)
    assert "see how they stand" not in text_of(office.get(address(whole, "close")))
    tick(office, whole, earlier.number)
    text = text_of(office.get(address(whole, "close")))
    assert re.search(rf"see how they stand: [^.]*{re.escape(part)}", text)


def test_an_unchanged_site_makes_no_difference(office, whole):
    text = text_of(office.get(address(whole, "rebuild")))
    assert "Nothing: the list is as it would be compiled now" in text


def test_the_difference_is_seen_before_the_list_is_rebuilt(office, whole):
    tick(office, whole, 1)
    _change_site()
    finish_refused = office.post(address(whole, "close"))
    assert finish_refused.status_code == 422
    page = office.get(address(whole, "rebuild"))
    text = text_of(page)
    assert "Changed" in text
    assert "Rose bed" in text
    assert not any("Rose bed" in line.step.text for line in latest().steps)
    form = _rebuild_form(page)
    form.action = address(whole, "rebuild")
    assert form.send(office).status_code == 302
    after = latest()
    assert any("Rose bed" in line.step.text for line in after.steps)
    assert after.steps[0].report is not None
    assert after.head.site_changed is False
    # Sent once more it finds nothing to do and harms nothing.
    assert form.send(office).status_code == 302
    assert latest().steps == after.steps


def test_a_site_that_changed_in_between_is_a_conflict_in_one_sentence(office, whole):
    _change_site()
    form = _rebuild_form(office.get(address(whole, "rebuild")))
    form.action = address(whole, "rebuild")
    _change_site("Herb bed")
    answer = form.send(office)
    assert answer.status_code == 409
    text = text_of(answer)
    assert "changed since you looked" in text
    assert "Herb bed" in text
    assert not any("bed" in line.step.text for line in latest().steps)


def test_a_list_with_everything_done_is_not_closed_over_a_changed_site(office, whole):
    finish(office, whole)
    _change_site()
    answer = office.post(address(whole, "close"))
    assert answer.status_code == 409
    assert "look at the difference" in text_of(answer)
    assert address(whole, "rebuild") in answer.content.decode()
    form = _rebuild_form(office.get(address(whole, "rebuild")))
    form.action = address(whole, "rebuild")
    assert form.send(office).status_code == 302
    finish(office, latest())
    assert office.post(address(whole, "close")).status_code == 302


def test_a_closed_list_is_not_rebuilt(office, whole):
    finish(office, whole)
    office.post(address(whole, "close"))
    assert office.get(address(whole, "rebuild")).status_code == 302
    assert office.post(address(whole, "rebuild"), {"seen": "x"}).status_code == 302
