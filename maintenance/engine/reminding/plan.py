"""Who is told of what, and when: one plan, from which rows are made and pages shown."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Final, Literal

from maintenance.engine.reminding.quiet import MORNING, Quiet, morning_of
from maintenance.engine.reminding.steps import Steps, step_days, usual_steps

Channel = Literal["email", "digest", "webhook"]
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Owed:
    """What is due, as far as reminding of it goes.

    Nothing is told again that should have been told before ``remind_from``.
    """

    id: int
    kind: str
    site: int | None
    due_on: date
    zone: str
    remind_from: datetime | None = None
    snoozed_until: date | None = None


@dataclass(frozen=True, slots=True)
class Reader:
    """A person or an address that is told; empty kinds and sites stand for all.

    ``zone`` is empty where the site's own counts. One that is ``silent`` has stopped
    all messages, so that ``escalate_to`` gets them at once.
    """

    id: int
    channel: Channel
    kinds: frozenset[str] = frozenset()
    sites: frozenset[int] = frozenset()
    morning: time = MORNING
    quiet: Quiet | None = None
    zone: str = ""
    since: datetime | None = None
    silent: bool = False
    escalate_to: int | None = None
    escalate_after_days: int = 7

    def wants(self, owed: Owed) -> bool:
        """Whether it is told of this at all [-]."""
        return (not self.kinds or owed.kind in self.kinds) and (
            not self.sites or owed.site in self.sites
        )


@dataclass(frozen=True, slots=True)
class Planned:
    """One reminder: the step [d before the due date], its day, when it goes out.

    ``instead_of`` is the reader who was not reached, or has not answered.
    """

    owed: Owed
    reader: Reader
    step: int
    day: date
    send_at: datetime
    instead_of: int | None = None

    @property
    def key(self) -> str:
        """What the row is unique by, and what a channel is told of it [text]."""
        letter = "w" if self.reader.channel == "webhook" else "r"
        return f"o{self.owed.id}:{self.step}:{self.reader.channel}:{letter}{self.reader.id}"


@dataclass(frozen=True, slots=True)
class Telling:
    """Everybody that an account tells, and the steps that it has stated."""

    readers: tuple[Reader, ...]
    steps: Mapping[str, Steps] = field(default_factory=dict)

    def steps_for(self, kind: str) -> Steps:
        """Return the steps of a kind [d]."""
        return self.steps.get(kind) or usual_steps(kind)


def plan(telling: Telling, owed: Owed, *, until: datetime) -> list[Planned]:
    """Plan all reminders of one thing.

    Parameters
    ----------
    telling : Telling
        Readers and steps [-].
    owed : Owed
        What is due [-].
    until : datetime
        No later ones are planned [instant].

    Returns
    -------
    list of Planned
        In the order of time; each reader is told of a step once, by its own name or by
        escalation [instants].

    Raises
    ------
    InputError
        If a zone is not known.
    """
    by_id = {each.id: each for each in telling.readers if each.channel != "webhook"}
    found: dict[str, Planned] = {}
    days = list(_days(telling.steps_for(owed.kind), owed, until.date() + _DAY))
    for reader in telling.readers:
        if not reader.wants(owed):
            continue
        second = by_id.get(reader.escalate_to) if reader.escalate_to else None
        for step, day in days:
            if not reader.silent:
                _add(found, owed, reader, step, day, until)
            if second is not None and not second.silent:
                after = step <= -max(1, reader.escalate_after_days)
                if reader.silent or after:
                    _add(found, owed, second, step, day, until, reader)
    return sorted(found.values(), key=lambda each: (each.send_at, each.key))


def _days(steps: Steps, owed: Owed, until: date) -> Iterator[tuple[int, date]]:
    """Give the steps that count: a snooze leaves out what comes before its end."""
    snoozed = owed.snoozed_until
    if snoozed is not None and snoozed <= until:
        yield (owed.due_on - snoozed).days, snoozed
    for step, day in step_days(steps, owed.due_on, until=until):
        if snoozed is None or day > snoozed:
            yield step, day


def _add(
    found: dict[str, Planned],
    owed: Owed,
    reader: Reader,
    step: int,
    day: date,
    until: datetime,
    instead_of: Reader | None = None,
) -> None:
    zone = reader.zone or owed.zone
    send_at = morning_of(day, reader.morning, reader.quiet, zone)
    earliest = [each for each in (reader.since, owed.remind_from) if each is not None]
    if send_at > until or any(send_at < each for each in earliest):
        return
    other = instead_of.id if instead_of else None
    planned = Planned(owed, reader, step, day, send_at, other)
    known = found.get(planned.key)
    if known is None or known.instead_of is not None:
        found[planned.key] = planned


def newest(planned: Iterable[Planned]) -> tuple[dict[str, Planned], list[Planned]]:
    """Part what is to be sent from what a newer step has overtaken.

    Parameters
    ----------
    planned : iterable of Planned
        Reminders whose time has come, of any number of things [instants].

    Returns
    -------
    tuple
        The last step of each thing for each reader, by key [-]; all earlier ones [-].

    Notes
    -----
    After a time in which nothing was sent, only the newest step still says something
    true; a burst of old ones helps nobody (reference note 8, section 3.1).
    """
    last: dict[tuple[int, int, str], Planned] = {}
    overtaken: list[Planned] = []
    for each in planned:
        place = (each.owed.id, each.reader.id, each.reader.channel)
        before = last.get(place)
        if before is None:
            last[place] = each
        elif (each.send_at, -each.step) > (before.send_at, -before.step):
            overtaken.append(before)
            last[place] = each
        else:
            overtaken.append(each)
    return {each.key: each for each in last.values()}, overtaken
