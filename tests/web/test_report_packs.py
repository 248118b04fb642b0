"""Test reports of a period: asked for on the page of jobs, printed, taken along."""

import csv
import io
import re
import sys
import zipfile
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from maintenance.jobs import tasks
from maintenance.models import Job
from maintenance.services.accounts import local_account
from maintenance.services.jobs.pack_files import pack_folder
from tests.services.backflow.field_tests import SITE, signed
from tests.services.jobs.many_sites import keep_sites
from tests.services.jobs.report_packs import ask, make_pack, work
from tests.web.conftest import text_of
from tests.web.field_tests import keep_orchard

PERIOD = {"first": "2026-01-01", "last": "2026-12-31"}


@pytest.fixture
def orchard(office: Client, settings, tmp_path) -> Client:
    """A site with two signed tests, and one with none."""
    settings.DATA_DIR = tmp_path
    keep_orchard()
    keep_sites(local_account(), 1)
    for link in ("B1", "B3"):
        signed(local_account(), link)
    return office


def opened(answer) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))


def test_a_pack_is_asked_for_printed_and_taken_along(orchard):
    pypdf = pytest.importorskip("pypdf")
    page = text_of(orchard.post("/jobs/reports/", PERIOD, follow=True))
    assert "Test reports, 1 Jan 2026 to 31 Dec 2026, on Letter" in page
    assert "0 of 2" in page
    tasks.work()
    answer = orchard.get("/jobs/")
    assert "2 reports printed, 1 site with nothing to print" in text_of(answer)
    (link,) = re.findall(r'href="(/jobs/\d+/reports\.zip)"', answer.content.decode())
    archive = opened(orchard.get(link))
    assert archive.testzip() is None
    assert archive.namelist() == [
        "index.csv",
        "orchard-row_B1_2026-04-15_test-1.pdf",
        "orchard-row_B3_2026-04-15_test-2.pdf",
    ]
    for name, serial in zip(archive.namelist()[1:], ("OR-101", "OR-103"), strict=True):
        (sheet,) = pypdf.PdfReader(io.BytesIO(archive.read(name))).pages
        assert serial in sheet.extract_text()
        assert float(sheet.mediabox.width) == pytest.approx(8.5 * 72)
    index = archive.read("index.csv").decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(index)))
    assert [row["file"] for row in rows] == archive.namelist()[1:]
    assert [row["serial"] for row in rows] == ["OR-101", "OR-103"]
    assert {row["site"] for row in rows} == {SITE}


def test_the_file_is_to_be_saved_and_kept_nowhere_on_its_way(orchard):
    job = make_pack(local_account())
    answer = orchard.get(f"/jobs/{job.pk}/reports.zip")
    assert answer.streaming
    assert answer["Content-Type"] == "application/zip"
    assert answer["Content-Disposition"] == (
        'attachment; filename="test-reports-2026-01-01-to-2026-12-31.zip"'
    )
    assert answer["Cache-Control"] == "private, no-store"
    assert answer["X-Content-Type-Options"] == "nosniff"
    answer.close()


def test_the_form_begins_with_the_whole_of_this_year(orchard):
    year = timezone.localdate().year
    body = orchard.get("/jobs/").content.decode()
    assert f'name="first" type="date" value="{year}-01-01"' in body
    assert f'name="last" type="date" value="{year}-12-31"' in body
    orchard.post("/units/", {"system": "si", "next": "/jobs/"})
    assert "on A4" in text_of(orchard.get("/jobs/"))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"first": "soon"}, '"soon" is no day: write it like 2026-04-15.'),
        ({"last": ""}, '"" is no day: write it like 2026-04-15.'),
        ({"last": "2026-02-30"}, '"2026-02-30" is no day'),
        (
            {"first": "2026-05-01", "last": "2026-04-30"},
            "The period would end on 2026-04-30, before it begins on 2026-05-01",
        ),
    ],
)
def test_what_is_no_period_is_refused_in_a_sentence(orchard, changed, said):
    answer = orchard.post("/jobs/reports/", PERIOD | changed)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not Job.objects.exists()


def test_a_missing_library_is_told_before_anything_is_begun(orchard, monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    answer = orchard.post("/jobs/reports/", PERIOD)
    assert answer.status_code == 422
    assert "the extra `pdf` is not installed: install it" in text_of(answer)
    assert not Job.objects.exists()


def test_what_cannot_be_taken_along_says_why(orchard):
    account = local_account()
    number = ask(account)
    address = f"/jobs/{number}/reports.zip"
    answer = orchard.get(address)
    assert (answer.status_code, "not ready yet" in text_of(answer)) == (422, True)
    orchard.post(f"/jobs/{number}/cancel/")
    assert "never finished" in text_of(orchard.get(address))
    orchard.post("/jobs/outlooks/")
    other = Job.objects.get(kind="refresh_outlooks").pk
    assert orchard.get(f"/jobs/{other}/reports.zip").status_code == 404
    assert orchard.get("/jobs/999999/reports.zip").status_code == 404


def test_a_pack_whose_files_are_gone_has_no_link_and_says_so(orchard):
    job = make_pack(local_account())
    body = orchard.get("/jobs/").content.decode()
    assert f"/jobs/{job.pk}/reports.zip" in body
    pack_folder(job.pk).rename(pack_folder(job.pk).with_name("elsewhere"))
    answer = orchard.get("/jobs/")
    assert "reports.zip" not in answer.content.decode()
    assert "The files are not kept any more: ask again." in text_of(answer)
    gone = orchard.get(f"/jobs/{job.pk}/reports.zip")
    assert gone.status_code == 422
    assert "not in the data folder any more" in text_of(gone)


def test_one_of_something_is_no_plural_and_what_is_refused_is_told(orchard):
    from tests.services.jobs.report_packs import Press  # noqa: PLC0415

    make_pack(local_account(), Press(OR_103=RuntimeError("seam")))
    text = text_of(orchard.get("/jobs/"))
    assert "1 report printed, 1 report refused, 1 site with nothing to print" in text
    assert "The report of test 2 of B3 could not be made" in text
    assert "seam" not in text


@pytest.mark.parametrize("links", [(), ("B2", "B3", "B1")])
def test_taking_along_takes_the_same_few_queries_whatever_their_number(
    orchard, links, django_assert_max_num_queries
):
    for link in links:
        signed(local_account(), link, now=timezone.now() - timedelta(days=1))
    last = f"{timezone.localdate().year}-12-31"
    job = make_pack(local_account(), last=last)
    assert not work()
    fresh = Client()
    with django_assert_max_num_queries(2):
        archive = opened(fresh.get(f"/jobs/{job.pk}/reports.zip"))
    assert len(archive.namelist()) == 3 + len(links)
