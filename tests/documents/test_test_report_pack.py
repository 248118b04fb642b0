"""A pack as a ZIP file: names that lead nowhere, cells that no program computes."""

import csv
import io
import zipfile
from datetime import UTC, datetime

import pytest

from maintenance.documents.test_report_pack import (
    COLUMNS,
    INDEX,
    MISSING,
    file_name,
    pack_name,
    pack_stream,
)
from maintenance.services.jobs.packs import Pack

LINE = {
    "id": 3,
    "number": 7,
    "demo": False,
    "site_key": "oak-row",
    "site_name": "=Oak Row",
    "link": "B1",
    "kind": "RP",
    "serial": "+88",
    "tested_on": "2026-04-15",
    "result": "passed",
    "signed_by": "@Ada",
    "corrected_by": None,
    "follows": 6,
    "corrects": None,
    "filed": True,
    "hash": "ab12",
    "printed": True,
}


def pack(rows, said=(), left_out=0):
    return Pack(
        first="2026-01-01",
        last="2026-12-31",
        made_at=datetime(2026, 10, 5, 18, 20, tzinfo=UTC),
        rows=rows,
        said=said,
        left_out=left_out,
    )


def opened(made):
    return zipfile.ZipFile(io.BytesIO(b"".join(pack_stream(made))))


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({}, "oak-row_B1_2026-04-15_test-7.pdf"),
        ({"corrected_by": 9}, "oak-row_B1_2026-04-15_test-7_replaced-by-9.pdf"),
        ({"demo": True}, "oak-row_B1_2026-04-15_test-demonstration-7.pdf"),
        ({"site_key": "../../etc"}, "etc_B1_2026-04-15_test-7.pdf"),
        ({"site_key": "C:\\new\n", "link": "/"}, "C-new_-_2026-04-15_test-7.pdf"),
        ({"site_key": "Ödhof 3"}, "Ödhof-3_B1_2026-04-15_test-7.pdf"),
    ],
)
def test_a_name_can_be_read_and_leads_nowhere_else(changed, name):
    assert file_name(LINE | changed) == name


def test_a_long_key_leaves_room_for_the_number():
    name = file_name(LINE | {"site_key": "k" * 200, "link": "l" * 200})
    assert len(name) < 180
    assert name.endswith("_2026-04-15_test-7.pdf")


def test_the_archive_is_whole_and_has_each_report_as_it_is(tmp_path):
    file = tmp_path / "ab12.pdf"
    file.write_bytes(bytes(range(256)) * 5000)  # several blocks
    archive = opened(pack([(LINE, file)]))
    assert archive.testzip() is None
    assert archive.namelist() == [INDEX, file_name(LINE)]
    assert archive.read(file_name(LINE)) == file.read_bytes()
    assert archive.getinfo(file_name(LINE)).date_time[:3] == (2026, 4, 15)
    assert pack_name(pack([])) == "test-reports-2026-01-01-to-2026-12-31.zip"


def test_no_more_than_a_block_is_held_at_once(tmp_path):
    file = tmp_path / "ab12.pdf"
    file.write_bytes(b"x" * 3_000_000)
    sizes = [len(part) for part in pack_stream(pack([(LINE, file)]))]
    assert sum(sizes) > 3_000_000
    assert max(sizes) < 300_000


def test_a_test_before_such_archives_were_known_is_no_fault(tmp_path):
    file = tmp_path / "ab12.pdf"
    file.write_bytes(b"old")
    line = LINE | {"tested_on": "1976-05-04"}
    archive = opened(pack([(line, file)]))
    assert archive.namelist()[1] == "oak-row_B1_1976-05-04_test-7.pdf"


def test_no_cell_of_the_index_is_a_formula_and_what_is_missing_stands_in_it():
    lost = LINE | {"number": 8, "printed": False}
    said = ["oak-row: The report of test 8 of B1 could not be made."]
    archive = opened(pack([(lost, None)], said, 4))
    text = archive.read(INDEX).decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text))
    assert tuple(row) == COLUMNS
    assert (row["file"], row["test"], row["result"]) == ("", "8", "passed")
    assert (row["site_name"], row["serial"]) == ("'=Oak Row", "'+88")
    assert (row["signed_by"], row["filed"], row["follows"]) == ("'@Ada", "yes", "6")
    missing = archive.read(MISSING).decode("utf-8-sig")
    assert missing.splitlines() == [*said, "and 4 more"]


def test_a_file_that_goes_meanwhile_leaves_no_archive_that_looks_whole(tmp_path):
    stream = pack_stream(pack([(LINE, tmp_path / "gone.pdf")]))
    parts = [next(stream)]
    with pytest.raises(FileNotFoundError):
        next(stream)
    assert parts[0].startswith(b"PK")
    with pytest.raises(zipfile.BadZipFile):
        zipfile.ZipFile(io.BytesIO(b"".join(parts)))
