"""A photo goes in as it is and comes out drawn anew, as nothing but a picture."""

import re
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from maintenance.models import AssemblyPhoto
from maintenance.services.backflow.photos import photo_path
from tests.services.backflow.test_photos import picture, with_place
from tests.web.assembly_pages import body_of, furnish, here, send
from tests.web.conftest import text_of


@pytest.fixture
def shop(office: Client) -> Client:
    furnish()
    return office


def add(office: Client, data: bytes, name: str = "p.jpg", kind: str = "image/jpeg"):
    file = SimpleUploadedFile(name, data, kind)
    return office.post(f"{here()}photos/add/", {"photo": file, "caption": "in winter"})


def test_a_photo_is_added_shown_taken_out_and_put_back(shop: Client) -> None:
    assert add(shop, with_place()).status_code == 302
    row = AssemblyPhoto.objects.get()
    shown = f'src="{here()}photos/{row.pk}/" alt="in winter"'
    assert shown in body_of(shop.get(here()))
    send(shop, f"{here()}photos/{row.pk}/remove/")
    assert shown not in body_of(shop.get(here()))
    assert shop.get(f"{here()}photos/{row.pk}/").status_code == 404
    send(shop, f"{here()}photos/{row.pk}/remove/", put_back="yes")
    assert shown in body_of(shop.get(here()))
    photo_path(row.file_name).unlink()


def test_it_is_served_as_a_picture_and_nothing_else(shop: Client) -> None:
    add(shop, with_place() + b"<script>alert(1)</script>", "x.html", "text/html")
    row = AssemblyPhoto.objects.get()
    answer = shop.get(f"{here()}photos/{row.pk}/")
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert re.fullmatch(
        r'inline; filename="assembly-photo-\d+\.jpg"', answer["Content-Disposition"]
    )
    assert b"script" not in answer.content
    with Image.open(BytesIO(answer.content)) as seen:
        assert seen.format == "JPEG"
    assert re.fullmatch(r"[0-9a-f]{48}\.jpg", row.file_name)
    photo_path(row.file_name).unlink()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"no picture", "no JPEG, PNG or WebP"),
        (picture("GIF"), "no JPEG, PNG or WebP"),
        (picture("PNG", size=(9000, 9000), mode="1", colour=0), "50 million pixels"),
    ],
)
def test_what_is_no_photo_is_refused_with_one_sentence(
    shop: Client, data: bytes, said: str
) -> None:
    answer = add(shop, data)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert "in winter" in body_of(answer)
    assert not AssemblyPhoto.objects.exists()


def test_a_form_without_a_file_asks_for_one(shop: Client) -> None:
    answer = shop.post(f"{here()}photos/add/", {"caption": "x"})
    assert answer.status_code == 422
    assert "Choose a photo." in text_of(answer)
