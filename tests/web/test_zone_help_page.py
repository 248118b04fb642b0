"""What would help a zone: reached from its row, with the choices asked for."""

import json
import re
from html import unescape

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from maintenance.engine.units import parse_quantity
from maintenance.services.accounts import local_account
from maintenance.services.blowout import help_of, sheets
from maintenance.services.inventory import queries
from tests.web.conftest import COMPRESSOR, text_of

LARKMOOR = reverse("blowout", args=["larkmoor"])


def address(zone: str, key: str = "larkmoor") -> str:
    return reverse("zone_help", args=[key, zone])


def test_each_zone_that_falls_short_has_its_link_and_no_other_row(estate: Client):
    asked = {"compressor": ["yard-25", "pancake-6"], "air": "40 degF", "row": "28"}
    body = unescape(estate.get(LARKMOOR, asked).content.decode())
    links = dict(re.findall(r'class="helps screen-only" href="([^"]+)">([^<]+)<', body))
    (sheet,) = sheets(
        local_account(),
        site_key="larkmoor",
        compressor_keys=["yard-25"],
        air_temperature_k=parse_quantity("40 degF", "temperature"),
    )
    short = [
        row.row.zone
        for row in sheet.rows
        if row.row.zone and row.verdict not in ("enough", "too_much")
    ]
    assert len(short) >= 3
    kept = "?compressor=yard-25&compressor=pancake-6&air=40+degF"
    assert links == {
        f"{address(zone)}{kept}": f"What would help zone {zone}" for zone in short
    }


def test_the_page_shows_what_the_engine_found(estate: Client):
    asked = {"compressor": "pancake-6"}
    answer = estate.get(address("13"), asked)
    assert answer.status_code == 200
    text = text_of(answer)
    account = local_account()
    site = queries.site(account, key="larkmoor")
    machine = queries.compressor(account, key="pancake-6")
    found = help_of(site, machine, zone="13")
    assert found.remedies
    said = [each.text for each in found.remedies]
    for each in (*said, *(trial.text for trial in found.in_vain)):
        assert each in text
    tried = len(found.remedies) + len(found.in_vain)
    assert f"Of {tried} remedies tried {len(found.remedies)} help" in text
    assert "Caution Air off and gauge at zero before" in text
    # The cheapest first, each with its result in words and its mark.
    table = answer.content.decode().split('class="remedies"')[1].split("</table>")[0]
    assert re.findall(r'<th scope="row">([^<]+)<', table) == ["As it is", *said]
    assert table.count('<span class="state"><svg') == 1 + len(said)


def test_the_zone_is_told_as_it_stands_on_the_sheet(estate: Client):
    (sheet,) = sheets(
        local_account(), site_key="larkmoor", compressor_keys=["pancake-6"]
    )
    row = next(each for each in sheet.rows if each.row.zone == "13")
    text = text_of(estate.get(address("13"), {"compressor": "pancake-6"}))
    assert row.verdict_text in text
    assert f"Passes and rests {len(row.passes)} ×" in text


def test_the_choices_come_along_and_lead_back(estate: Client):
    asked = {"compressor": "yard-25", "air": "10 degC", "set": "30 psi"}
    answer = estate.get(address("13"), asked)
    text = text_of(answer)
    assert "with yard-25, air and ground 50 °F" in text
    assert "this page takes the tool’s own" in text
    back = f"{LARKMOOR}?compressor=yard-25&air=10+degC&set=30+psi"
    assert unescape(answer.content.decode()).count(f'href="{back}"') == 2
    plain = text_of(estate.get(address("13"), {"compressor": "yard-25"}))
    assert "this page takes the tool’s own" not in plain
    assert "air and ground 45 °F" in plain


def test_the_units_are_those_of_the_browser(estate: Client):
    estate.cookies["units"] = "si"
    text = text_of(estate.get(address("27"), {"compressor": "pancake-6"}))
    for word in ("kPa", "L/min", "25.4 mm hose", "228 L in all"):
        assert word in text
    for word in ("psi", "cfm", "gal", "ft", "°F"):
        assert not re.search(rf"\d {word}\b", text)


def test_a_zone_for_which_nothing_clears_says_so(estate: Client):
    text = text_of(estate.get(address("28"), {"compressor": "pancake-6"}))
    assert "None of them clears it." in text
    assert "No free air would be enough with these tanks" in text


def test_where_water_stays_in_two_places_both_are_drained(estate: Client):
    text = text_of(estate.get(address("13"), {"compressor": "yard-25"}))
    both = "Fit or open a drain at H13-4 and at H13-3."
    assert f"The cheapest that clears it: {both}" in text
    assert "Fit or open a drain at H13-4." in text, "one alone is tried too"


def test_any_zone_may_be_asked_for_also_of_one_card(estate: Client):
    for key, zone in (
        ("larkmoor", "1"),
        ("crook-lane-22", "2"),
        ("cinder-walk-9", "9"),
    ):
        answer = estate.get(address(zone, key))
        assert answer.status_code == 200, key
        assert f"What would help zone {zone}" in text_of(answer)
        assert "zone" in text_of(answer)


@pytest.mark.parametrize("zone", ["99", "main:E1", "13 "])
def test_an_unknown_zone_is_not_found(estate: Client, zone: str):
    answer = estate.get(address(zone))
    assert answer.status_code == 404
    assert "There is nothing at this address" in text_of(answer)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"compressor": "none-such"}, '"none-such" is not kept here'),
        ({"air": "300 degF"}, "Air temperature: That is no air outdoors"),
        ({"compressor": ["pancake-6", "yard-25", "towed-185", "wheeled-26"]}, "4 are"),
    ],
)
def test_a_choice_that_cannot_be_followed_is_a_sentence(estate, asked, sentence):
    answer = estate.get(address("13"), asked)
    assert answer.status_code == 422
    assert sentence in text_of(answer)


def test_without_a_compressor_the_sheet_says_what_to_do(office: Client, lateral: str):
    answer = office.get(address("1", lateral))
    assert answer.headers["Location"] == reverse("blowout", args=[lateral])


def test_without_a_regulator_it_is_said_why_nothing_can_be_worked_out(office, lateral):
    record = json.loads(COMPRESSOR.read_text("utf-8"))
    del record["regulator"]
    office.post("/import/", {"text": json.dumps(record)})
    answer = office.get(address("1", lateral))
    assert answer.status_code == 200
    text = text_of(answer)
    assert "no pressure regulator is recorded" in text
    assert "Passes and rests" not in text
    sheet = office.get(reverse("blowout", args=[lateral]))
    assert "What would help" not in text_of(sheet)


def test_the_page_takes_at_most_twelve_queries(estate: Client):
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address("13")).status_code == 200
    assert len(seen) <= 12
