"""A file is imported whole, or refused with all its faults."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from tests.web.conftest import COMPRESSOR, LATERAL, text_of


def test_a_file_is_uploaded(office: Client) -> None:
    upload = SimpleUploadedFile("site.json", LATERAL.read_bytes())
    answer = office.post("/import/", {"file": upload, "text": ""})
    assert answer.headers["Location"] == "/sites/example-lateral/"


def test_the_same_file_twice_changes_nothing(office: Client, lateral: str) -> None:
    answer = office.post("/import/", {"text": LATERAL.read_text("utf-8")}, follow=True)
    assert "nothing changed" in text_of(answer)
    assert lateral == "example-lateral"


def test_what_is_exported_is_what_was_imported(office: Client, lateral: str) -> None:
    answer = office.get(f"/sites/{lateral}/file/")
    assert json.loads(answer.content) == json.loads(LATERAL.read_text("utf-8"))
    assert answer.headers["Content-Disposition"].startswith("attachment;")


def test_a_compressor_is_known_by_its_format(office: Client) -> None:
    answer = office.post("/import/", {"text": COMPRESSOR.read_text("utf-8")})
    assert answer.headers["Location"] == "/compressors/"
    assert "shop-25" in text_of(office.get("/compressors/"))


def test_every_fault_is_shown_with_its_path_and_nothing_is_stored(
    office: Client,
) -> None:
    record = json.loads(LATERAL.read_text("utf-8"))
    record["points"][0]["elevation"] = "12"
    record["points"][1]["kind"] = "dragon"
    record["links"][0]["to"] = "NOWHERE"
    pasted = json.dumps(record, indent=1)
    answer = office.post("/import/", {"text": pasted})
    page = text_of(answer)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.content.decode()
    assert "points[0].elevation" in page
    assert "points[1].kind" in page
    assert "NOWHERE" in answer.content.decode()
    assert "There is no site yet" in text_of(office.get("/"))


@pytest.mark.parametrize(
    "pasted", ["", "{", "[]", "null", "NaN", "a site", '{"format": "compressor/1"}']
)
def test_anything_else_is_refused_in_a_sentence(office: Client, pasted: str) -> None:
    answer = office.post("/import/", {"text": pasted})
    assert answer.status_code == 422
    assert "Nothing was stored" in text_of(answer)


def test_an_upload_that_is_no_text_is_refused_by_its_byte(office: Client) -> None:
    upload = SimpleUploadedFile("site.json", b'{"a": "\xff"}')
    answer = office.post("/import/", {"file": upload, "text": ""})
    assert answer.status_code == 422
    assert "not UTF-8 at byte 8" in text_of(answer)


def test_only_checking_stores_nothing(office: Client) -> None:
    answer = office.post("/import/", {"text": LATERAL.read_text("utf-8"), "check": "1"})
    assert answer.status_code == 200
    assert "No fault found" in text_of(answer)
    assert "There is no site yet" in text_of(office.get("/"))
