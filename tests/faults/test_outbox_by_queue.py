"""The queue only wakes the workers: whatever is killed or wiped, no reminder is lost.

After reference note 8, sections 2.4 and 5 (F2): the program's own tasks and schedule,
killed workers, a Redis without persistence that is killed, two schedules at once, a
PostgreSQL that crashes; and the same by the embedded queue, which is emptied. The
control makes each reminder a message of the queue: those go with it.
"""

import random
import shutil
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from subprocess import Popen

import pytest

from tests.conftest import IN_CI
from tests.faults.background import QUICK, beat, wait_for, worker
from tests.faults.installation import Installation, kill
from tests.faults.provider import Provider, provider
from tests.redis_server import LACK, RedisServer

Process = Popen[str]

SEED = 20270305
STEPS = 4
LOOPBACK = ("-I", "tests.faults.loopback_tasks")
EMBEDDED = (*LOOPBACK, "--beat", "--scheduler", "celery.beat:Scheduler")


@dataclass(frozen=True)
class Size:
    reminders: int
    kills: int
    redis_kills: int
    crashes: int
    control: int


SIZES = [
    pytest.param(Size(2_000, 10, 3, 2, 500), id="ci", marks=pytest.mark.slow),
    pytest.param(Size(10_000, 50, 10, 5, 500), id="soak", marks=pytest.mark.soak),
]


@pytest.fixture
def redis(tmp_path: Path):
    if LACK:
        (pytest.fail if IN_CI else pytest.skip)(LACK)
    server = RedisServer(tmp_path)
    server.start()
    yield server
    server.kill()


class Crew:
    """Workers and schedules, some of which are killed and replaced."""

    def __init__(
        self, start: Callable[[], Process], *, beats: Sequence[Process] = ()
    ) -> None:
        self._start, self.beats = start, list(beats)
        self.workers = [start(), start()] if beats else [start()]

    def kill_one(self, afterwards: Callable[[], None] = lambda: None) -> None:
        kill(self.workers.pop(0))
        afterwards()
        self.workers.append(self._start())

    def end(self) -> None:
        for each in (*self.workers, *self.beats):
            kill(each)


def done_evenly(
    deeds: Sequence[Callable[[], None]], server: Provider, total: int
) -> None:
    """Do one thing after the other, spread evenly over the requests that come."""
    chance = random.Random(SEED)  # noqa: S311
    for number, deed in enumerate(chance.sample(deeds, len(deeds)), start=1):
        share = total * number // (len(deeds) + 1)
        wait_for(partial(_reached, server, share))
        time.sleep(chance.uniform(0, 0.1))
        deed()


def _reached(server: Provider, share: int) -> bool:
    return server.requests >= share


def hold_to_each_told_once(
    place: Installation, server: Provider, size: Size, begun: float
) -> None:
    wait_for(lambda: len(server.taken) >= size.reminders, seconds=900)
    wait_for(lambda: place.run("report")["waiting"] == 0)
    found = place.run("report")
    print(
        f"seed {SEED}, {found['vendor']}, {size}: {time.monotonic() - begun:.0f} s, "
        f"{server.requests} requests, {server.refused} refused, "
        f"{server.dropped} answers lost, {server.twice} twice"
    )
    assert found["rows"] == STEPS * size.reminders
    assert set(server.taken) == set(found["sent"])
    assert len(server.taken) == size.reminders
    assert server.requests > size.reminders, "the faults did not bite"
    assert server.twice == 0


@pytest.mark.parametrize("size", SIZES)
def test_embedded_the_worker_is_killed_and_its_queue_emptied(size, sqlite_place):
    place = sqlite_place("embedded")
    place.more |= QUICK
    with provider(seed=SEED) as server:
        place.run("set_up", size.reminders, server.url)
        begun = time.monotonic()
        crew = Crew(partial(worker, place, *EMBEDDED))
        empty = partial(shutil.rmtree, place.folder / "queue", ignore_errors=True)
        try:
            deeds = [partial(crew.kill_one, empty)] * size.kills
            done_evenly(deeds, server, size.reminders)
            hold_to_each_told_once(place, server, size, begun)
        finally:
            crew.end()


@pytest.mark.postgres
@pytest.mark.parametrize("size", SIZES)
def test_redis_is_wiped_postgresql_crashes_and_two_schedules_run(
    size, own_cluster, redis, tmp_path: Path
):
    url = own_cluster.make_database(f"queue_{size.reminders}")
    place = Installation(tmp_path / "grown", url, QUICK | {"REDIS_URL": redis.url})
    place.migrate()

    def wipe() -> None:
        redis.kill()
        redis.start()

    with provider(seed=SEED) as server:
        place.run("set_up", size.reminders, server.url)
        begun = time.monotonic()
        crew = Crew(partial(worker, place, *LOOPBACK), beats=[beat(place), beat(place)])
        try:
            deeds = [
                *([crew.kill_one] * size.kills),
                *([wipe] * size.redis_kills),
                *([own_cluster.crash] * size.crashes),
            ]
            done_evenly(deeds, server, size.reminders)
            hold_to_each_told_once(place, server, size, begun)
        finally:
            crew.end()


@pytest.mark.parametrize("size", SIZES)
def test_the_control_whose_reminders_are_messages_of_the_queue_loses(
    size, sqlite_place, redis
):
    place = sqlite_place("queued")
    place.more |= QUICK | {"REDIS_URL": redis.url}
    with provider(seed=SEED) as server:
        place.run("set_up", size.control, server.url)
        place.run("plan")
        place.run("queue_each")
        crew = Crew(partial(worker, place, *LOOPBACK))
        try:
            wait_for(lambda: server.requests >= size.control / 2)
            redis.kill()
            redis.start()
            crew.kill_one()
            seen = server.requests
            place.run("queue_each", 1)  # behind all that is still in the queue
            wait_for(lambda: server.requests > seen)
        finally:
            crew.end()
    lost = size.control - len(server.taken)
    print(f"seed {SEED}: {lost} of {size.control} lost by the control arm")
    assert lost > 0
