"""Workers are killed while they work, and started again, until nothing waits."""

import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.faults.installation import Installation, kill

if TYPE_CHECKING:
    from subprocess import Popen

WORKERS = 2
_LONGEST_S = 1800.0


@dataclass(frozen=True)
class Plan:
    """So many kills and crashes of the database, spread evenly over the work."""

    total: int
    progress: Callable[[], int]
    kills: int
    seed: int
    crash: Callable[[], None] = lambda: None
    crashes: int = 0
    between: Callable[[], None] = lambda: None


@dataclass(frozen=True)
class Killed:
    kills: int
    crashes: int
    seconds: float


def drain_under_kills(
    place: Installation, plan: Plan, arm: str = "outbox", *arguments: object
) -> Killed:
    """Run two workers, kill the longer-lived one again and again, let them end."""
    chance, started = random.Random(plan.seed), time.monotonic()  # noqa: S311
    workers = [place.start(arm, *arguments) for _ in range(WORKERS)]
    kills = crashes = 0
    try:
        while not _ended(workers):
            assert time.monotonic() - started < _LONGEST_S, "it never ends"
            time.sleep(0.05)
            if plan.progress() * (plan.kills + 1) >= plan.total * (kills + 1):
                if kills < plan.kills:
                    time.sleep(chance.uniform(0, 0.1))
                    kill(workers.pop(0))
                    workers.append(place.start(arm, *arguments))
                    kills += 1
                    plan.between()
                if crashes * plan.kills < kills * plan.crashes:
                    plan.crash()
                    crashes += 1
            _raise_the_fallen(place, workers, arm, *arguments)
    finally:
        for each in workers:
            kill(each)
    return Killed(kills, crashes, time.monotonic() - started)


def _ended(workers: "list[Popen[str]]") -> bool:
    return all(each.poll() == 0 for each in workers)


def _raise_the_fallen(
    place: Installation,
    workers: "list[Popen[str]]",
    arm: str,
    *arguments: object,
) -> None:
    """Start those again that the database let down; whoever watches them would."""
    for number, each in enumerate(workers):
        if each.poll() not in (None, 0):
            each.communicate()
            workers[number] = place.start(arm, *arguments)
