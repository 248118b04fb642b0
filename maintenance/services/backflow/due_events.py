"""What is on record of an assembly, as the law's clock counts it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from maintenance.engine.backflow.due.events import Event, EventKind, tested
from maintenance.engine.backflow.verdict import Result

INSPECTED_KINDS: Final = ("AVB", "AG")
"""Kinds whose record is an inspection; where a rule says test, it is that as well."""


@dataclass(frozen=True, slots=True)
class OnRecord:
    """An event as it was reported; those of one day in the order of reporting."""

    kind: EventKind
    on: date


@dataclass(frozen=True, slots=True)
class SignedResult:
    """A signed test that no other corrects; ``filed_on`` if its report was handed in."""

    id: int
    number: int
    at: datetime
    result: Result
    filed_on: date | None


@dataclass(frozen=True, slots=True)
class _Placed:
    """An event with its place within its day."""

    order: int
    event: Event


def clock_events(
    kind: str,
    happened: Sequence[OnRecord],
    tests: Iterable[SignedResult],
    zone: str,
    *,
    installed: date | None = None,
) -> tuple[Event, ...]:
    """Put what is on record in the order in which it happened.

    Reports have a day and no hour. Within one day a failed test comes before a repair
    and what else befell the assembly, a pass after it, and a removal last, unless it
    was put back on that day: so that a day's order never hides a test that is owed.
    """
    placed = [_Placed(1, Event("installed", installed))] if installed else []
    back = {each.on: n for n, each in enumerate(happened) if each.kind == "reinstalled"}
    for n, each in enumerate(happened):
        leaves = each.kind in ("removed", "last_used") and n > back.get(each.on, -1)
        placed.append(_Placed(3 if leaves else 1, Event(each.kind, each.on)))
    for test in sorted(tests, key=lambda each: each.at):
        order = 2 if test.result == "passed" else 0
        seen = tested(test.at, zone, test.result)
        placed.append(_Placed(order, seen))
        if kind in INSPECTED_KINDS:
            looked = Event("inspected", seen.on, seen.at, test.result)
            placed.append(_Placed(order, looked))
    placed.sort(key=lambda each: (each.event.on, each.order))
    return tuple(each.event for each in placed)


def last_judged(tests: Iterable[SignedResult]) -> SignedResult | None:
    """Return the last test that passed or failed: deadlines run from it."""
    judged = [each for each in tests if each.result in ("passed", "failed")]
    return max(judged, key=lambda each: each.at, default=None)
