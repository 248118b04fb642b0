"""US and SI units are the choice of a browser; nothing stored changes."""

import pytest
from django.test import Client

from tests.web.conftest import text_of


def test_a_browser_chooses_its_units(office: Client, lateral: str) -> None:
    before = office.get(f"/sites/{lateral}/file/").content
    assert "psi" in text_of(office.get("/look/"))
    answer = office.post("/units/", {"system": "si", "next": f"/sites/{lateral}/"})
    assert answer.headers["Location"] == f"/sites/{lateral}/"
    page = text_of(office.get("/look/"))
    assert "kPa" in page
    assert "36.6 m" in page
    assert "Show US units" in page
    other = Client()
    assert "psi" in text_of(other.get("/look/"))
    assert office.get(f"/sites/{lateral}/file/").content == before


def test_the_unit_stands_in_the_head_of_the_column(
    office: Client, machine: str
) -> None:
    assert machine == "shop-25"
    us = text_of(office.get("/compressors/"))
    assert "Free air cfm" in us
    assert "25.0" in us
    office.post("/units/", {"system": "si"})
    si = text_of(office.get("/compressors/"))
    assert "Free air L/min" in si
    assert "708" in si


@pytest.mark.parametrize("away", ["https://elsewhere.example/", "//elsewhere.example"])
def test_the_switch_leads_nowhere_else(office: Client, away: str) -> None:
    answer = office.post("/units/", {"system": "si", "next": away})
    assert answer.headers["Location"] == "/"


def test_an_unknown_choice_is_us(office: Client) -> None:
    office.post("/units/", {"system": "furlongs"})
    assert "psi" in text_of(office.get("/look/"))
