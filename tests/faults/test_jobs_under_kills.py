"""A long job ends with each site done once, whatever is killed or wiped meanwhile.

After reference note 8, section 5 (F2, F23): workers are killed, the queue is emptied,
Redis is killed without persistence, two schedules run. The control keeps the effect of
a piece before its count, and does some sites twice.
"""

import random
import shutil
import sqlite3
import time
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import IN_CI
from tests.faults import background
from tests.faults.background import QUICK, beat, run, start, wait_for, worker
from tests.faults.installation import Installation, kill
from tests.redis_server import LACK, RedisServer

SEED = 20261125


@dataclass(frozen=True)
class Size:
    sites: int
    kills: int


SIZES = [
    pytest.param(Size(40, 4), id="ci", marks=pytest.mark.slow),
    pytest.param(Size(400, 20), id="soak", marks=pytest.mark.soak),
]


def done(place: Installation) -> int:
    path = f"file:{place.folder}/irrigation.sqlite3?mode=ro"
    with closing(sqlite3.connect(path, uri=True, timeout=20)) as database:
        asked = "SELECT done, state FROM maintenance_job WHERE kind = 'build_lists'"
        (row,) = database.execute(asked).fetchall()
    assert row[1] != "failed"
    return int(row[0])


def hold_to_each_site_once(place: Installation, size: Size) -> None:
    found = run(place, "report")
    assert found["state"] == "done", found
    assert found["counts"] == {"made": size.sites}, found
    assert len(found["lists"]) == size.sites
    assert set(found["lists"].values()) == {1}


def wait_past(place: Installation, number: int) -> None:
    wait_for(lambda: done(place) >= number)


@pytest.mark.parametrize("size", SIZES)
def test_embedded_the_worker_is_killed_and_its_queue_emptied(size, sqlite_place):
    place = sqlite_place("embedded")
    place.more |= QUICK
    run(place, "keep", size.sites)
    chance = random.Random(SEED)  # noqa: S311
    one = worker(place, "--beat", "--scheduler", "celery.beat:Scheduler")
    try:
        for number in range(1, size.kills + 1):
            wait_past(place, number * size.sites // (size.kills + 1))
            time.sleep(chance.uniform(0, 0.1))
            kill(one)
            # A worker that died at once may not have made it yet.
            shutil.rmtree(place.folder / "queue", ignore_errors=True)
            one = worker(place, "--beat", "--scheduler", "celery.beat:Scheduler")
        wait_past(place, size.sites)
    finally:
        kill(one)
    hold_to_each_site_once(place, size)


@pytest.mark.parametrize("size", SIZES)
def test_with_redis_wiped_two_workers_killed_and_two_schedules(
    size, sqlite_place, tmp_path: Path
):
    if LACK:
        (pytest.fail if IN_CI else pytest.skip)(LACK)
    redis = RedisServer(tmp_path)
    redis.start()
    place = sqlite_place("grown")
    place.more |= QUICK | {"REDIS_URL": redis.url}
    run(place, "keep", size.sites)
    chance = random.Random(SEED)  # noqa: S311
    workers = [worker(place), worker(place)]
    beats = [beat(place), beat(place)]
    try:
        for number in range(1, size.kills + 1):
            wait_past(place, number * size.sites // (size.kills + 1))
            time.sleep(chance.uniform(0, 0.1))
            if number % 2:
                redis.kill()
                redis.start()
            else:
                kill(workers.pop(0))
                workers.append(worker(place))
        wait_past(place, size.sites)
    finally:
        for each in (*workers, *beats):
            kill(each)
        redis.kill()
    hold_to_each_site_once(place, size)


@pytest.mark.slow
def test_without_redis_pages_answer_and_the_work_is_not_lost(sqlite_place, tmp_path):
    if LACK:
        (pytest.fail if IN_CI else pytest.skip)(LACK)
    redis = RedisServer(tmp_path)
    place = sqlite_place("absent")
    place.more |= QUICK | {"REDIS_URL": redis.url}
    begun = time.monotonic()
    run(place, "keep", 3)  # asks for a job, and no queue takes the nudge
    assert time.monotonic() - begun < 60
    redis.start()
    one, schedule = worker(place), beat(place)
    try:
        wait_past(place, 3)
    finally:
        kill(one)
        kill(schedule)
        redis.kill()
    hold_to_each_site_once(place, Size(3, 0))


@pytest.mark.slow
def test_the_control_that_keeps_before_it_counts_does_some_twice(sqlite_place):
    place = sqlite_place("careless")
    place.more |= QUICK
    run(place, "keep", 20)
    workers = [start(place, "work_carelessly") for _ in range(2)]
    try:
        for number in range(1, 6):
            wait_past(place, 3 * number)
            time.sleep(0.05)
            kill(workers.pop(0))
            workers.append(start(place, "work_carelessly"))
        wait_past(place, 20)
    finally:
        for each in workers:
            kill(each)
    marks = background.run(place, "report")["marks"]
    assert max(marks.values()) > 1, "the fault did not bite"
