"""Compressors: from the plate or from the class, edited, retired, restored."""

import json
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from maintenance.engine.site.typed_compressor import CLASSES
from tests.web.conftest import text_of


def _record(office: Client, key: str) -> dict[str, object]:
    held: dict[str, object] = json.loads(
        office.get(f"/compressors/{key}/file/").content
    )
    return held


@pytest.mark.parametrize("kind", ["", *CLASSES])
def test_the_class_alone_is_enough(office: Client, kind: str) -> None:
    answer = office.post("/compressors/new/", {"class": kind})
    assert answer.status_code == 302, text_of(answer)
    record = _record(office, kind or "compressor")
    assert record["free_air_delivery"] == {
        "value": CLASSES[kind].free_air if kind else "2 cfm",
        "origin": "guessed",
    }
    # Nobody said that there is one: then no setting may be given.
    assert "regulator" not in record


def test_displacement_is_not_air_delivered(office: Client) -> None:
    swept = {"name": "swept", "free_air": "10 cfm", "plate_says": "displacement"}
    office.post("/compressors/new/", swept)
    assert _record(office, "swept")["free_air_delivery"] == {
        "value": "6 cfm",
        "origin": "guessed",
    }
    unsaid = {"name": "unsaid", "free_air": "10 cfm"}
    office.post("/compressors/new/", unsaid)
    assert _record(office, "unsaid") | {"id": "swept"} == _record(office, "swept")
    delivered = {"name": "fad", "free_air": "10 cfm", "plate_says": "delivered"}
    office.post("/compressors/new/", delivered)
    assert _record(office, "fad")["free_air_delivery"] == "10 cfm"


def test_a_whole_plate_is_kept_as_entered(office: Client) -> None:
    plate = {
        "name": "Yard",
        "free_air": "25 cfm",
        "plate_says": "delivered",
        "receiver": "30 gal",
        "cut_in": "90 psi",
        "cut_out": "110 psi",
        "regulator": "yes",
        "gauge_at": "connection",
        "step": "5 psi",
        "relief_valve": "60 psi",
        "hose_length": "50 ft",
        "discharge_temperature": "250 degF",
        "label": "25 @ 90",
    }
    assert office.post("/compressors/new/", plate).status_code == 302
    record = _record(office, "yard")
    assert record["regulator"] == {
        "fitted": True,
        "gauge_at": "connection",
        "step": "5 psi",
    }
    assert record["hose"] == {
        "inside_diameter": {"value": "19.1 mm", "origin": "guessed"},
        "length": "50 ft",
    }
    assert record["relief_valve"] == "60 psi"


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("free_air", "lots"),
        ("free_air", "10 psi"),
        ("receiver", "30"),
        ("cut_in", "nan psi"),
        ("step", "5"),
        ("hose_length", "-3 ft"),
        ("discharge_temperature", "5 ft"),
    ],
)
def test_a_bad_answer_is_kept_with_its_fault(
    office: Client, name: str, bad: str
) -> None:
    answers = {"name": "Kept", "regulator": "yes", name: bad}
    answer = office.post("/compressors/new/", answers)
    body = answer.content.decode()
    assert answer.status_code == 422
    assert f'id="id_{name}_error"' in body
    assert f'value="{bad}"' in body
    assert "There is no compressor yet" in text_of(office.get("/compressors/"))


def test_two_of_one_name_get_ids_of_their_own(office: Client) -> None:
    for _ in range(2):
        office.post("/compressors/new/", {"name": "Pancake"})
    page = text_of(office.get("/compressors/"))
    assert "pancake-2" in page


def test_a_compressor_is_edited_and_an_older_page_refused(
    office: Client, machine: str, version_of: Callable[[str], str]
) -> None:
    page = reverse("edit_compressor", args=[machine])
    answers = {
        "free_air_delivery": "24 cfm",
        "receiver": "30 gal",
        "regulator.fitted": "no",
        "version": version_of(page),
    }
    assert office.post(page, answers).status_code == 302
    record = _record(office, machine)
    assert record["free_air_delivery"] == "24 cfm"
    assert record["regulator"] == {"fitted": False}
    assert "hose" not in record
    assert office.post(page, answers).status_code == 409
    bad = answers | {"receiver": "", "version": version_of(page)}
    assert office.post(page, bad).status_code == 422


def test_a_compressor_is_retired_and_restored(office: Client, machine: str) -> None:
    office.post(reverse("retire_compressor", args=[machine]))
    assert "Retired compressors: 1" in text_of(office.get("/compressors/"))
    office.post(reverse("restore_compressor", args=[machine]))
    assert "Retired compressors" not in text_of(office.get("/compressors/"))


def test_a_compressor_that_is_not_there_is_not_found(office: Client) -> None:
    assert office.get("/compressors/ghost/edit/").status_code == 404
    assert office.post("/compressors/ghost/retire/").status_code == 404


def test_the_second_page_offers_the_compressors_that_are_there(
    office: Client, lateral: str, machine: str
) -> None:
    body = office.get(f"/sites/{lateral}/compressor/").content.decode()
    assert f"/sites/{lateral}/blow-out/?compressor={machine}" in body
