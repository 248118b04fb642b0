"""What is due of one assembly: by which rule, in which state, and by when to report."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal, get_args

from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import Due, all_due, next_due
from maintenance.engine.backflow.due.rule import AFTER_EVENT, Rule, RuleRef
from maintenance.engine.calendar.business_days import Holidays
from maintenance.engine.calendar.local_time import local_date, zone_named
from maintenance.engine.calendar.regions import region_holidays
from maintenance.engine.calendar.window import WindowState, window_state
from maintenance.engine.errors import InputError
from maintenance.services.backflow.due_events import SignedResult, last_judged
from maintenance.services.backflow.facts import StatedFacts

DueState = WindowState | Literal["before_service", "not_known", "not_required"]
DUE_STATES: tuple[DueState, ...] = (
    *reversed(get_args(WindowState)),
    "before_service",
    "not_known",
    "not_required",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """An assembly with all that its dates follow from."""

    device_id: int
    site_key: str
    site_name: str
    link: str
    kind: str
    serial: str
    size: str
    zone: str
    standing: bool
    stated: StatedFacts
    facts: Facts
    events: tuple[Event, ...]
    tests: tuple[SignedResult, ...]

    @property
    def holidays(self) -> Holidays:
        """The holidays of its region; none where no region is stated."""
        region = self.stated.region
        return region_holidays(region) if region else frozenset()

    def today(self, now: datetime) -> date:
        """Return the date at its site."""
        return now.astimezone(zone_named(self.zone)).date()


@dataclass(frozen=True, slots=True)
class Deadline:
    """Something to do by a date or an instant, after a test, by its own rule.

    ``done_on`` is when it was done; ``over`` whether its time is over and it was not.
    """

    by: date | datetime
    rule: Rule | None
    over: bool
    done_on: date | None = None

    @property
    def day(self) -> date:
        """The day on which it ends."""
        return self.by.date() if isinstance(self.by, datetime) else self.by


@dataclass(frozen=True, slots=True)
class DueLine:
    """What is due next of one assembly.

    ``days`` is how long it is until then, negative once it is over; ``rule`` gave the
    date. ``tested`` is the last test that was judged.
    """

    assembly: Assembly
    today: date
    state: DueState
    due: date | None
    days: int | None
    duty: str
    why: str
    rule: Rule | None
    tested: SignedResult | None
    report: Deadline | None
    repair: Deadline | None

    @property
    def tested_on(self) -> date | None:
        """The day of that test at the site."""
        if self.tested is None:
            return None
        return local_date(self.tested.at, self.assembly.zone)

    @property
    def first_day(self) -> date | None:
        """The first day on which something is to be done."""
        days = [self.due] if self.due else []
        for deadline in (self.report, self.repair):
            if deadline is not None and deadline.done_on is None:
                days.append(deadline.day)
        return min(days, default=None)


def due_line(assembly: Assembly, rules: Sequence[Rule], now: datetime) -> DueLine:
    """Return what is due next by the rules given.

    Parameters
    ----------
    assembly : Assembly
        The assembly and what is on record of it.
    rules : sequence of Rule
        The rules that count for it now.
    now : datetime
        The present.
    """
    today = assembly.today(now)
    try:
        found = _with_its_reason(
            next_due(rules, assembly.facts, assembly.events, today, assembly.holidays),
            every_rule(assembly, rules, today),
        )
    except InputError as fault:
        # One wrong year in one assembly must not take the list of all away.
        found = Due("due", None, None, None, None, f"{fault}.")
    by_ref = {rule.ref: rule for rule in rules}
    last = last_judged(assembly.tests)
    return DueLine(
        assembly=assembly,
        today=today,
        state=state_of(found, today),
        due=found.due,
        days=(found.due - today).days if found.due else None,
        duty=found.duty,
        why=found.why,
        rule=by_ref.get(found.rule) if found.rule else None,
        tested=last,
        report=_deadline(
            found.report_by,
            found.report_rule,
            by_ref,
            now,
            assembly.zone,
            last.filed_on if last else None,
        ),
        repair=_deadline(
            found.repair_by, found.repair_rule, by_ref, now, assembly.zone, None
        ),
    )


def every_rule(
    assembly: Assembly, rules: Sequence[Rule], today: date, *more: Event
) -> list[tuple[Rule | None, Due]]:
    """Return what each rule that applies says, ``more`` having happened too."""
    by_ref = {rule.ref: rule for rule in rules}
    found = all_due(
        rules,
        assembly.facts,
        (*assembly.events, *more),
        today,
        assembly.holidays,
    )
    return [(by_ref.get(due.rule) if due.rule else None, due) for due in found]


def _with_its_reason(found: Due, said: list[tuple[Rule | None, Due]]) -> Due:
    """Where nothing is required, give the reason of the rule that counts the time.

    That nothing befell the assembly is true as well, and tells less.
    """
    if found.state != "not_required":
        return found
    by_time = (due for rule, due in said if rule and rule.trigger not in AFTER_EVENT)
    told = next(by_time, found)
    return replace(found, rule=told.rule, why=told.why, duty=told.duty)


def state_of(found: Due, today: date) -> DueState:
    """Return the state of an answer on a day: by its date wherever it has one."""
    if found.state == "not_required":
        return "not_required"
    if found.due is not None:
        return window_state(today, found.due)
    return "before_service" if found.state == "before_service" else "not_known"


def _deadline(
    by: date | datetime | None,
    ref: RuleRef | None,
    by_ref: dict[RuleRef, Rule],
    now: datetime,
    zone: str,
    done_on: date | None,
) -> Deadline | None:
    if by is None:
        return None
    over = now > _end(by, zone) and done_on is None
    return Deadline(by, by_ref.get(ref) if ref else None, over, done_on)


def _end(by: date | datetime, zone: str) -> datetime:
    """Return the instant at which a deadline is over: a day lasts until its end."""
    if isinstance(by, datetime):
        return by
    try:
        next_day = by + timedelta(days=1)
    except OverflowError as error:
        raise InputError(f"{by} is the last day of the calendar") from error
    return datetime.combine(next_day, time(), zone_named(zone)).astimezone(UTC)
