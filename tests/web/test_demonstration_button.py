"""The demonstration comes with one button and goes with one."""

from django.test import Client

from tests.web.conftest import LATERAL, text_of


def test_the_demonstration_comes_and_goes_whole(office: Client) -> None:
    assert "Load the demonstration" in text_of(office.get("/"))
    office.post("/demonstration/load/")
    page = text_of(office.get("/"))
    assert "Larkmoor Gardens" in page
    assert "Remove the demonstration" in page
    assert "There is no compressor yet" not in text_of(office.get("/compressors/"))
    assert office.get("/sites/larkmoor/").status_code == 200
    office.post("/demonstration/remove/")
    assert "There is no site yet" in text_of(office.get("/"))
    assert "There is no compressor yet" in text_of(office.get("/compressors/"))


def test_a_persons_own_site_stays_when_the_demonstration_goes(office: Client) -> None:
    office.post("/import/", {"text": LATERAL.read_text("utf-8")})
    office.post("/demonstration/load/")
    office.post("/demonstration/remove/")
    page = text_of(office.get("/"))
    assert "Example lateral" in page
    assert "Larkmoor" not in page
