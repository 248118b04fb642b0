"""Clocks that step by an hour or a day while reminders go out (reference 8, F8)."""

import random
import time

import pytest

from tests.faults.installation import kill
from tests.faults.provider import provider

SEED = 20270303
STEPS_S = (0, 3600, -3600, 86400, -86400)
LONGEST_RESUME_S = 25.0  # 10 s, and what a busy machine needs to start two processes
SIZES = [
    pytest.param(300, 8, id="ci", marks=pytest.mark.slow),
    pytest.param(2_000, 20, id="soak", marks=pytest.mark.soak),
]


@pytest.mark.parametrize(("count", "jumps"), SIZES)
def test_a_clock_that_steps_loses_nothing_and_doubles_nothing(
    count, jumps, sqlite_place, tmp_path
):
    chance, offset = random.Random(SEED), tmp_path / "offset"  # noqa: S311
    offset.write_text("0")
    place = sqlite_place("clocks")
    with provider(seed=SEED) as server:
        place.run("set_up", count, server.url)
        place.run("plan")
        workers = [place.start("outbox", offset) for _ in range(2)]
        try:
            for jump in range(jumps):
                target = count * (jump + 1) // (jumps + 1)
                while server.requests < target and any(
                    each.poll() is None for each in workers
                ):
                    time.sleep(0.02)
                offset.write_text(str(chance.choice(STEPS_S)))
            offset.write_text("0")
            started = time.monotonic()
            for each in workers:
                each.communicate(timeout=300)
            resumed = time.monotonic() - started
        finally:
            for each in workers:
                kill(each)
        found = place.run("report")
    print(f"seed {SEED}: {jumps} jumps, {resumed:.1f} s to the end after the last")
    assert found["waiting"] == 0
    assert len(server.taken) == count
    assert server.twice == 0


@pytest.mark.slow
def test_what_was_claimed_by_a_clock_that_ran_ahead_is_taken_up_again(
    sqlite_place, tmp_path
):
    offset = tmp_path / "offset"
    offset.write_text("86400")
    place = sqlite_place("ahead")
    with provider(seed=SEED) as server:
        place.run("set_up", 40, server.url)
        place.run("plan")
        first = place.start("outbox", offset)
        while not server.requests:
            time.sleep(0.02)
        kill(first)  # its claims run until tomorrow
        offset.write_text("0")
        started = time.monotonic()
        place.run("outbox", offset)
        seconds = time.monotonic() - started
    assert len(server.taken) == 40
    assert server.twice == 0
    assert seconds < LONGEST_RESUME_S
