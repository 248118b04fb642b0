"""The blow-out sheet as a page: complete, cheap, and a sentence where it is empty."""

import html
import json
import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.services.accounts import local_account
from maintenance.services.blowout import sheets
from maintenance.services.errors import ServiceError
from tests.web.conftest import COMPRESSOR, LATERAL, text_of

LARKMOOR = "/sites/larkmoor/blow-out/"


def imported(office: Client, record: object) -> None:
    answer = office.post("/import/", {"text": json.dumps(record)})
    assert answer.status_code == 302, text_of(answer)


def test_the_sheet_says_everything_that_a_person_needs(estate: Client):
    answer = estate.get(LARKMOOR, {"compressor": "yard-25"})
    assert answer.status_code == 200
    text = text_of(answer)
    assert "yard-25 should clear" in text
    for heading in (
        "Before the engine starts",
        "Rows, in the order to blow them",
        "If this happens",
        "Bring",
        "After",
        "What is assumed",
        "Notes",
        "Profile of",
        "Find out first",
    ):
        assert heading in text, heading
    for zone in range(1, 31):
        assert re.search(rf"\bZone {zone}\b", text)
    for words in ("Changing by hand", "Changing by controller", "each for two"):
        assert words in text


def test_every_row_tells_what_the_engine_worked_out(estate: Client):
    (sheet,) = sheets(local_account(), site_key="larkmoor", compressor_keys=["yard-25"])
    body = estate.get(LARKMOOR, {"compressor": "yard-25"}).content.decode()
    orders = re.findall(r'<td class="n" data-head="No.">(\d+)</td>', body)
    assert [int(text) for text in orders] == list(range(1, len(sheet.rows) + 1))
    text = re.sub(r"\s+", " ", body)
    for row in sheet.rows:
        for caution in row.cautions:
            assert caution.split(":")[0].replace("'", "&#x27;") in text


def test_a_limit_is_rounded_down_and_a_need_up(office: Client, lateral, machine):
    text = text_of(office.get(f"/sites/{lateral}/blow-out/", {"set": "50 psi"}))
    # 548.6 kPa are 79.57 psi; the front takes 54.7 s.
    assert re.search(r"Zone 1.*? 79 .*? 50 55 ", text)
    office.cookies["units"] = "si"
    text = text_of(office.get(f"/sites/{lateral}/blow-out/", {"set": "50 psi"}))
    assert re.search(r"Zone 1.*? 548 .*? 344 55 ", text)


def test_the_sentences_follow_the_units_of_the_browser(estate: Client):
    estate.cookies["units"] = "si"
    text = text_of(estate.get(LARKMOOR, {"compressor": "yard-25"}))
    assert re.search(r"Set mains at \d+ kPa; zones at \d+ kPa", text)
    refused = text_of(estate.get(LARKMOOR, {"set": "2000 kPa"}))
    assert "2000 kPa is above the limit of zone" in refused


def test_a_figure_opens_on_its_method_inputs_and_sources(office, lateral, machine):
    body = office.get(f"/sites/{lateral}/blow-out/").content.decode()
    assert body.count('<details class="door">') >= 4
    text = text_of(office.get(f"/sites/{lateral}/blow-out/"))
    assert "Rigid water column in a tree of pipes" in text
    assert "Source: Churchill 1977" in text
    assert "free air, mean" in text


def test_three_compressors_stand_side_by_side_and_a_fourth_is_refused(estate):
    three = ["yard-25", "pancake-6", "towed-185"]
    answer = estate.get(LARKMOOR, {"compressor": three})
    text = text_of(answer)
    assert answer.status_code == 200
    assert "Side by side" in text
    for key in three:
        assert f"{key} should clear" in text
    answer = estate.get(LARKMOOR, {"compressor": [*three, "wheeled-26"]})
    assert answer.status_code == 422
    assert "4 are chosen; choose 3 at most" in text_of(answer)
    with pytest.raises(ServiceError, match="at most 3"):
        sheets(
            local_account(),
            site_key="larkmoor",
            compressor_keys=[*three, "wheeled-26"],
        )


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"set": "300 psi"}, "300 psi is above the limit of zone"),
        ({"set": "40"}, '"40" has no unit; write "40 psi"'),
        ({"air": "nan degF"}, "does not start with a number"),
        ({"air": "300 degF"}, "no air outdoors"),
        ({"longest_pass": "1 s"}, "Give 5 s to 600 s"),
        ({"passes": "0"}, "Give a whole number, 1 to 20"),
        ({"passes": "21"}, "Give a whole number, 1 to 20"),
        ({"passes": "2.5"}, "Give a whole number, 1 to 20"),
        ({"zone": "99"}, '"99" is no zone of this site'),
        ({"zone": "1", "set": "300 psi"}, "300 psi is above the limit of zone 1"),
        ({"compressor": "none-such"}, '"none-such" is not kept here'),
    ],
)
def test_a_choice_that_cannot_be_followed_is_told_and_kept(
    office, lateral, machine, asked, sentence
):
    answer = office.get(f"/sites/{lateral}/blow-out/", asked)
    assert answer.status_code == 422
    assert sentence in text_of(answer)
    (name, typed) = list(asked.items())[-1]
    assert f'id="id_{name}_error"' in answer.content.decode()
    if name not in ("compressor", "zone"):
        assert f'value="{typed}"' in answer.content.decode()


def test_a_shorter_pass_shortens_the_passes(office, lateral, machine):
    address = f"/sites/{lateral}/blow-out/"
    assert "× 60 s" in text_of(office.get(address))
    assert "× 20 s" in text_of(office.get(address, {"longest_pass": "20 s"}))


def test_the_passes_are_those_asked_for(office, lateral, machine):
    text = text_of(office.get(f"/sites/{lateral}/blow-out/", {"passes": "7"}))
    assert re.search(r"Zone 1\b.*? 7 × 60 s", text)


def test_one_zone_stands_alone_with_a_setting_of_its_own(estate: Client):
    asked = {"compressor": "yard-25", "zone": "13", "set": "30 psi", "air": "50 degF"}
    answer = estate.get(LARKMOOR, asked)
    assert answer.status_code == 200
    body = answer.content.decode()
    assert body.count('<tr class="main">') == 1
    assert '<option value="13" selected>zone 13, Bowls green, north-east' in body
    text = text_of(answer)
    assert "zone 13 only , show all zones" in text
    assert "once the rows before its number are blown" in text
    assert "Profile of Zone 13" in text
    back = "?compressor=yard-25&amp;set=30+psi&amp;air=50+degF"
    assert f'href="{back}">show all zones' in body
    assert "show all zones" not in text_of(estate.get(LARKMOOR))


def test_a_zone_of_a_card_can_be_shown_alone(estate: Client):
    body = estate.get("/sites/cinder-walk-9/blow-out/", {"zone": "4"}).content.decode()
    assert body.count('<tr class="main">') == 1


def test_the_profile_is_that_of_the_row_asked_for(estate: Client):
    for key, name in (("13", "Zone 13"), ("coupler:Q3", "Coupler Q3")):
        text = text_of(estate.get(LARKMOOR, {"row": key}))
        assert f"Profile of {name} From the port" in text


def test_the_site_page_leads_to_the_profile_of_each_zone(estate: Client):
    body = estate.get("/sites/larkmoor/").content.decode()
    address = re.search(r'href="([^"]+)" aria-label="Profile of zone 13"', body)
    assert address
    assert "Profile of Zone 13 From the port" in text_of(
        estate.get(html.unescape(address[1]).partition("#")[0])
    )


def test_without_a_compressor_the_page_says_what_to_do(office, lateral):
    answer = office.get(f"/sites/{lateral}/blow-out/")
    assert answer.status_code == 200
    assert "There is no compressor yet" in text_of(answer)


def test_without_a_zone_the_page_says_what_to_do(office, machine):
    record = json.loads(LATERAL.read_text("utf-8"))
    supply = {"id": "S1", "kind": "supply", "elevation": "0 ft", "source": "well"}
    record |= {"points": [supply], "links": [], "zones": []}
    imported(office, record | {"id": "bare"})
    answer = office.get("/sites/bare/blow-out/")
    assert answer.status_code == 200
    assert "There is no zone to blow yet" in text_of(answer)


def test_without_a_port_each_row_says_what_to_fit(office, machine):
    record = json.loads(LATERAL.read_text("utf-8"))
    for point in record["points"]:
        if point["kind"] == "blowout_port":
            point["kind"] = "junction"
            point.pop("fitting", None)
            point.pop("where", None)
    imported(office, record | {"id": "portless"})
    answer = office.get("/sites/portless/blow-out/")
    assert answer.status_code == 200
    assert "has no blow-out port: fit a port" in text_of(answer)


def test_without_a_regulator_no_setting_is_shown(office, lateral):
    record = json.loads(COMPRESSOR.read_text("utf-8"))
    del record["regulator"]
    imported(office, record)
    answer = office.get(f"/sites/{lateral}/blow-out/")
    assert answer.status_code == 200
    text = text_of(answer)
    assert "No setting: no pressure regulator is recorded" in text


def test_a_site_from_one_card_says_that_its_layout_is_assumed(estate: Client):
    for line in ("kiln-steps-31", "whin-cottage", "pound-yard-3"):
        answer = estate.get(f"/sites/{line}/blow-out/")
        assert answer.status_code == 200, line
        assert "assumed" in text_of(answer).lower()


def test_a_site_that_is_not_there_is_not_found(office: Client):
    assert office.get("/sites/nowhere/blow-out/").status_code == 404


def test_the_page_takes_at_most_twelve_queries(estate: Client):
    three = ["yard-25", "pancake-6", "towed-185"]
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(LARKMOOR, {"compressor": three}).status_code == 200
    assert len(seen) <= 12
