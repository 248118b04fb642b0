"""The server: this machine only, set up by itself, refused and ended in sentences."""

import os
import re
import signal
import socket
import sqlite3
import stat
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent.parent
WITHOUT_GUNICORN = (
    "import sys\n"
    "sys.modules['gunicorn.app.base'] = None\n"
    "sys.argv = ['manage.py', *sys.argv[1:]]\n"
    "import manage\n"
    "manage.main()\n"
)


def start(data: Path, *words: str, program: list[str] | None = None):
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
        "IRRIGATION_DATA": str(data),
    }
    environment.pop("DATABASE_URL", None)
    return subprocess.Popen(
        [sys.executable, *(program or ["manage.py"]), *words],
        cwd=REPOSITORY,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def finished(data: Path, *words: str) -> tuple[int, str, str]:
    with start(data, *words) as process:
        out, err = process.communicate(timeout=60)
        return process.returncode, out, err


@contextmanager
def served(
    data: Path, program: list[str] | None = None
) -> Iterator[tuple[str, list[Any]]]:
    """Serve at a free port; yields the address and, afterwards, how it ended."""
    ended: list[Any] = []
    with start(data, "serve", "--port", "0", program=program) as process:
        try:
            assert process.stdout is not None
            line = process.stdout.readline()
            found = re.search(r"http://127\.0\.0\.1:\d+/", line)
            assert found, process.communicate(timeout=60)
            yield found.group(), ended
            os.killpg(process.pid, signal.SIGINT)  # as a terminal sends Ctrl-C
            process.wait(timeout=30)
            # Not `communicate`: it would pass by what `readline` has already fetched.
            assert process.stderr is not None
            ended += [process.returncode, process.stdout.read(), process.stderr.read()]
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)


def status_of(address: str) -> int:
    try:
        with urllib.request.urlopen(address, timeout=30) as answer:  # noqa: S310
            return int(answer.status)
    except urllib.error.HTTPError as answer:
        with answer:
            return int(answer.code)


@pytest.mark.slow
@pytest.mark.parametrize("program", [None, ["-c", WITHOUT_GUNICORN]])
def test_it_sets_itself_up_answers_and_ends_quietly(tmp_path, program):
    data = tmp_path / "data"
    with served(data, program) as (address, ended):
        assert status_of(f"{address}no-such-page") == 404
        assert stat.S_IMODE((data / "secret_key").stat().st_mode) == 0o600
        assert (data / "irrigation.sqlite3").exists()
        assert not (data / "backups").exists()  # there was nothing to copy
    code, out, err = ended
    assert (code, err) == (0, "Making the database.\n")
    assert ("simpler one" in out) == (program is not None)


def test_the_port_is_open_on_this_machine_only(tmp_path):
    with served(tmp_path) as (address, _ended):
        port = int(address.rstrip("/").rsplit(":", 1)[1])
        # Bound to one address, it leaves the same port of another one free.
        with closing(socket.create_server(("127.0.0.2", port))):
            assert status_of(address) in {200, 302, 404}


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "192.168.1.20", "example.org"])
def test_another_address_is_refused_and_nothing_is_made(tmp_path, address):
    data = tmp_path / "data"
    code, out, err = finished(data, "serve", "--address", address)
    assert (code, out) == (1, "")
    assert err.startswith("Only this machine may be served")
    assert err.count("\n") == 1
    assert not data.exists()


def test_a_port_in_use_is_refused_in_a_sentence(tmp_path):
    with closing(socket.create_server(("127.0.0.1", 0))) as other:
        port = other.getsockname()[1]
        code, _out, err = finished(tmp_path / "data", "serve", "--port", str(port))
    assert code == 1
    assert err.startswith(f"Port {port} is in use")
    assert err.count("\n") == 1
    assert not (tmp_path / "data").exists()


def test_a_key_that_others_can_read_is_refused_in_a_sentence(tmp_path):
    key = tmp_path / "secret_key"
    key.write_text("x" * 64, encoding="ascii")
    key.chmod(0o644)
    code, out, err = finished(tmp_path, "serve", "--port", "0")
    assert (code, out) == (1, "")
    assert "chmod 600" in err
    assert "Traceback" not in err


def test_the_database_is_copied_before_it_is_brought_up_to_date(tmp_path):
    data = tmp_path / "data"
    assert finished(data, "migrate", "sessions", "zero")[0] == 0
    assert finished(data, "migrate", "contenttypes")[0] == 0
    backups = data / "backups"
    backups.mkdir()
    for year in range(2001, 2008):
        (backups / f"before-{year}0101T000000.sqlite3").touch()
    with served(data):
        pass
    kept = sorted(path.name for path in backups.iterdir())
    assert len(kept) == 5
    assert kept[0].startswith("before-20040101")
    newest = backups / kept[-1]
    assert stat.S_IMODE(newest.stat().st_mode) == 0o600
    with closing(sqlite3.connect(newest)) as copy:
        applied = copy.execute("SELECT app FROM django_migrations").fetchall()
    assert {app for (app,) in applied} == {"contenttypes"}
    with served(data):
        pass
    assert sorted(path.name for path in backups.iterdir()) == kept
