"""A whole installation of the tool in a folder that is thrown away, and its processes.

Its settings are those that a person runs, so that what is killed here is the program
itself; each process has a group of its own, so that a kill meets nobody else.
"""

import json
import os
import shutil
import signal
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

REPOSITORY = Path(__file__).resolve().parents[2]
_WAIT_S = 1800


@dataclass
class Installation:
    folder: Path
    database_url: str = ""
    more: dict[str, str] = field(default_factory=dict)

    def environment(self) -> dict[str, str]:
        kept = {
            name: value
            for name, value in os.environ.items()
            if name
            not in {"DATABASE_URL", "TEST_DATABASE_URL", "REDIS_URL", "EMAIL_URL"}
        }
        kept |= {
            "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
            "IRRIGATION_DATA": str(self.folder),
            "PYTHONPATH": str(REPOSITORY),
        }
        if self.database_url:
            kept["DATABASE_URL"] = self.database_url
        return kept | self.more

    def migrate(self) -> None:
        command = [sys.executable, "manage.py", "migrate", "--verbosity", "0"]
        self.folder.mkdir(parents=True, exist_ok=True)
        subprocess.run(command, cwd=REPOSITORY, env=self.environment(), check=True)

    def start(self, arm: str, *arguments: object) -> "subprocess.Popen[str]":
        """Start a process of the worker script in a group of its own."""
        return subprocess.Popen(
            [sys.executable, "-m", "tests.faults.outbox_worker", arm]
            + [str(each) for each in arguments],
            cwd=REPOSITORY,
            env=self.environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def run(self, arm: str, *arguments: object) -> Any:
        """Run one to its end and return what it tells."""
        process = self.start(arm, *arguments)
        told, faults = process.communicate(timeout=_WAIT_S)
        assert process.returncode == 0, faults[-4000:]
        return json.loads(told) if told.strip() else None


def kill(process: "subprocess.Popen[str]") -> None:
    """End a process and its children at once, as a power cut would."""
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    process.communicate()


def sqlite_installation(template: Path, folder: Path) -> Installation:
    """Make one from a database that has its tables already."""
    folder.mkdir(parents=True)
    shutil.copy(template / "irrigation.sqlite3", folder / "irrigation.sqlite3")
    return Installation(folder)
