"""A PostgreSQL server of our own, in a folder of its own, that may be crashed."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.ports import free_port

_USER = "postgres"


@dataclass
class Cluster:
    folder: Path
    programs: Path
    port: int

    @property
    def url(self) -> str:
        return f"postgres://{_USER}@127.0.0.1:{self.port}"

    def start(self) -> None:
        options = f"-p {self.port} -c listen_addresses=127.0.0.1 -k {self.folder}"
        self._control(
            "start", "-w", "-t", "60", "-l", f"{self.folder}/log", "-o", options
        )

    def crash(self) -> None:
        """Take it down as a crash would, and up again."""
        self._control("stop", "-m", "immediate")
        self.start()

    def make_database(self, name: str) -> str:
        command = [str(self.programs / "createdb"), "-h", "127.0.0.1"]
        _as_owner([*command, "-p", str(self.port), "-U", _USER, name])
        return f"{self.url}/{name}"

    def _control(self, *arguments: str) -> None:
        _as_owner([str(self.programs / "pg_ctl"), "-D", str(self.folder), *arguments])


def find_programs() -> Path | None:
    """Return the folder of the newest server's programs."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if found:
        return found[-1].parent
    named = shutil.which("initdb")
    return Path(named).resolve().parent if named else None


def lack_of_cluster() -> str:
    """Say why no server can be started here; empty where one can."""
    if find_programs() is None:
        return "needs PostgreSQL's own programs (initdb, pg_ctl)"
    try:
        pwd.getpwnam(_USER)
    except KeyError:
        return "needs the user postgres, since a server does not run as root"
    if os.getuid() != 0 and os.getuid() != pwd.getpwnam(_USER).pw_uid:
        return "needs the right to start a server as the user postgres"
    return ""


@contextmanager
def cluster() -> Iterator[Cluster]:
    programs = find_programs()
    assert programs is not None
    outside = Path(tempfile.mkdtemp(prefix="irrigation-postgres-", dir="/tmp"))
    owner = pwd.getpwnam(_USER)
    os.chown(outside, owner.pw_uid, owner.pw_gid)
    folder = outside / "data"
    initdb = [str(programs / "initdb"), "-D", str(folder), "-A", "trust", "-U", _USER]
    try:
        _as_owner([*initdb, "-E", "UTF8", "--no-locale"])
        running = Cluster(folder, programs, free_port())
        running.start()
        try:
            yield running
        finally:
            running._control("stop", "-m", "immediate")
    finally:
        shutil.rmtree(outside, ignore_errors=True)


def _as_owner(command: list[str]) -> None:
    owner = pwd.getpwnam(_USER)
    as_other = os.getuid() == 0
    done = subprocess.run(
        command,
        cwd="/",
        user=owner.pw_uid if as_other else None,
        group=owner.pw_gid if as_other else None,
        stdin=subprocess.DEVNULL,
        # What the server prints must not keep us waiting for its end.
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
        timeout=180,
    )
    assert done.returncode == 0, f"{command} ended with {done.returncode}"
