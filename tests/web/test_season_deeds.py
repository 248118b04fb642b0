"""Each deed on a list's page, with a script and without: stored once, or one sentence."""

import re
from typing import Any

import pytest
from django.test import Client

from maintenance.services.accounts import local_account
from maintenance.services.seasons.queries import season_list
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


def _report(number):
    line = next(line for line in latest().steps if line.number == number)
    return line.report


def _at(answer):
    """Return the row that an answer leads to, however it says so."""
    assert answer.status_code == 302, text_of(answer)
    found = re.search(r"(?:#|\?at=)([a-z]+(?:-\d+)?)$", answer["Location"])
    return found[1] if found else ""


def _refused(answer, *, script, status):
    """Return what the row itself says; a script is answered 200, to be shown."""
    assert answer.status_code == (200 if script else status)
    body = answer.content.decode()
    assert 'role="alert"' in body
    (said,) = re.findall(r'<p class="fault">(.*?)</p>', body)
    return said


@pytest.mark.parametrize("script", [False, True])
def test_a_tick_is_stored_with_what_was_typed_and_leads_on(office, whole, script):
    blow = next(line for line in whole.steps if line.step.act == "blow")
    form = form_to(look(office, whole), f"/{blow.id}/done/")
    answer = form.send(
        office,
        f"Done: step {blow.number}",
        script=script,
        reading="12 psi",
        seconds="1:35",
        note="mist only",
    )
    following = next(s for s in whole.steps if s.number == blow.number + 1)
    assert _at(answer) == f"step-{following.id}"
    report = _report(blow.number)
    assert (report.outcome, report.reading.kind, report.seconds, report.note) == (
        "done",
        "pressure",
        95.0,
        "mist only",
    )


@pytest.mark.parametrize("script", [False, True])
def test_the_same_tick_sent_twice_is_stored_once(office, whole, script):
    form = form_to(look(office, whole), f"/{whole.steps[0].id}/done/")
    answers = [form.send(office, script=script) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [302] * 3
    line = latest().steps[0]
    assert line.report is not None
    assert line.undone == ()


def test_two_people_who_tick_one_step_are_told_of_each_other(office, whole):
    mine, theirs = (
        form_to(look(office, whole), f"/{whole.steps[0].id}/done/") for _ in "ab"
    )
    other = Client()
    other.post(address(whole, "who"), {"name": "Ben"})
    assert theirs.send(other).status_code == 302
    answer = mine.send(office, note="mine")
    said = _refused(answer, script=False, status=409)
    assert "Ben already reported the step" in said
    assert _report(1).who == "Ben"


@pytest.mark.parametrize("script", [False, True])
def test_seconds_that_are_none_are_refused_at_their_row_and_kept(office, whole, script):
    blow = next(line for line in whole.steps if line.step.act == "blow")
    form = form_to(look(office, whole), f"/{blow.id}/done/")
    answer = form.send(
        office, script=script, seconds="long", reading="9 psi", note="later"
    )
    said = _refused(answer, script=script, status=422)
    assert "long" in said
    assert _report(blow.number) is None
    kept = form_to(answer, f"/{blow.id}/done/").fields
    assert (kept["seconds"], kept["reading"], kept["note"]) == (
        "long",
        "9 psi",
        "later",
    )


@pytest.mark.parametrize("script", [False, True])
def test_a_skip_needs_its_reason(office, whole, script):
    first = whole.steps[0]
    form = form_to(look(office, whole), f"/{first.id}/skip/")
    said = _refused(form.send(office, script=script), script=script, status=422)
    assert "needs its reason" in said
    assert _report(1) is None
    answer = form.send(office, script=script, reason="nobody there")
    assert _at(answer) == f"step-{whole.steps[1].id}"
    report = _report(1)
    assert (report.outcome, report.reason) == ("skipped", "nobody there")
    assert "Because: nobody there." in text_of(look(office, whole))


def test_a_skip_after_a_tick_of_the_same_page_changes_nothing(office, whole):
    page = look(office, whole)
    first = whole.steps[0]
    form_to(page, f"/{first.id}/done/").send(office)
    answer = form_to(page, f"/{first.id}/skip/").send(office, reason="no")
    said = _refused(answer, script=False, status=409)
    assert "reported otherwise under the same id" in said
    assert _report(1).outcome == "done"


@pytest.mark.parametrize("script", [False, True])
def test_undo_takes_back_and_the_step_can_be_ticked_again(office, whole, script):
    first = whole.steps[0]
    tick(office, whole, 1)
    form = form_to(look(office, whole), f"/{first.id}/undo/")
    for _ in range(2):
        assert _at(form.send(office, script=script)) == f"step-{first.id}"
    assert _report(1) is None
    assert len(latest().steps[0].undone) == 1
    tick(office, whole, 1)
    assert _report(1).outcome == "done"


def _order():
    return [line.id for line in latest().steps]


@pytest.mark.parametrize("script", [False, True])
def test_a_step_moves_one_place_up_or_down(office, whole, script):
    first, second, third = _order()[:3]
    form = form_to(look(office, whole), f"/{second}/move/")
    assert _at(form.send(office, "Move up: step 2", script=script)) == f"step-{second}"
    assert _order()[:3] == [second, first, third]
    assert _at(form.send(office, "Move up: step 2", script=script))
    assert _order()[:3] == [second, first, third]
    down = form_to(look(office, whole), f"/{second}/move/")
    down.send(office, "Move down: step 1", script=script)
    assert _order()[:3] == [first, second, third]


def test_a_step_goes_to_a_place_that_is_typed_in(office, whole):
    before = _order()
    form = form_to(look(office, whole), f"/{before[0]}/move/")
    form.send(office, place="4")
    assert _order()[:4] == [*before[1:4], before[0]]
    form.send(office, place=str(len(before)))
    assert _order()[-1] == before[0]
    form.send(office, place="1")
    assert _order() == before


@pytest.mark.parametrize("place", ["", "0", "1000", "two", "-1", "9" * 5000])
def test_a_place_that_is_none_is_refused(office, whole, place):
    form = form_to(look(office, whole), f"/{whole.steps[0].id}/move/")
    said = _refused(form.send(office, place=place), script=False, status=422)
    assert "is no place in this list" in said


@pytest.mark.parametrize("script", [False, True])
def test_a_zone_ends_and_needs_a_note_where_something_is_left(office, whole, script):
    form = form_to(look(office, whole), "/zones/1/")
    partly = next(
        f for f in forms_of(look(office, whole)) if "Partly: zone 1" in f.buttons
    )
    said = _refused(
        partly.send(office, "Partly: zone 1", script=script), script=script, status=422
    )
    assert "needs a note" in said
    answer = partly.send(office, "Partly: zone 1", script=script, note="far end wet")
    assert _at(answer).startswith("zone")
    assert latest().zones[0].outcome == "partly"
    late = form.send(office, "Done: zone 1", script=script)
    assert "Someone else said meanwhile" in _refused(late, script=script, status=409)
    back = next(
        f for f in forms_of(look(office, whole)) if "Take it back: zone 1" in f.buttons
    )
    back.send(office, "Take it back: zone 1", script=script)
    assert latest().zones[0].outcome is None


def test_zones_end_as_their_steps_say_with_one_button(office, whole):
    assert not any(f.action.endswith("/zones/") for f in forms_of(look(office, whole)))
    for line in whole.steps:
        if line.step.row == "1":
            tick(office, whole, line.number)
    form_to(look(office, whole), "/zones/").send(office)
    assert {z.zone: z.outcome for z in latest().zones}["1"] == "done"


def test_notes_are_kept_and_a_colleagues_are_not_written_over(office, whole):
    page = look(office, whole)
    form_to(page, "/notes/").send(office, notes="Key in shed\r\nTwo lids broken")
    assert latest().head.notes == "Key in shed\nTwo lids broken"
    again = form_to(look(office, whole), "/notes/")
    again.send(office, notes=again.fields["notes"] + "\r\nDog")
    assert latest().head.notes.endswith("\nDog")
    late = form_to(page, "/notes/").send(office, notes="Mine")
    assert late.status_code == 409
    assert "Someone else wrote notes" in text_of(late)
    assert form_to(late, "/notes/").fields["notes"] == "Mine"


def test_who_is_at_work_is_asked_once_and_stands_with_each_report(office, whole):
    tick(office, whole, 1)
    form_to(look(office, whole), "/who/").send(office, name="  Zoë   Ånder ")
    tick(office, whole, 2)
    assert [_report(n).who for n in (1, 2)] == ["Someone", "Zoë Ånder"]
    assert form_to(look(office, whole), "/who/").fields["name"] == "Zoë Ånder"


def test_a_closed_list_is_read_only_whatever_was_open_in_a_browser(office, whole):
    page = look(office, whole)
    done = finish(office, whole)
    assert office.post(address(whole, "close")).status_code == 302
    closed = look(office, whole)
    assert not [f for f in forms_of(closed) if "/lists/" in f.action]
    assert "read only" in text_of(closed)
    first = done.steps[0]
    late: dict[str, dict[str, Any]] = {
        f"/{first.id}/skip/": {"reason": "no"},
        f"/{first.id}/move/": {"place": "2"},
        "/zones/1/": {"outcome": "partly", "note": "x", "seen": "done"},
        "/notes/": {"notes": "late"},
    }
    for ending, typed in late.items():
        answer = form_to(page, ending).send(office, **typed)
        assert answer.status_code == 409, ending
        assert "closed" in text_of(answer) or "same id" in text_of(answer)
    after = season_list(local_account(), list_id=whole.head.id)
    assert [line.report for line in after.steps] == [line.report for line in done.steps]
    assert after.zones == done.zones
    assert after.head.notes == ""


@pytest.mark.parametrize("name", ["note", "reading"])
def test_text_that_cannot_be_stored_is_refused_in_a_sentence(office, whole, name):
    form = form_to(look(office, whole), f"/{whole.steps[0].id}/done/")
    answer = form.send(office, **dict[str, Any]({name: "a\x00b"}))
    said = _refused(answer, script=False, status=422)
    assert name in said
    assert _report(1) is None


@pytest.mark.parametrize("step", [0, 10**9, 10**30])
def test_a_step_that_is_not_there_is_not_found(office, whole, step):
    data = {"client_id": "c1", "reason": "x"}
    for deed in ("done", "skip", "undo", "move"):
        answer = office.post(address(whole, step, deed), {**data, "place": "1"})
        assert answer.status_code == 404, deed


def test_deeds_want_the_token_of_the_page_and_no_link_reaches_them(office, whole):
    strict = Client(enforce_csrf_checks=True)
    first = whole.steps[0].id
    for more in (
        (first, "done"),
        (first, "skip"),
        (first, "undo"),
        (first, "move"),
        ("zones",),
        ("zones", "1"),
        ("notes",),
        ("who",),
    ):
        assert strict.post(address(whole, *more)).status_code == 403, more
        assert office.get(address(whole, *more)).status_code == 405, more
