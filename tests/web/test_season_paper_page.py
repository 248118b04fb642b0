"""Entry from paper: one form, all of it or nothing, sent twice stored once."""

import re
from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.models import Account, StepRecord
from maintenance.services.accounts import local_account
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from tests.services.seasons.lists import EVENING, do, end_zone, finish, ids, opened
from tests.web.conftest import text_of
from tests.web.paper_form import ALL, address, blank, filled, stored
from tests.web.season_lists import opened_larkmoor


@pytest.fixture
def list_id(office: Client) -> int:
    return int(opened(local_account()))


def test_one_form_stores_every_step_and_zone(office: Client, list_id: int) -> None:
    answer = office.post(address(list_id), filled(office, list_id, **ALL), follow=True)
    assert answer.status_code == 200
    assert "Stored from paper: 3 steps and 2 zones." in text_of(answer)
    whole = season_list(local_account(), list_id=list_id)
    first, second, blow = (line.report for line in whole.steps if line.report)
    # What a clock in Denver shows at half past three is 21:30 UTC in October.
    assert first.done_at == datetime(2026, 10, 14, 21, 30, tzinfo=UTC)
    assert (first.who, second.reason, second.note) == ("Ben", "rusted fast", "")
    assert (blow.reading.text, blow.reading.kind) == ("44 psi", "pressure")
    assert (blow.seconds, blow.note) == (154.0, "grit")
    ends = [(zone.outcome, zone.note) for zone in whole.zones]
    assert ends == [("done", ""), ("partly", "head 3 stuck")]


def test_sent_twice_it_is_stored_once(office: Client, list_id: int) -> None:
    data = filled(office, list_id, **ALL)
    for _ in range(2):
        answer = office.post(address(list_id), data, follow=True)
    assert "nothing was stored twice" in text_of(answer)
    assert stored() == (3, 2)
    close_season_list(local_account(), list_id=list_id, now=EVENING, actor="Ann")
    answer = office.post(address(list_id), data, follow=True)
    assert "nothing was stored twice" in text_of(answer)
    assert stored() == (3, 2)


def test_each_form_that_is_handed_out_has_an_id_of_its_own(
    office: Client, list_id: int
) -> None:
    tokens = {blank(office, list_id)["token"] for _ in range(3)}
    assert len(tokens) == 3
    assert all(len(token) > 20 for token in tokens)


def test_without_a_day_it_was_done_now(office: Client, list_id: int) -> None:
    data = filled(office, list_id, first={"outcome": "done"})
    office.post(address(list_id), data | {"day": "", "clock": ""})
    record = StepRecord.objects.get()
    assert record.done_at == record.received_at


def test_the_rest_was_done_only_if_a_person_says_so(
    office: Client, list_id: int
) -> None:
    told = {
        "second": {"outcome": "skipped", "note": "rusted fast"},
        "zone1": ("not_found", ""),
    }
    data = filled(office, list_id, **told) | {"rest": "yes"}
    for _ in range(2):
        answer = office.post(address(list_id), data, follow=True)
    assert "nothing was stored twice" in text_of(answer)
    whole = season_list(local_account(), list_id=list_id)
    outcomes = [line.report.outcome for line in whole.steps if line.report]
    assert outcomes == ["done", "skipped", "done"]
    # Zone 1 ends as its row did; of zone 4 the paper said otherwise.
    assert [zone.outcome for zone in whole.zones] == ["done", "not_found"]


def test_a_zone_whose_row_was_skipped_is_not_taken_for_done(
    office: Client, list_id: int
) -> None:
    told = {
        "blow": {"outcome": "skipped", "note": "no air left"},
        "zone1": ("done", ""),
    }
    data = filled(office, list_id, **told) | {"rest": "yes"}
    office.post(address(list_id), data)
    zone, _ = season_list(local_account(), list_id=list_id).zones
    assert (zone.outcome, zone.note) == ("skipped", "no air left")


def test_a_zone_that_no_step_tells_of_must_be_told(
    office: Client, list_id: int
) -> None:
    data = filled(office, list_id) | {"rest": "yes"}
    answer = office.post(address(list_id), data)
    assert answer.status_code == 422
    assert text_of(answer).count("No step tells how this zone ended") == 2
    assert stored() == (0, 0)


def test_a_note_at_a_blank_line_is_not_taken_for_done(
    office: Client, list_id: int
) -> None:
    told = {"first": {"note": "could not find it"}, "zone1": ("done", "")}
    data = filled(office, list_id, **told) | {"rest": "yes"}
    answer = office.post(address(list_id), data)
    assert answer.status_code == 422
    assert stored() == (0, 0)


def test_what_was_told_meanwhile_is_shown_and_what_was_typed_is_kept(
    office: Client, list_id: int
) -> None:
    data = filled(office, list_id, **ALL)
    do(local_account(), list_id, "first")
    answer = office.post(address(list_id), data)
    assert answer.status_code == 409
    words = text_of(answer)
    assert "already reported the step" in words
    assert "1 step had an outcome already" in words
    assert stored() == (1, 0)
    body = answer.content.decode()
    assert "rusted fast" in body
    # The page that came back has no question about it any more.
    one = ids(local_account(), list_id)["first"]
    for name in ("outcome", "reading", "seconds", "note"):
        del data[f"{name}-{one}"]
    assert office.post(address(list_id), data).status_code == 302
    assert stored() == (3, 2)


def test_a_zone_told_meanwhile_stores_no_step_either(
    office: Client, list_id: int
) -> None:
    data = filled(office, list_id, **ALL)
    end_zone(local_account(), list_id, "1", "not_found")
    answer = office.post(address(list_id), data)
    assert answer.status_code == 409
    assert "Someone else said meanwhile" in text_of(answer)
    assert stored() == (0, 1)


def test_a_closed_list_takes_no_paper(office: Client, list_id: int) -> None:
    data = filled(office, list_id, **ALL)
    finish(local_account(), list_id)
    assert "there is nothing to enter" in text_of(office.get(address(list_id)))
    close_season_list(local_account(), list_id=list_id, now=EVENING, actor="Ann")
    shown = office.get(address(list_id))
    assert "was closed by Ann" in text_of(shown)
    assert "<select" not in shown.content.decode()
    before = stored()
    answer = office.post(address(list_id), data)
    assert answer.status_code == 409
    assert "was closed by Ann" in text_of(answer)
    assert stored() == before


def test_a_strangers_list_is_not_there(office: Client) -> None:
    stranger = Account.objects.create(key="stranger", name="A stranger")
    theirs = opened(stranger)
    assert office.get(address(theirs)).status_code == 404
    data = {
        "token": "t",
        "who": "Ben",
        f"outcome-{ids(stranger, theirs)['first']}": "done",
    }
    assert office.post(address(theirs), data).status_code == 404
    assert stored() == (0, 0)


def test_a_list_stands_under_its_own_site_only(office: Client, list_id: int) -> None:
    assert office.get(address(list_id, "elsewhere")).status_code == 404


def test_the_form_of_a_large_site_asks_the_database_this_often(office: Client) -> None:
    list_id = opened_larkmoor(local_account())
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        answer = fresh.get(address(list_id, "larkmoor"))
    assert answer.status_code == 200
    assert len(seen) <= 12
    body = answer.content.decode()
    assert body.count('name="outcome-') == len(
        season_list(local_account(), list_id=list_id).all_steps
    )
    assert len(re.findall(r'<select name="zone-', body)) == 30


def test_a_form_of_a_very_large_site_is_not_turned_away(
    office: Client, list_id: int
) -> None:
    """A thousand fields are what Django takes; 300 steps alone have more."""
    data = filled(office, list_id, first={"outcome": "done"})
    data |= {f"outcome-{n}": "" for n in range(10_000, 12_000)}
    assert office.post(address(list_id), data).status_code == 302
    assert stored() == (1, 0)
