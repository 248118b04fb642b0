"""An installation whose background work is killed: its workers, schedules and scripts."""

import json
import subprocess
import sys
import time
from collections.abc import Callable
from typing import IO, Any

from tests.faults.installation import REPOSITORY, Installation

QUICK = {"DJANGO_SETTINGS_MODULE": "tests.faults.quick_settings"}


def start(place: Installation, arm: str, *words: object) -> "subprocess.Popen[str]":
    return _start(place, "-m", "tests.faults.background_work", arm, *words)


def run(place: Installation, arm: str, *words: object) -> Any:
    process = start(place, arm, *words)
    told, faults = process.communicate(timeout=600)
    assert process.returncode == 0, faults[-4000:]
    return json.loads(told) if told.strip() else None


def worker(place: Installation, *words: str) -> "subprocess.Popen[str]":
    """Start a worker as the compose file does; with ``--beat`` as `serve` does."""
    return _celery(
        place,
        *("worker", "--pool", "solo", "--without-gossip", "--without-mingle"),
        *words,
    )


def beat(place: Installation) -> "subprocess.Popen[str]":
    return _celery(
        place, "beat", "--pidfile", "", "--scheduler", "celery.beat:Scheduler"
    )


def _celery(place: Installation, *words: str) -> "subprocess.Popen[str]":
    """Start it with a log of its own: a pipe that nobody reads would fill and stop it."""
    command = ("-m", "celery", "-A", "irrigation_site", *words, "--loglevel", "ERROR")
    with (place.folder / "background.log").open("a") as log:
        return _start(place, *command, out=log)


def _start(
    place: Installation, *words: object, out: "IO[str] | int" = subprocess.PIPE
) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, *(str(word) for word in words)],
        cwd=REPOSITORY,
        env=place.environment(),
        stdout=out,
        stderr=out,
        text=True,
        start_new_session=True,
    )


def wait_for(true: Callable[[], object], seconds: float = 240) -> None:
    until = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < until, "it did not come"
        time.sleep(0.1)
