"""CPU time as a ratio to a plain loop run beside it, so that machines compare."""

import statistics
import time
from collections.abc import Callable

LOOP_STEPS = 1_000_000


def plain_loop() -> int:
    """Take the yardstick: a loop of a million steps that does next to nothing."""
    total = 0
    for step in range(LOOP_STEPS):
        total += step & 1
    return total


def cpu_seconds(work: Callable[[], object]) -> float:
    """Return the CPU time of one run, whatever else the machine does meanwhile."""
    begin = time.process_time()
    work()
    return time.process_time() - begin


def in_loops(work: Callable[[], object], *, rounds: int = 5) -> float:
    """Return the median ratio to the loop, measured A B A B.

    The first run is left out: it fills caches that a person pays for only once.
    """
    work()
    ratios = []
    for _ in range(rounds):
        yardstick = cpu_seconds(plain_loop)
        ratios.append(cpu_seconds(work) / yardstick)
    return statistics.median(ratios)
