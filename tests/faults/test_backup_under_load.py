"""A backup taken while others write is whole, and holds all that was told before it.

After reference note 8, section 5 (F13). The control copies the file of the database as
it lies there, and must be unfit or lack something.
"""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.faults.background import run, start, wait_for
from tests.faults.installation import Installation, kill
from tests.management.places import manage

SIZES = [
    pytest.param(5, id="ci", marks=pytest.mark.slow),
    pytest.param(20, id="soak", marks=pytest.mark.soak),
]
NAME = "irrigation.sqlite3"


def told(log: Path) -> set[str]:
    return set(log.read_text().split())


def keys_in(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        found = database.execute("SELECT key FROM maintenance_compressor").fetchall()
    return {key for (key,) in found}


@pytest.fixture
def written(sqlite_place):
    """Have four processes write, a log of what they were told, and how to end them."""
    place: Installation = sqlite_place("load")
    log = place.folder / "told"
    log.touch()
    run(place, "keep", 2)
    writers = [start(place, "write", log) for _ in range(4)]
    wait_for(lambda: len(told(log)) > 50)

    def end() -> None:
        stopped = [each for each in writers if each.poll() is not None]
        said = [each.communicate()[1][-2000:] for each in stopped]
        for each in writers:
            if each not in stopped:
                kill(each)
        writers.clear()
        assert said == [], "a writer was stopped by the backup"

    yield place, log, end
    end()


@pytest.mark.parametrize("count", SIZES)
def test_each_backup_is_whole_and_holds_all_that_was_told_before(
    written, tmp_path, count
):
    place, log, end = written
    before = []
    for number in range(count):
        before.append(told(log))
        done = manage(place.folder, "backup", str(tmp_path / f"{number}.backup"))
        assert done.returncode == 0, done.stderr
        during = told(log)
        assert during > before[-1], "nobody wrote meanwhile"
    end()
    for number, keys in enumerate(before):
        folder = tmp_path / f"restored-{number}"
        done = manage(folder, "restore", str(tmp_path / f"{number}.backup"))
        assert done.returncode == 0, done.stderr
        assert keys <= keys_in(folder / NAME)
        # Each key is one row and one entry of its history, in one transaction.
        with closing(sqlite3.connect(folder / NAME)) as database:
            halves = database.execute(
                "SELECT count(*) FROM maintenance_compressor c WHERE NOT EXISTS"
                " (SELECT 1 FROM maintenance_historicalcompressor h WHERE h.id = c.id)"
            ).fetchone()
        assert halves == (0,)


@pytest.mark.slow
def test_the_control_that_copies_the_file_is_unfit_or_lacks_something(
    written, tmp_path
):
    place, log, _end = written
    unfit = 0
    for number in range(10):
        before, copy = told(log), tmp_path / f"{number}.sqlite3"
        shutil.copy(place.folder / NAME, copy)
        try:
            unfit += not before <= keys_in(copy)
        except (sqlite3.DatabaseError, AssertionError):
            unfit += 1
    assert unfit > 0
