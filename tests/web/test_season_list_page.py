"""The page for doing: what each row shows, what the check says, how it is asked for."""

import json
import re
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import retire_site, store_site
from maintenance.services.seasons.open_list import open_season_list
from tests.services.inventory.files import SUMMER, edited, read, rich_file
from tests.services.seasons.lists import (
    MORNING,
    compiled,
    do,
    end_zone,
    ids,
    many,
    report,
    step,
    tick as told,
)
from tests.web.conftest import text_of
from tests.web.season_pages import (
    LISTS,
    SITE,
    address,
    form_to,
    forms_of,
    keep_site,
    latest,
    look,
    start,
    start_estate,
    tick,
)

MOST_BYTES_SENT = 60_000


@pytest.fixture
def whole(office: Client):
    keep_site()
    return start(office, compressor="shop-25")


def _row(answer, line):
    """Return the text of one row."""
    body = answer.content.decode()
    at = body.index(f'<li id="step-{line.id}"')
    plain = re.sub(r"<[^>]+>", " ", body[at : body.index("</li>\n", at)])
    return re.sub(r"\s+", " ", unescape(plain))


def test_every_row_says_what_to_do_and_its_cautions_are_never_folded(office, whole):
    body = look(office, whole).content.decode()
    shown = re.sub(r"(?s)<details.*?</details>", "", body)
    plain = re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", shown)))
    cautions = [text for line in whole.steps for text in line.step.cautions]
    assert len(cautions) > 10
    assert [text for text in cautions if text not in plain] == []
    assert [s.step.block for s in whole.steps if s.step.block not in plain] == []
    for line in whole.steps:
        if line.step.act != "blow":
            assert line.step.text in plain


def test_why_and_source_stand_one_tap_away(office, whole):
    answer = look(office, whole)
    for line in whole.steps:
        row = _row(answer, line)
        assert line.step.why in row
        assert f"Source: {line.step.source}." in row


def test_a_row_of_air_shows_setting_and_times_once_and_asks_for_the_gauge(
    office, whole
):
    answer = look(office, whole)
    blow = next(line for line in whole.steps if line.step.row == "1")
    row = _row(answer, blow)
    setting, _, times = blow.step.to.partition("; ")
    assert [row.count(setting), row.count(times)] == [1, 1]
    assert "see it pass." in row
    assert "Gauge at the end" in row
    assert "Seconds of air" in row


def test_the_clock_counts_what_the_row_says(office, whole):
    body = look(office, whole).content.decode()
    blow = next(line for line in whole.steps if line.step.row == "1")
    found = re.search(rf'data-clock="\d+-{blow.id}" data-phases="([^"]+)"', body)
    assert found
    phases = json.loads(unescape(found[1]))
    front = re.search(r"(\d+) s till the water ends", blow.step.to)
    passes = re.search(r"(\d+) × (\d+) s", blow.step.to)
    assert front
    assert passes
    assert phases[0]["seconds"] == int(front[1])
    assert phases[0]["up"]
    of_passes = [each for each in phases if each["say"].startswith("Pass ")]
    assert [each["seconds"] for each in of_passes] == [int(passes[2])] * int(passes[1])
    assert all(each["air"] for each in of_passes)


def test_what_is_next_is_said_in_words_and_only_once(office, whole):
    for number in (1, 2):
        body = look(office, whole).content.decode()
        assert body.count('aria-current="step"') == 1
        line = next(line for line in whole.steps if line.number == number)
        assert f'<li id="step-{line.id}" class="step now"' in body
        assert _row(look(office, whole), line).startswith(f" {number} Next")
        tick(office, whole, number)


def test_what_stays_open_stands_in_its_own_block(office):
    whole = start_estate(office)
    text = text_of(look(office, whole))
    assert len(whole.stays_open) >= 3
    block = text[text.index("STAYS OPEN") : text.index("Who is at work")]
    for each in whole.stays_open:
        assert f"{each.id} : {each.why}" in block


def test_progress_is_said_in_words(office, whole):
    count = len(whole.steps)
    assert f"None of {count} steps has an outcome" in text_of(look(office, whole))
    tick(office, whole, 1)
    text = text_of(look(office, whole))
    assert f"1 of {count} steps have an outcome" in text
    assert f"1 of {count} Next: step 2" in text


def test_a_block_that_is_done_is_folded_and_still_there(office, whole):
    first = whole.steps[0].step.block
    of_block = [line for line in whole.steps if line.step.block == first]
    for line in of_block:
        tick(office, whole, line.number)
    answer = look(office, whole)
    assert f"All {len(of_block)} have an outcome" in text_of(answer)
    assert form_to(answer, f"/{of_block[0].id}/undo/").fields["client_id"]


def test_the_check_says_against_how_many_rules_and_what_a_skip_breaks(office, whole):
    text = text_of(look(office, whole))
    assert "Checked against 12 rules: it breaks none." in text
    relief = next(line for line in whole.steps if line.step.act == "relieve")
    form_to(look(office, whole), f"/{relief.id}/skip/").send(office, reason="no time")
    answer = look(office, whole)
    text = text_of(answer)
    assert re.search(r"Checked against 12 rules: it breaks \d+ of them, first at", text)
    broken = [line for line in latest().steps if "Breaks a rule" in _row(answer, line)]
    assert broken
    assert "may still be under pressure" in _row(answer, broken[0])
    form_to(answer, f"/{relief.id}/undo/").send(office)
    assert "it breaks none" in text_of(look(office, whole))


def test_moving_a_step_is_checked_at_once(office, whole):
    shut = next(line for line in whole.steps if line.step.act == "close")
    form = form_to(look(office, whole), f"/{shut.id}/move/")
    form.send(office, place=str(len(whole.steps)))
    answer = look(office, whole)
    assert "it breaks none" not in text_of(answer)
    assert "Moved here by a person" in _row(answer, shut)


def test_a_skipped_row_of_air_leaves_more_water_on_the_page_and_the_map(office, whole):
    def water():
        shown = text_of(office.get(address(whole, "water-left")))
        found = re.search(r"(?:About|More than) (\d+) gal|No pipe should", shown)
        assert found, shown[:600]
        return float(found[1] or 0)

    before = water()
    page = text_of(look(office, whole))
    blow = next(line for line in whole.steps if line.step.row == "1")
    form_to(look(office, whole), f"/{blow.id}/skip/").send(office, reason="no air")
    assert water() > before
    assert text_of(look(office, whole)) != page
    assert "no air" in text_of(office.get(address(whole, "water-left")))


def test_a_list_that_its_site_no_longer_fits_is_not_called_checked(office):
    keep_site()
    account = local_account()
    list_id = open_season_list(
        account,
        site_key=SITE,
        compiled=compiled(account, step("odd", "V99", "closed")),
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    text = text_of(office.get(f"{LISTS}{list_id}/"))
    assert "Not checked:" in text
    assert "V99" in text


def test_a_changed_or_retired_site_is_told_on_top(office, whole):
    changed = edited(rich_file(), lambda file: file.update(name="Other"))
    store_site(read(changed), account=local_account(), now=SUMMER)
    answer = look(office, whole)
    assert "The site was changed since this list was compiled" in text_of(answer)
    retire_site(local_account(), key=SITE, now=SUMMER)
    assert "Close this list as it stands" in text_of(look(office, whole))


def test_what_the_list_lacks_is_said(office):
    text = text_of(look(office, start_estate(office)))
    assert "What this list lacks" in text
    assert "Not blown: 10." in text


@pytest.fixture
def long_list(office):
    """A list of 150 steps, a third of them reported."""
    keep_site()
    account = local_account()
    list_id = open_season_list(
        account,
        site_key=SITE,
        compiled=compiled(account, *many(150)),
        year=2026,
        now=MORNING,
        actor="Ann",
    )
    do(account, list_id, *(f"s{n}" for n in range(50)), reading="45 psi")
    end_zone(account, list_id, "1")
    return list_id


def test_a_list_of_150_steps_asks_the_database_rarely(office, long_list):
    with CaptureQueriesContext(connection) as seen:
        assert Client().get(f"{LISTS}{long_list}/").status_code == 200
    # account, list, steps, records, zones, site and its four sorts of parts, figures,
    # the frost depth for the water that is left
    assert len(seen) == 12


def test_the_list_of_an_estate_goes_over_a_weak_signal(office):
    whole = start_estate(office)
    sent = office.get(address(whole), headers={"Accept-Encoding": "gzip"})
    assert sent.headers["Content-Encoding"] == "gzip"
    assert len(sent.content) < MOST_BYTES_SENT


def test_a_list_with_air_asks_once_more_for_its_compressor(office):
    whole = start_estate(office)
    with CaptureQueriesContext(connection) as seen:
        assert Client().get(address(whole)).status_code == 200
    assert len(seen) == 13


def test_each_form_of_a_page_has_an_id_of_its_own_for_its_report(office, whole):
    sent = [
        form.fields["client_id"]
        for form in forms_of(look(office, whole))
        if form.action.endswith("/done/")
    ]
    assert len(sent) == len(set(sent)) == len(whole.steps)


def test_a_report_from_a_clock_that_was_wrong_is_marked(office, whole):
    account = local_account()
    key = whole.steps[0].step.key
    wrong = told(ids(account, whole.head.id)[key], done_at=MORNING.replace(year=2031))
    report(account, whole.head.id, wrong)
    assert "That clock was wrong" in _row(look(office, whole), whole.steps[0])
