"""Where water is left: the map, the line, what to do, and the choices that change it."""

import json
import re
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from maintenance.documents.water_words import ESTIMATE, answer_words, zone_waters
from maintenance.services.accounts import local_account
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries
from maintenance.services.water_left import water_left_of
from tests.web.conftest import COMPRESSOR, text_of

PUBLIC = {"source": "public", "static_pressure": "60 psi", "flow": "10 gpm"}


def address(key: str = "larkmoor") -> str:
    return reverse("water_left", args=[key])


def left(compressor: str = "", **keys: Any) -> Any:
    account = local_account()
    site = queries.site(account, key="larkmoor")
    if compressor:
        machine = queries.compressor(account, key=compressor)
        (keys["sheet"],) = sheets_of(site, [machine])
    return water_left_of(site, **keys)


def test_the_site_leads_to_its_map(estate: Client) -> None:
    body = estate.get(reverse("site", args=["larkmoor"])).content.decode()
    assert f'<a href="{address()}">Where water is left</a>' in body


def test_the_page_shows_what_the_engine_found_plan_first(estate: Client) -> None:
    answer = estate.get(address(), {"compressor": "yard-25"})
    assert answer.status_code == 200
    body, text = answer.content.decode(), text_of(answer)
    found = left("yard-25")
    assert answer_words(found, "us") in text
    assert ESTIMATE in text
    headings = re.findall(r"<h2>([^<]+)</h2>", body)
    assert headings[0] == "Plan"
    assert headings[1].startswith("Profile of ")
    assert headings[2:] == ["By zone", "What to look at"]
    for line in zone_waters(found, "us"):
        told = line.do[0].upper() + line.do[1:]
        assert f"{line.name} {line.word} {line.water} {line.wet}" in text
        assert told in text
    assert not re.search(r"\b(dry|safe|proved)\b", text)


def test_drained_only_is_a_choice_and_the_usual_machine_the_default(
    estate: Client,
) -> None:
    usual, drained = (
        text_of(estate.get(address())),
        text_of(estate.get(address(), {"compressor": ""})),
    )
    assert "blown out with yard-25" in usual
    assert "Shown for the compressor with the largest tank" in usual
    assert answer_words(left("yard-25"), "us") in usual
    assert "drained only, no air" in drained
    assert answer_words(left(), "us") in drained
    assert "or blow it out" in drained


def test_a_zone_left_out_changes_the_map(estate: Client) -> None:
    asked = {"compressor": "yard-25", "skip": ["13", "15"]}
    text = text_of(estate.get(address(), asked))
    assert "blown out with yard-25 but for zones 13, 15" in text
    assert answer_words(left("yard-25", skipped=["13", "15"]), "us") in text
    assert "Zone 15 was not blown." in text
    assert "Zone 15 was not blown." not in text_of(estate.get(address()))


def test_a_frost_depth_and_a_line_are_followed(estate: Client) -> None:
    asked = {"frost_depth": "15 in", "line": "zone:27"}
    answer = estate.get(address(), asked)
    text = text_of(answer)
    assert "Profile of zone 27" in text
    assert "lies below the frost depth given" in text
    assert "how deep the frost goes there" in text
    assert 'value="15 in"' in answer.content.decode()


def test_a_zone_that_air_did_not_clear_leads_to_what_helps(estate: Client) -> None:
    body = unescape(estate.get(address()).content.decode())
    helps = reverse("zone_help", args=["larkmoor", "15"])
    assert f'href="{helps}?compressor=yard-25"' in body
    drained = estate.get(address(), {"compressor": ""}).content.decode()
    assert helps not in drained


def test_the_units_are_those_of_the_browser(estate: Client) -> None:
    estate.cookies["units"] = "si"
    text = text_of(estate.get(address(), {"compressor": "yard-25"}))
    assert re.search(r"About \d+ L of water should stay", text)
    for word in ("gal", "ft", "cfm"):
        assert not re.search(rf"\d {word}\b", text), word


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"compressor": "none-such"}, '"none-such" is not kept here'),
        ({"frost_depth": "40 ft"}, "That is no depth of frost: 0 to 30 ft."),
        ({"frost_depth": "deep"}, '"deep" does not start with a number'),
        ({"frost_depth": "nan in"}, '"nan in"'),
        ({"skip": "99"}, '"99" is no zone of this site'),
        ({"line": "zone:99"}, '"zone:99" is no line here'),
    ],
)
def test_a_choice_that_cannot_be_followed_is_a_sentence(
    estate: Client, asked: dict[str, str], sentence: str
) -> None:
    answer = estate.get(address(), asked)
    assert answer.status_code == 422
    text = text_of(answer)
    assert sentence in text
    assert "No map with these choices" in text


def test_without_a_compressor_it_is_drained_only_and_says_how_to_go_on(
    office: Client, lateral: str
) -> None:
    answer = office.get(address(lateral))
    text = text_of(answer)
    assert answer.status_code == 200
    assert "drained only, no air" in text
    assert "There is no compressor yet." in text
    assert reverse("site_compressor", args=[lateral]) in answer.content.decode()


def test_without_a_regulator_nothing_counts_as_blown_and_the_reason_is_told(
    office: Client, lateral: str
) -> None:
    record = json.loads(COMPRESSOR.read_text("utf-8"))
    del record["regulator"]
    office.post("/import/", {"text": json.dumps(record)})
    text = text_of(office.get(address(lateral)))
    assert "Nothing counts as blown." in text
    assert "no pressure regulator is recorded" in text


def test_without_a_pipe_it_says_what_to_do_first(office: Client) -> None:
    place = {"elevation": "300 m", "time_zone": "America/Denver"}
    record = {
        "format": "irrigation-site/1",
        "id": "bare",
        "name": "Bare",
        "place": place,
        "points": [{"id": "S", "kind": "supply", "elevation": "0 ft"} | PUBLIC],
        "links": [],
    }
    assert office.post("/import/", {"text": json.dumps(record)}).status_code == 302
    answer = office.get(address("bare"))
    assert answer.status_code == 200
    assert "There is no pipe yet that could hold water" in text_of(answer)
    assert reverse("site_pipes", args=["bare"]) in answer.content.decode()


def test_one_card_and_straight_runs_have_a_map_that_says_what_is_assumed(
    estate: Client,
) -> None:
    assert "assumed from one card" in text_of(estate.get(address("cinder-walk-9")))
    assert "Assumed layout in these zones" in text_of(
        estate.get(address("crook-lane-22"))
    )


def test_an_unknown_site_is_not_found(office: Client) -> None:
    assert office.get(address("none-such")).status_code == 404


def test_the_page_takes_at_most_twelve_queries(estate: Client) -> None:
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address()).status_code == 200
    assert len(seen) <= 12
