"""A site is typed in without a file; every question may stay open."""

import json
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from maintenance.engine.site import Head
from maintenance.engine.site.checks import check_site
from maintenance.engine.site.quick import expand_quick_zones
from maintenance.exchange.site_file import read_site
from maintenance.web.forms.new_compressor import NewCompressorForm
from maintenance.web.forms.new_site import NewSiteForm, WaterWaysForm
from tests.web.conftest import text_of


def _export(office: Client, key: str) -> str:
    return office.get(f"/sites/{key}/file/").content.decode()


def test_from_an_empty_database_to_the_sheet_in_five_pages(office: Client) -> None:
    pages = 1
    assert "/sites/new/" in office.get("/").content.decode()
    answer = office.post("/sites/new/", {"name": "Back garden"})
    pages += 1
    answer = office.post(answer.headers["Location"], {"version": "1", "zones": "1"})
    pages += 1
    answer = office.post(answer.headers["Location"], {"class": "wheeled"})
    pages += 1
    sheet = urlsplit(answer.headers["Location"])
    pages += 1
    assert sheet.path == "/sites/back-garden/blow-out/"
    assert parse_qs(sheet.query) == {"compressor": ["wheeled"]}
    assert pages <= 5


def test_knowing_nothing_but_a_name_gives_a_whole_site_marked_as_guessed(
    office: Client,
) -> None:
    first = dict.fromkeys(NewSiteForm().fields, "") | {"name": "Nobody knows"}
    office.post("/sites/new/", first)
    second = dict.fromkeys(WaterWaysForm(zones=1).fields, "")
    office.post("/sites/nobody-knows/pipes/", second | {"version": "1", "zones": "1"})
    site = read_site(_export(office, "nobody-knows"))
    assert check_site(site) == ()
    assert site.place.elevation.origin == "guessed"
    assert site.zones[0].quick is not None
    assert site.zones[0].quick.length.origin == "guessed"
    assert site.zones[0].quick.pipe == "unknown plastic"
    assert any(isinstance(p, Head) for p in expand_quick_zones(site).points)
    page = text_of(office.get("/sites/nobody-knows/"))
    assert "Not known yet: " in page
    assert "elevation, taken as 5000 ft" in page


def test_what_is_known_is_kept_as_entered(office: Client) -> None:
    first = {
        "name": "Hill house",
        "elevation": "1600 m",
        "time_zone": "America/Denver",
        "autumn_air": "45 degF",
        "source": "well",
        "static_pressure": "62 psi",
        "flow": "9 gpm",
        "pump": "submersible",
        "also_feeds": "house",
        "second_source": "public",
        "shut_off": "ball",
        "device": "PVB",
        "device_size": "1",
        "device_placement": "above_ground",
    }
    assert office.post("/sites/new/", first).status_code == 302
    second = {
        "version": "1",
        "zones": "2",
        "main_pipe": "PVC SDR-21",
        "main_size": "1-1/2",
        "main_length": "36 m",
        "main_fall": "-4 ft",
        "port": "after_device",
        "port_fitting": "1 in plug",
        "port_where": "box 1",
        "zone_1_pipe": "PE SIDR-15",
        "zone_1_size": "1",
        "zone_1_length": "120 ft",
        "zone_1_heads": "6",
        "zone_1_head": "rotor",
        "zone_1_flow": "2.5 gpm",
        "zone_1_at_pressure": "45 psi",
        "zone_1_fall": "3 ft",
    }
    answer = office.post("/sites/hill-house/pipes/", second)
    assert answer.status_code == 302, text_of(answer)
    record = json.loads(_export(office, "hill-house"))
    parts = {part["id"]: part for part in record["points"] + record["links"]}
    assert record["place"]["elevation"] == "1600 m"
    assert parts["S1"]["source"] == "well"
    assert parts["PU"]["pump"] == "submersible"
    assert parts["U1"]["what"] == "house"
    assert parts["S2"]["source"] == "public"
    assert parts["B1"]["device"] == "PVB"
    assert parts["P1"]["length"] == "36 m"
    assert parts["J3"]["elevation"] == "4 ft"
    assert parts["A1"]["where"] == "box 1"
    assert record["zones"] == [
        {
            "id": "1",
            "quick": {
                "pipe": "PE SIDR-15",
                "size": "1",
                "length": "120 ft",
                "heads": 6,
                "head": "rotor",
                "flow": "2.5 gpm",
                "at_pressure": "45 psi",
                "from": "J3",
                "fall": "3 ft",
            },
        }
    ]


BAD_FIRST = {
    "elevation": ("5200", '"5200" has no unit; write "5200 ft"'),
    "time_zone": ("Mars/Olympus", "Mars/Olympus"),
    "autumn_air": ("45 psi", "is not a temperature"),
    "static_pressure": ("nan psi", "nan"),
    "flow": ("-3 gpm", "is not possible here"),
}


@pytest.mark.parametrize("name", BAD_FIRST)
def test_a_bad_answer_is_kept_and_its_fault_stands_beside_it(
    office: Client, name: str
) -> None:
    bad, fault = BAD_FIRST[name]
    answer = office.post("/sites/new/", {"name": "Kept name", name: bad})
    body = answer.content.decode()
    assert answer.status_code == 422
    assert 'role="alert"' in body
    assert fault in text_of(answer)
    assert 'value="Kept name"' in body
    entry = body[body.index(f'name="{name}"') :].split(">", 1)[0]
    assert 'aria-invalid="true"' in entry
    assert f"id_{name}_error" in entry
    assert f'id="id_{name}_error"' in body
    assert bad in entry
    assert "Kept name" not in office.get("/").content.decode()


BAD_SECOND = {
    "main_pipe": ("garden hose", "garden hose"),
    "main_length": ("120", '"120" has no unit; write "120 ft"'),
    "main_fall": ("3", '"3" has no unit; write "3 ft"'),
    "zone_1_heads": ("seven", '"seven" is not a whole number'),
    "zone_1_length": ("0 ft", "is not possible here"),
    "zone_1_flow": ("inf gpm", "inf"),
    "zone_1_size": ("17", "17"),
}


@pytest.mark.parametrize("name", BAD_SECOND)
def test_a_bad_pipe_is_kept_and_nothing_is_stored(office: Client, name: str) -> None:
    bad, fault = BAD_SECOND[name]
    office.post("/sites/new/", {"name": "Plot"})
    before = _export(office, "plot")
    answers = {"zone_1_pipe": "PE SIDR-15", "main_pipe": "PVC SDR-21"}
    answers |= {"zone_1_flow": "2 gpm", "zone_1_at_pressure": "30 psi"}
    answers |= {"main_size": "1", "zone_1_size": "1", "version": "1", "zones": "1"}
    answer = office.post("/sites/plot/pipes/", answers | {name: bad})
    assert answer.status_code == 422
    assert fault in text_of(answer)
    assert f'value="{bad}"' in answer.content.decode()
    assert _export(office, "plot") == before


def test_one_more_zone_keeps_what_was_typed(office: Client) -> None:
    office.post("/sites/new/", {"name": "Plot"})
    answers = {"version": "1", "zones": "1", "main_length": "12", "more": "1"}
    answer = office.post("/sites/plot/pipes/", answers)
    body = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="zone_2_length"' in body
    assert 'value="12"' in body
    assert 'role="alert"' not in body


def test_a_zone_nobody_described_is_left_out_but_for_the_first(office: Client) -> None:
    office.post("/sites/new/", {"name": "Plot"})
    answers = {"version": "1", "zones": "3", "zone_3_length": "90 ft"}
    office.post("/sites/plot/pipes/", answers)
    record = json.loads(_export(office, "plot"))
    assert [zone["id"] for zone in record["zones"]] == ["1", "3"]


def test_two_sites_do_not_get_one_name(office: Client) -> None:
    office.post("/sites/new/", {"name": "Plot"})
    answer = office.post("/sites/new/", {"name": "plot"})
    assert answer.status_code == 422
    assert "give this one another name" in text_of(answer)


def test_a_name_without_letters_still_gets_an_id(office: Client) -> None:
    answer = office.post("/sites/new/", {"name": "№ 3 / …"})
    assert office.get(answer.headers["Location"]).status_code == 200


def test_every_question_may_stay_open(office: Client) -> None:
    for form in (NewSiteForm(), WaterWaysForm(zones=2), NewCompressorForm()):
        assert not [name for name, field in form.fields.items() if field.required]
    for page in ("/sites/new/", "/compressors/new/"):
        assert "How to find out" in text_of(office.get(page))
