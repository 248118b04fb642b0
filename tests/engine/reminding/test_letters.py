"""What a reminder says, the same at each attempt, and on lines of our own only."""

import json
from datetime import date

from maintenance.engine.reminding.letters import (
    Envelope,
    Item,
    digest_of,
    hook_body,
    letter_about,
)
from maintenance.engine.reminding.watching import judge

ENVELOPE = Envelope("k", "a@example.org", "Ada", "https://x/stop/t/", "https://x/due/")
ITEM = Item(
    "Test RP at B1",
    "backflow_test",
    date(2027, 3, 31),
    7,
    "Yearly.",
    "Yard",
    "https://x/due/4/",
)


def test_a_letter_names_dates_and_reasons_and_how_to_end_it():
    letter = letter_about(ITEM, ENVELOPE)
    assert letter.subject == "Due 31 Mar 2027: Test RP at B1, Yard"
    for words in ("Wed 31 March 2027", "Yearly.", "https://x/due/4/", "7 days before"):
        assert words in letter.text
    assert letter.text.rstrip().endswith("https://x/stop/t/")
    assert letter == letter_about(ITEM, ENVELOPE)


def test_what_is_overdue_says_so():
    late = Item(ITEM.what, ITEM.kind, ITEM.due_on, -7)
    assert letter_about(late, ENVELOPE).subject.startswith("Overdue since 31 Mar 2027")


def test_no_text_of_ours_becomes_a_header():
    evil = Item("Test\r\nBcc: all@example.org", "custom", ITEM.due_on, 0)
    subject = letter_about(evil, ENVELOPE).subject
    assert "\r" not in subject
    assert "\n" not in subject


def test_a_digest_tells_of_each_thing_once_the_first_due_first():
    later = Item("Later", "custom", date(2027, 5, 1), 30)
    text = digest_of(date(2027, 4, 1), [later, ITEM], ENVELOPE).text
    assert text.index("Test RP") < text.index("Later")


def test_a_request_is_json_with_its_key():
    body = json.loads(hook_body(ITEM, key="o1:7:webhook:w2"))
    assert body["data"]["key"] == "o1:7:webhook:w2"
    assert body["data"]["due_on"] == "2027-03-31"


def test_silence_is_told_after_fifteen_and_five_minutes():
    def silent(late, drained, anyone=True):
        return judge(anyone=anyone, oldest_due_s=late, last_drain_s=drained).silent

    assert not silent(15 * 60, 5 * 60)
    assert silent(15 * 60 + 1, 0)
    assert silent(None, 5 * 60 + 1)
    assert silent(None, None)
    assert not silent(None, None, anyone=False)
