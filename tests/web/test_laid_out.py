"""A straight run is laid out by one button, and taken back by another."""

import json
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from tests.services.inventory.files import rich_file
from tests.web.conftest import text_of

KEY = "example-lateral"
ZONE = reverse("edit_part", args=[KEY, "zones", "4"])
BUTTON = reverse("lay_out", args=[KEY, "4"])
SITE = reverse("site", args=[KEY])


@pytest.fixture
def straight(office: Client) -> Client:
    """Import a site with a quick zone 4."""
    answer = office.post("/import/", {"text": json.dumps(rich_file())})
    assert answer.status_code == 302, text_of(answer)
    return office


def _file(office: Client) -> bytes:
    return office.get(reverse("site_file", args=[KEY])).content


def test_the_button_says_what_happens_and_stands_at_quick_zones_only(
    straight: Client,
) -> None:
    page = straight.get(ZONE)
    assert BUTTON in page.content.decode()
    assert "Puts a valve and 7 heads with the pipe before each" in text_of(page)
    assert "no figure of the sheet changes" in text_of(page)
    other = straight.get(reverse("edit_part", args=[KEY, "zones", "1"]))
    assert "lay-out" not in other.content.decode()


def test_each_head_and_pipe_can_be_changed_afterwards(
    straight: Client, version_of: Callable[[str], str]
) -> None:
    answer = straight.post(BUTTON, {"version": version_of(ZONE)}, follow=True)
    assert "Zone 4 is laid out part by part" in text_of(answer)
    pipe = reverse("edit_part", args=[KEY, "links", "4.p1"])
    assert pipe in straight.get(SITE).content.decode()
    answers = {"from": "4.s", "to": "4.h1", "pipe": "PE SIDR-15", "size": "1"}
    answers |= {"length": "31 ft", "length-origin": "measured"}
    answers |= {"placement": "buried", "version": version_of(pipe)}
    assert straight.post(pipe, answers).status_code == 302
    links = {link["id"]: link for link in json.loads(_file(straight))["links"]}
    assert links["4.p1"]["length"] == {"value": "31 ft", "origin": "measured"}
    assert links["4.p2"]["length"]["origin"] == "assumed"
    # The layout was changed by hand: taking it back would lose that.
    assert "Undo" not in text_of(straight.get(SITE))


def test_it_is_taken_back_with_one_button(
    straight: Client, version_of: Callable[[str], str]
) -> None:
    before = _file(straight)
    straight.post(BUTTON, {"version": version_of(ZONE)})
    assert _file(straight) != before
    answer = straight.post(reverse("undo", args=[KEY]), follow=True)
    assert "Zone 4 is a straight run again" in text_of(answer)
    assert _file(straight) == before
    assert straight.post(reverse("undo", args=[KEY])).status_code == 404


def test_after_a_change_by_someone_else_it_is_not_taken_back(
    straight: Client, version_of: Callable[[str], str]
) -> None:
    straight.post(BUTTON, {"version": version_of(ZONE)})
    changed = json.loads(_file(straight)) | {"name": "Theirs"}
    Client().post("/import/", {"text": json.dumps(changed)})
    assert "Undo" not in text_of(straight.get(SITE))
    answer = straight.post(
        reverse("undo", args=[KEY]), headers={"referer": f"http://testserver{SITE}"}
    )
    assert answer.status_code == 409
    assert f'href="{SITE}"' in answer.content.decode()
    assert json.loads(_file(straight))["name"] == "Theirs"


def test_an_older_page_lays_nothing_out_and_leads_back_to_the_zone(
    straight: Client, version_of: Callable[[str], str]
) -> None:
    version = version_of(ZONE)
    changed = rich_file() | {"name": "Theirs"}
    straight.post("/import/", {"text": json.dumps(changed)})
    before = _file(straight)
    answer = straight.post(
        BUTTON, {"version": version}, headers={"referer": f"http://testserver{ZONE}"}
    )
    assert answer.status_code == 409
    assert f'href="{ZONE}"' in answer.content.decode()
    assert straight.post(BUTTON).status_code == 409
    assert _file(straight) == before


@pytest.mark.parametrize(
    "came_from", ["", "http://elsewhere.example/x/", "http://testserver//elsewhere/"]
)
def test_a_conflict_leads_to_no_other_place(straight: Client, came_from: str) -> None:
    body = straight.post(BUTTON, headers={"referer": came_from}).content.decode()
    assert f'href="{BUTTON}"' in body
    assert "elsewhere" not in body


def test_a_zone_that_is_laid_out_or_absent_is_said(
    straight: Client, version_of: Callable[[str], str]
) -> None:
    version = version_of(ZONE)
    answer = straight.post(reverse("lay_out", args=[KEY, "1"]), {"version": version})
    assert answer.status_code == 422
    assert "Zone 1 is laid out already" in text_of(answer)
    absent = reverse("lay_out", args=[KEY, "99"])
    assert straight.post(absent, {"version": version}).status_code == 404


def test_the_rows_of_the_sheet_read_the_same_before_and_after(
    straight: Client, machine: str, version_of: Callable[[str], str]
) -> None:
    sheet = f"{reverse('blowout', args=[KEY])}?compressor={machine}"

    def rows() -> str:
        text = text_of(straight.get(sheet))
        start = text.index("Rows, in the order to blow them")
        return text[start : text.index("If this happens")]

    before = rows()
    assert "Zone 4" in before
    straight.post(BUTTON, {"version": version_of(ZONE)})
    assert rows() == before
