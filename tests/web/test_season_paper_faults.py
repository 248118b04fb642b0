"""A fault of a paper stands at its line, and then nothing of it is stored."""

from typing import Any

import pytest
from django.test import Client

from maintenance.services.accounts import local_account
from tests.services.seasons.lists import opened
from tests.web.conftest import text_of
from tests.web.paper_form import ALL, HEAD, address, blank, filled, stored


@pytest.fixture
def list_id(office: Client) -> int:
    return int(opened(local_account()))


@pytest.mark.parametrize(
    ("told", "where", "fault"),
    [
        ({"second": {"outcome": "skipped"}}, "Step 2", "Write why it was skipped"),
        ({"blow": {"reading": "44"}}, "Step 3", "choose done or skipped"),
        (
            {"blow": {"outcome": "done", "seconds": "two"}},
            "Step 3",
            '"two" is no number of seconds',
        ),
        (
            {"first": {"outcome": "done", "reading": "48213"}},
            "Step 1",
            'The reading "48213" has no unit',
        ),
        (
            {"first": {"outcome": "done", "seconds": "999999"}},
            "Step 1",
            "longer than a step takes",
        ),
        ({"first": {"outcome": "maybe"}}, "Step 1", "choose done or skipped"),
        ({"zone1": ("partly", "")}, "Zone 4", "Write what is left of it"),
        ({"zone1": ("", "wet")}, "Zone 4", "choose how the zone ended"),
        ({"zone1": ("lost", "")}, "Zone 4", "is no way to end"),
    ],
)
def test_a_fault_stands_at_its_line_and_nothing_is_stored(
    office: Client, list_id: int, told: dict[str, Any], where: str, fault: str
) -> None:
    good = {"zone0": ("done", ""), "first": {"outcome": "done"}}
    data = filled(office, list_id, **(good | told))
    answer = office.post(address(list_id), data)
    assert answer.status_code == 422
    words = text_of(answer)
    assert "Nothing was stored. 1 to mend:" in words
    assert f"{where} : " in words or f"{where}: " in words
    # Once at the head of the form, with a link, and once at the line itself.
    assert words.count(fault) == 2
    assert stored() == (0, 0)
    body = answer.content.decode()
    assert data["token"] in body
    for value in ("rusted", "48213", "two"):
        assert (value in "".join(data.values())) <= (value in body)


@pytest.mark.parametrize(
    ("head", "fault"),
    [
        ({"who": " "}, "Write who did it"),
        ({"day": "2026-10-14", "clock": ""}, "is no day with a time"),
        ({"day": "", "clock": "15:30"}, "is no day with a time"),
        ({"day": "14.10.", "clock": "15:30"}, "is no day with a time"),
        ({"day": "2199-01-01", "clock": "08:00"}, "has not come yet"),
        ({"day": "0001-01-01", "clock": "00:10"}, "look at the year"),
        ({"token": ""}, "lost its id"),
    ],
)
def test_a_fault_of_the_head_is_one_sentence(
    office: Client, list_id: int, head: dict[str, str], fault: str
) -> None:
    answer = office.post(address(list_id), filled(office, list_id, **ALL) | head)
    assert answer.status_code == 422
    assert fault in text_of(answer)
    assert stored() == (0, 0)


def test_a_form_left_blank_stores_nothing_and_says_so(
    office: Client, list_id: int
) -> None:
    answer = office.post(address(list_id), blank(office, list_id) | HEAD)
    assert answer.status_code == 422
    assert "Nothing is filled in yet" in text_of(answer)
