"""Every part of a site can be edited, added, retired and put back."""

import json
from collections.abc import Callable
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.record import from_record, to_record
from maintenance.engine.site.shapes import KindsShape, ListShape, RecordShape, fields_of
from maintenance.exchange.site_file import read_site
from maintenance.web.forms.part import PartForm
from maintenance.web.forms.wording import KINDS, LABELS
from tests.web.conftest import FIXTURES, text_of

DEMO = FIXTURES / "demo" / "larkmoor.json"


def _record(office: Client, key: str) -> dict[str, list[dict[str, object]]]:
    held: dict[str, list[dict[str, object]]] = json.loads(
        office.get(f"/sites/{key}/file/").content
    )
    return held


def _part(office: Client, key: str, section: str, part: str) -> dict[str, object]:
    return next(p for p in _record(office, key)[section] if p["id"] == part)


def _answers(form: PartForm) -> dict[str, object]:
    """Return what a browser would send that changes nothing."""
    return {
        name: form.initial.get(name) or ""
        for name in form.fields
        if form.initial.get(name) is not None
    }


def test_every_key_and_every_kind_has_its_words() -> None:
    seen: set[str] = set()

    def walk(cls: type) -> None:
        for field in fields_of(cls):
            if field.key not in ("kind", "format", "points", "links"):
                seen.add(field.key)
            shape = (
                field.shape.item if isinstance(field.shape, ListShape) else field.shape
            )
            if isinstance(shape, RecordShape):
                walk(shape.cls)
            elif isinstance(shape, KindsShape):
                assert {kind for kind, _cls in shape.kinds} <= set(KINDS)
                for each in shape.classes:
                    walk(each)

    walk(Site)
    walk(Compressor)
    assert seen == set(LABELS)


def test_a_form_sent_back_untouched_changes_no_part_of_the_demonstration() -> None:
    site = read_site(DEMO.read_text("utf-8"))
    for part in (*site.points, *site.links, *site.zones, *site.controllers):
        record = to_record(part)
        without = frozenset({"kind", "id"})
        without |= {"valve"} if record.get("quick") else {"quick"}
        form = PartForm(type(part), record=record, without=without)
        sent = PartForm(type(part), record=record, data=_answers(form), without=without)
        assert sent.is_valid(), sent.errors
        assert from_record(type(part), sent.record()) == part


def test_a_part_is_changed_and_keeps_where_its_value_came_from(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("edit_part", args=[lateral, "points", "H2"])
    before = _part(office, lateral, "points", "H2")
    answers = {
        "version": version_of(page),
        "head": "rotor",
        "elevation": "31 cm",
        "elevation-origin": "measured",
        "flow": "2.0 gpm",
        "at_pressure": "30 psi",
        "position": "3, 4.5",
        "note": "leans",
    }
    answer = office.post(page, answers)
    assert answer.status_code == 302, text_of(answer)
    after = _part(office, lateral, "points", "H2")
    assert after["elevation"] == {"value": "31 cm", "origin": "measured"}
    assert after["head"] == "rotor"
    assert after["position"] == [3, 4.5]
    assert "riser" in before
    assert "riser" not in after
    told = text_of(office.get(f"/sites/{lateral}/history/"))
    assert "H2" in told
    assert "When (America/Denver)" in told, "the site's own time, not the server's"


@pytest.mark.parametrize(
    ("entered", "fault"),
    [
        ({"elevation": "3"}, '"3" has no unit; write "3 ft"'),
        ({"elevation": ""}, "is missing"),
        ({"flow": "nan gpm"}, "nan"),
        ({"position": "here"}, "pair"),
        ({"head": ""}, "is missing"),
    ],
)
def test_a_bad_entry_is_kept_with_its_fault(
    office: Client,
    lateral: str,
    version_of: Callable[[str], str],
    entered: dict[str, str],
    fault: str,
) -> None:
    page = reverse("edit_part", args=[lateral, "points", "H2"])
    before = _record(office, lateral)
    good = {"version": version_of(page), "head": "spray", "elevation": "1 ft"}
    good |= {"flow": "2 gpm", "at_pressure": "30 psi", "note": "kept"}
    answer = office.post(page, good | entered)
    assert answer.status_code == 422
    assert fault in text_of(answer)
    assert 'aria-invalid="true"' in answer.content.decode()
    assert "kept" in answer.content.decode()
    assert _record(office, lateral) == before


def test_a_fault_between_parts_stands_at_its_question(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    pipe = next(p for p in _record(office, lateral)["links"] if p["kind"] == "pipe")
    page = reverse("edit_part", args=[lateral, "links", pipe["id"]])
    answers = {key: value for key, value in pipe.items() if key not in ("id", "kind")}
    answers |= {"to": "NOWHERE", "version": version_of(page)}
    answer = office.post(page, answers)
    body = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="id_to_error"' in body
    assert "NOWHERE" in text_of(answer)


def test_an_older_page_is_refused_and_shows_what_was_typed(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("edit_part", args=[lateral, "points", "H2"])
    good = {"head": "spray", "elevation": "1 ft", "version": version_of(page)}
    good |= {"flow": "2 gpm", "at_pressure": "30 psi"}
    assert office.post(page, good).status_code == 302
    answer = office.post(page, good | {"note": "my long note"})
    assert answer.status_code == 409
    assert "my long note" in text_of(answer)
    assert "note" not in _part(office, lateral, "points", "H2")
    # A page without a version cannot know what it overwrites.
    del good["version"]
    assert office.post(page, good | {"note": "x"}).status_code == 409


def test_a_part_is_added_and_its_id_is_its_own(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("add_part", args=[lateral, "points", "drain"])
    answers = {"id": "D9", "drain": "manual", "elevation": "-1 ft"}
    answer = office.post(page, answers | {"version": version_of(page)})
    assert answer.status_code == 302, text_of(answer)
    assert _part(office, lateral, "points", "D9")["drain"] == "manual"
    again = office.post(page, answers | {"version": version_of(page)})
    assert again.status_code == 422
    assert "take another id" in text_of(again)


def test_a_straight_run_is_added_as_a_zone(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("add_part", args=[lateral, "zones", "quick"])
    answers = {
        "id": "2",
        "quick.pipe": "PE SIDR-15",
        "quick.size": "1",
        "quick.length": "90 ft",
        "quick.heads": "5",
        "quick.head": "spray",
        "quick.from": "M1",
        "version": version_of(page),
    }
    answer = office.post(page, answers)
    assert answer.status_code == 302, text_of(answer)
    assert [z["id"] for z in _record(office, lateral)["zones"]] == ["1", "2"]


def test_a_part_retired_takes_what_hangs_on_it_and_comes_back_whole(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    before = _record(office, lateral)
    last = "H6"
    page = reverse("edit_part", args=[lateral, "points", last])
    retire = reverse("retire_part", args=[lateral, "points", last])
    answer = office.post(retire, {"version": version_of(page)})
    assert answer.status_code == 302, text_of(answer)
    after = _record(office, lateral)
    assert last not in {p["id"] for p in after["points"]}
    assert last not in {link[end] for link in after["links"] for end in ("from", "to")}
    assert f"Retired: {last}" in text_of(office.get(f"/sites/{lateral}/"))
    office.post(reverse("undo", args=[lateral]))

    def by_id(record: dict[str, list[dict[str, object]]]) -> dict[str, object]:
        return {str(p["id"]): p for p in record["points"] + record["links"]}

    assert by_id(_record(office, lateral)) == by_id(before)
    assert office.post(reverse("undo", args=[lateral])).status_code == 404


def test_a_part_in_the_middle_is_not_retired_and_the_page_says_why(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    before = _record(office, lateral)
    page = reverse("edit_part", args=[lateral, "points", "H3"])
    retire = reverse("retire_part", args=[lateral, "points", "H3"])
    answer = office.post(retire, {"version": version_of(page)})
    assert answer.status_code == 422
    assert 'head "H4" is on no zone' in text_of(answer)
    assert _record(office, lateral) == before


def test_a_zone_retired_takes_its_valve_and_heads(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("edit_part", args=[lateral, "zones", "1"])
    retire = reverse("retire_part", args=[lateral, "zones", "1"])
    answer = office.post(retire, {"version": version_of(page)})
    assert answer.status_code == 302, text_of(answer)
    after = _record(office, lateral)
    assert "zones" not in after
    assert "head" not in {p["kind"] for p in after["points"]}
    assert "zone_valve" not in {p["kind"] for p in after["links"]}


def test_name_place_and_notes_are_changed(
    office: Client, lateral: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("edit_place", args=[lateral])
    answers = {
        "name": "Renamed",
        "place.elevation": "300 m",
        "place.time_zone": "America/Denver",
        "air_limit": "40 psi",
        "notes": "first\n\nsecond",
        "version": version_of(page),
    }
    assert office.post(page, answers).status_code == 302
    record: dict[str, object] = dict(_record(office, lateral))
    assert record["name"] == "Renamed"
    assert record["air_limit"] == "40 psi"
    assert record["notes"] == ["first", "second"]
    bad = office.post(
        page, answers | {"place.elevation": "", "version": version_of(page)}
    )
    assert bad.status_code == 422
    assert 'id="id_place.elevation_error"' in bad.content.decode()


@pytest.mark.parametrize(
    "address",
    [
        "/sites/example-lateral/points/NOTHERE/edit/",
        "/sites/example-lateral/walls/H2/edit/",
        "/sites/example-lateral/points/add/dragon/",
        "/sites/example-lateral/zones/add/dragon/",
    ],
)
def test_a_part_that_is_not_there_is_not_found(
    office: Client, lateral: str, address: str
) -> None:
    assert lateral in address
    assert office.get(address).status_code == 404


def test_a_site_is_retired_and_restored(office: Client, lateral: str) -> None:
    office.post(reverse("retire_site", args=[lateral]))
    assert "Retired sites: 1" in text_of(office.get("/"))
    assert "Restore this site" in text_of(office.get(f"/sites/{lateral}/"))
    office.post(reverse("restore_site", args=[lateral]))
    assert "Retired sites" not in text_of(office.get("/"))


@pytest.mark.parametrize("part", ["a/b", "..", "add", "new", "~2F", "50 % ?#&", "é"])
def test_an_id_may_be_any_text(
    office: Client, lateral: str, version_of: Callable[[str], str], part: str
) -> None:
    page = reverse("add_part", args=[lateral, "points", "junction"])
    answers = {"id": part, "elevation": "0 ft", "version": version_of(page)}
    answer = office.post(page, answers)
    assert answer.status_code == 302, text_of(answer)
    edit = reverse("edit_part", args=[lateral, "points", part])
    assert edit in unescape(office.get(f"/sites/{lateral}/").content.decode())
    assert part in text_of(office.get(edit))
