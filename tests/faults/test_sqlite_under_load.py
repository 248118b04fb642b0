"""Many write and read at once: nobody is told "database is locked", no commit is lost.

After reference note 8, section 5 (F21), through the pages of the program itself. The
control takes the write lock only when it writes; it must be told so. Killing processes
stands for a crash of the program, not of the machine: what a power cut takes depends on
``synchronous``, and the start-up check refuses all but FULL and EXTRA.
"""

import json
import random
import time
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pytest

from tests.faults.background import run, start, wait_for
from tests.faults.installation import Installation, kill

SEED = 20261126
WRITERS, READERS = 8, 20
DEFERRED = {"DJANGO_SETTINGS_MODULE": "tests.faults.deferred_settings"}


@dataclass(frozen=True)
class Size:
    seconds: int
    kills: int


SIZES = [
    pytest.param(Size(10, 5), id="ci", marks=pytest.mark.slow),
    pytest.param(Size(120, 50), id="soak", marks=pytest.mark.soak),
]


def browse(place: Installation, seconds: int) -> dict[str, int]:
    """Browse from two processes, each with half of the threads; add the answers up."""
    run(place, "keep", 3)
    both = [start(place, "browse", WRITERS // 2, READERS // 2, seconds) for _ in "ab"]
    answers: dict[str, int] = {}
    for process in both:
        told, faults = process.communicate(timeout=seconds + 300)
        assert process.returncode == 0, faults[-4000:]
        found = json.loads(told)
        print(found)
        for status, number in found["answers"].items():
            answers[status] = answers.get(status, 0) + number
        answers["locked"] = answers.get("locked", 0) + found["locked"]
    return answers


@pytest.mark.parametrize("size", SIZES)
def test_nobody_is_told_that_the_database_is_locked(size, sqlite_place):
    answers = browse(sqlite_place("load"), size.seconds)
    assert answers.pop("locked") == 0
    assert set(answers) == {"200", "302"}, answers
    assert answers["302"] >= WRITERS


@pytest.mark.slow
def test_the_control_with_late_locks_tells_it_to_some(sqlite_place):
    place = sqlite_place("late")
    place.more |= DEFERRED
    answers = browse(place, 10)
    assert answers["locked"] > 0
    assert answers.get("500", 0) > 0


def told(log: Path) -> set[str]:
    return set(log.read_text().split())


def _has(log: Path, number: int) -> bool:
    return len(told(log)) >= number


def killed_while_writing(place: Installation, arm: str, kills: int) -> set[str]:
    """Kill writers again and again; return what was told and is not there."""
    chance, log = random.Random(SEED), place.folder / "told"  # noqa: S311
    log.touch()
    run(place, "keep", 1)
    for _kill in range(kills):
        before = len(told(log))
        writers = [start(place, arm, log) for _ in range(2)]
        wait_for(partial(_has, log, before + 20))
        time.sleep(chance.uniform(0, 0.05))
        for each in writers:
            kill(each)
    there = set(run(place, "keys"))
    assert len(told(log)) >= 20 * kills
    return told(log) - there


@pytest.mark.parametrize("size", SIZES)
def test_no_commit_that_was_told_is_lost_to_a_kill(size, sqlite_place):
    assert killed_while_writing(sqlite_place("kills"), "write", size.kills) == set()


@pytest.mark.slow
def test_the_control_that_tells_before_the_commit_loses_some(sqlite_place):
    assert killed_while_writing(sqlite_place("early"), "write_early", 4) != set()
