"""The key is made once, is its owner's alone, and is never read in part."""

import os
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured

from irrigation_site.secret_key import KEY_FILE, read_or_make_secret_key


def test_it_is_made_at_the_first_use_and_kept(tmp_path: Path):
    folder = tmp_path / "data"
    key = read_or_make_secret_key(folder)
    assert len(key) >= 50
    assert read_or_make_secret_key(folder) == key
    assert [path.name for path in folder.iterdir()] == [KEY_FILE]


@pytest.mark.skipif(os.name != "posix", reason="this system keeps no file modes")
def test_it_is_its_owners_alone(tmp_path: Path):
    folder = tmp_path / "data"
    read_or_make_secret_key(folder)
    assert stat.S_IMODE((folder / KEY_FILE).stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o666, 0o620])
def test_one_that_others_reach_is_refused_with_the_mend(tmp_path: Path, mode: int):
    read_or_make_secret_key(tmp_path)
    (tmp_path / KEY_FILE).chmod(mode)
    with pytest.raises(ImproperlyConfigured, match="chmod 600"):
        read_or_make_secret_key(tmp_path)


def test_a_damaged_one_is_refused(tmp_path: Path):
    path = tmp_path / KEY_FILE
    path.touch(mode=0o600)
    path.write_text("abc", encoding="ascii")
    with pytest.raises(ImproperlyConfigured, match="too short"):
        read_or_make_secret_key(tmp_path)


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path):
    (tmp_path / "file").touch()
    with pytest.raises(ImproperlyConfigured, match="IRRIGATION_DATA"):
        read_or_make_secret_key(tmp_path / "file" / "data")


def test_many_who_start_together_share_one(tmp_path: Path):
    for attempt in range(20):
        folder = tmp_path / str(attempt)
        with ThreadPoolExecutor(8) as pool:
            keys = set(pool.map(read_or_make_secret_key, [folder] * 8))
        assert len(keys) == 1
        assert [path.name for path in folder.iterdir()] == [KEY_FILE]
