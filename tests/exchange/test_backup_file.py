"""A backup that is not as it was written is refused in a sentence, wherever it broke."""

import json
import random
import zipfile

import pytest

from maintenance.exchange.backup_file import (
    BackupError,
    open_backup,
    sum_of,
    write_backup,
)

CHANCE = random.Random(11)  # noqa: S311  (nothing is kept secret by it)
ROWS = [[n, f"row {n} Ĝ", None, n / 7] for n in range(200)]


@pytest.fixture
def backup(tmp_path):
    photo = tmp_path / "p.jpg"
    photo.write_bytes(CHANCE.randbytes(4000))
    path = tmp_path / "x.backup"
    with write_backup(path) as out:
        out.add_table("plants", columns=["id", "a", "b", "c"], rows=ROWS, last_id=250)
        out.add_photo(photo)
        out.end(told={"migrations": [["maintenance", "0001"]]})
    return path


def read_all(path, folder):
    with open_backup(path) as backup:
        rows = [row for table in backup.tables for row in backup.rows(table)]
        for name in backup.photos:
            backup.put_photo(name, folder / name)
        return rows


def test_what_is_written_is_read(backup, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    assert read_all(backup, folder) == ROWS
    assert (folder / "p.jpg").read_bytes() == (tmp_path / "p.jpg").read_bytes()
    with open_backup(backup) as opened:
        (table,) = opened.tables
        assert (table.rows, table.last_id) == (200, 250)


def test_a_changed_byte_is_never_taken_for_what_was_written(backup, tmp_path):
    whole = backup.read_bytes()
    refused = 0
    for number in range(300):
        at = CHANCE.randrange(len(whole))
        broken = bytearray(whole)
        broken[at] ^= 1 << CHANCE.randrange(8)
        path, folder = tmp_path / "broken", tmp_path / f"out-{number}"
        path.write_bytes(broken)
        folder.mkdir()
        try:
            rows = read_all(path, folder)
        except BackupError:
            refused += 1
            continue
        # Some bytes of an archive say nothing, such as times: then all is as it was.
        assert rows == ROWS
        assert (folder / "p.jpg").read_bytes() == (tmp_path / "p.jpg").read_bytes()
    assert refused > 200


@pytest.mark.parametrize("keep", [0, 10, 1000, -1, -30])
def test_half_a_file_is_refused(backup, tmp_path, keep):
    path = tmp_path / "half"
    path.write_bytes(backup.read_bytes()[:keep])
    with pytest.raises(BackupError):
        read_all(path, tmp_path)


def test_lines_that_were_exchanged_are_seen(backup, tmp_path):
    other = tmp_path / "other.backup"
    with zipfile.ZipFile(backup) as old, zipfile.ZipFile(other, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name.startswith("tables/"):
                text = text.replace(b"row 7 ", b"row 8 ")
            new.writestr(name, text)
    with pytest.raises(BackupError, match="table plants of this backup"):
        read_all(other, tmp_path / "p")


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "/etc/passwd", ".hidden", "a/b.jpg", ""]
)
def test_a_photo_that_would_go_elsewhere_is_refused(tmp_path, name):
    path = tmp_path / "bad.backup"
    manifest = {
        "format": "irrigation-backup/1",
        "migrations": [],
        "tables": {},
        "photos": {name: {"sha256": ""}},
    }
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("manifest.json", json.dumps(manifest))
    with pytest.raises(BackupError, match="no backup of this tool"):
        read_all(path, tmp_path)


@pytest.mark.parametrize(
    "manifest", ["[]", "{", "{}", '{"format": "irrigation-backup/1"}', '{"format": 3}']
)
def test_another_archive_is_refused(tmp_path, manifest):
    path = tmp_path / "other.zip"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("manifest.json", manifest)
    with pytest.raises(BackupError):
        read_all(path, tmp_path)


def test_another_photo_of_that_name_is_not_replaced(backup, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "p.jpg").write_bytes(b"mine")
    with pytest.raises(BackupError, match="another photo"):
        read_all(backup, folder)
    assert (folder / "p.jpg").read_bytes() == b"mine"


def test_a_file_that_cannot_be_finished_gets_no_name(tmp_path):
    def rows():
        yield [1]
        raise OSError("the disk is full")

    path = tmp_path / "x.backup"
    with pytest.raises(OSError, match="disk"), write_backup(path) as out:
        out.add_table("plants", columns=["id"], rows=rows(), last_id=None)
    assert list(tmp_path.iterdir()) == []


def test_the_sum_of_a_file_is_that_of_its_bytes(tmp_path):
    path = tmp_path / "abc"
    path.write_bytes(b"abc")  # FIPS 180-2, appendix B.1
    assert sum_of(path) == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )
