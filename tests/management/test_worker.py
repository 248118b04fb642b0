"""The background worker lives with `serve`, comes again, and ends with it."""

import os
import signal
import sqlite3
from contextlib import closing
from pathlib import Path
from time import monotonic, sleep

import pytest

from tests.management.test_serve import finished, served, status_of

pytestmark = pytest.mark.slow


def lines_of(data: Path, role: str) -> list[int]:
    """Return the processes of a role that belong to a data folder."""
    found = []
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            words = path.read_bytes().decode(errors="replace").split("\0")
        except OSError:
            continue
        if {"maintenance.management.worker", str(data), role} <= set(words):
            found.append(int(path.parent.name))
    return sorted(found)


def wait_for(true, seconds: float = 60) -> None:
    until = monotonic() + seconds
    while not true():
        assert monotonic() < until, "it did not come"
        sleep(0.1)


def beats(data: Path) -> list[str]:
    with closing(sqlite3.connect(data / "irrigation.sqlite3")) as database:
        asked = "SELECT at FROM maintenance_heartbeat WHERE name = 'beat'"
        return [at for (at,) in database.execute(asked)]


def test_a_worker_that_is_killed_comes_again_and_works(tmp_path):
    with served(tmp_path) as (address, _ended):
        wait_for(lambda: beats(tmp_path))
        before = beats(tmp_path)
        killed = lines_of(tmp_path, "run")
        os.kill(killed[0], signal.SIGKILL)
        wait_for(lambda: beats(tmp_path) != before)
        now = lines_of(tmp_path, "run")
        assert now
        assert not set(now) & set(killed), "a schedule of the killed worker lives on"
        assert status_of(address) == 200
    assert lines_of(tmp_path, "run") == lines_of(tmp_path, "keep") == []


def test_a_keeper_that_is_killed_comes_again_with_a_worker(tmp_path):
    with served(tmp_path) as (address, _ended):
        wait_for(lambda: lines_of(tmp_path, "run"))
        (keeper,) = lines_of(tmp_path, "keep")
        killed = lines_of(tmp_path, "run")
        os.kill(keeper, signal.SIGKILL)
        wait_for(lambda: set(lines_of(tmp_path, "keep")) - {keeper}, 10)
        wait_for(lambda: set(lines_of(tmp_path, "run")) - set(killed))
        wait_for(lambda: not set(lines_of(tmp_path, "run")) & set(killed))
        before = beats(tmp_path)
        wait_for(lambda: beats(tmp_path) != before)
        assert status_of(address) == 200
    assert lines_of(tmp_path, "run") == lines_of(tmp_path, "keep") == []


def test_where_the_server_is_killed_its_worker_ends_too(tmp_path):
    with served(tmp_path) as (_address, _ended):
        wait_for(lambda: beats(tmp_path))
        (keeper,) = lines_of(tmp_path, "keep")
        status = Path(f"/proc/{keeper}/status").read_text()
        server = int(status.split("PPid:")[1].split()[0])
        os.kill(server, signal.SIGKILL)
        wait_for(lambda: not lines_of(tmp_path, "keep"), 20)
        wait_for(lambda: not lines_of(tmp_path, "run"), 20)


def test_a_second_server_of_the_same_folder_is_refused_in_a_sentence(tmp_path):
    with served(tmp_path) as (address, _ended):
        code, out, err = finished(tmp_path, "serve", "--port", "0")
        assert (code, out) == (1, "")
        assert "is being served already" in err
        assert err.count("\n") == 1
        assert status_of(address) == 200
    with served(tmp_path) as (address, _ended):
        assert status_of(address) == 200  # the lock ended with its process
