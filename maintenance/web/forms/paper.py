"""Entry of a list from paper: one line for each step and zone, each with its faults."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import Final, cast

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.progress import (
    OUTCOMES,
    ZONE_ENDS,
    Outcome,
    ZoneEnd,
    suggested_end,
)
from maintenance.services.seasons.carry_out import LONGEST_S, Tick
from maintenance.services.seasons.kept_list import (
    CLOCKS_AGREE,
    ListHead,
    StepLine,
    WholeList,
    ZoneLine,
)
from maintenance.services.seasons.zone_ends import ZoneTold
from maintenance.web.local_times import zone_of
from maintenance.web.readings_asked import read_seconds

LONG_BEFORE: Final = timedelta(days=365)
_BARE: Final = re.compile(r"[-+]?\d[\d,. ]*")
Typed = Mapping[str, str]


@dataclass(slots=True)
class StepEntry:
    """One step of the form: what was typed, what is told by it, what is to be mended.

    ``unit`` is that of the column on the paper, for a reading written without one.
    """

    line: StepLine
    unit: str
    outcome: str = ""
    reading: str = ""
    seconds: str = ""
    note: str = ""
    told: str = ""
    faults: list[str] = field(default_factory=list)


@dataclass(slots=True)
class ZoneEntry:
    """One zone of the form; it is told as typed, or as its steps say."""

    line: ZoneLine
    outcome: str = ""
    note: str = ""
    told: tuple[str, str] = ("", "")
    faults: list[str] = field(default_factory=list)


@dataclass(slots=True)
class PaperEntry:
    """The whole form; ``rest`` says that what is left blank was done.

    ``token`` is made anew for each form that is handed out: by it a form that is sent
    twice is known again.
    """

    token: str
    steps: list[StepEntry]
    zones: list[ZoneEntry]
    who: str = ""
    day: str = ""
    clock: str = ""
    rest: bool = False
    faults: list[str] = field(default_factory=list)
    ticks: list[Tick] = field(default_factory=list)
    ends: list[ZoneTold] = field(default_factory=list)

    @property
    def to_mend(self) -> int:
        """How many things are to be mended."""
        steps = sum(len(each.faults) for each in self.steps)
        zones = sum(len(each.faults) for each in self.zones)
        return steps + zones + len(self.faults)


def blank_paper(whole: WholeList, unit: str, token: str) -> PaperEntry:
    """Return the empty form of a list; ``unit`` is that of its gauge readings."""
    return PaperEntry(
        token=token,
        steps=[StepEntry(s, _unit(s, unit)) for s in whole.all_steps if not s.gone],
        zones=[ZoneEntry(zone) for zone in whole.all_zones if not zone.gone],
    )


def read_paper(
    typed: Typed, whole: WholeList, unit: str, *, now: datetime
) -> PaperEntry:
    """Read what was typed; ``ticks`` and ``ends`` hold what is to be stored.

    What the form did not offer is left alone: it had an outcome already.
    """
    paper = blank_paper(whole, unit, typed.get("token", "").strip())
    paper.rest = bool(typed.get("rest"))
    done_at = _head(paper, typed, whole.head, now)
    for each in paper.steps:
        if f"outcome-{each.line.id}" in typed:
            _read_step(each, typed, rest=paper.rest)
            if not each.faults and each.told:
                paper.ticks.append(_tick(each, paper, done_at))
    told = {tick.step: tick for tick in paper.ticks}
    for place, zone in enumerate(paper.zones):
        if typed.get(f"zone-{place}-id") == zone.line.zone:
            _read_zone(zone, typed, place)
            if paper.rest and not zone.outcome and not zone.faults:
                _fill_zone(zone, whole, told)
            if not zone.faults and zone.told[0]:
                paper.ends.append(_end(zone))
    if not paper.to_mend and not paper.ticks and not paper.ends:
        paper.faults.append("Nothing is filled in yet: choose what the paper says.")
    return paper


def _unit(line: StepLine, unit: str) -> str:
    return unit if line.step.act == "blow" else ""


def _head(
    paper: PaperEntry, typed: Typed, head: ListHead, now: datetime
) -> datetime | None:
    """Read who did it and when; the time is that of the site."""
    zone = zone_of(head.time_zone)
    paper.who = typed.get("who", "").strip()
    paper.day = typed.get("day", "").strip()
    paper.clock = typed.get("clock", "").strip()
    if not paper.token:
        paper.faults.append("This form has lost its id: open it again.")
    if not paper.who:
        paper.faults.append("Write who did it: it stands at the head of the paper.")
    if not paper.day and not paper.clock:
        return None
    try:
        done_at = datetime.combine(
            date.fromisoformat(paper.day), time.fromisoformat(paper.clock), zone
        )
    except ValueError:
        paper.faults.append(
            f'"{paper.day} {paper.clock}" is no day with a time: write both, such as '
            f"{now.astimezone(zone):%Y-%m-%d} and 15:30, or leave both empty for now."
        )
        return None
    if done_at > now + CLOCKS_AGREE:
        paper.faults.append(
            f"{paper.day} {paper.clock} has not come yet at the site: write when it "
            "was done."
        )
    elif done_at < head.opened_at - LONG_BEFORE:
        paper.faults.append(
            f"{paper.day} lies more than a year before this list was opened: look at "
            "the year."
        )
    return done_at


def _read_step(entry: StepEntry, typed: Typed, *, rest: bool) -> None:
    key = entry.line.id
    entry.outcome = typed.get(f"outcome-{key}", "")
    entry.reading = " ".join(typed.get(f"reading-{key}", "").split())
    entry.seconds = typed.get(f"seconds-{key}", "").strip()
    entry.note = typed.get(f"note-{key}", "").strip()
    if entry.outcome and entry.outcome not in OUTCOMES:
        entry.faults.append(f'"{entry.outcome}" is no outcome: choose done or skipped.')
    written = entry.note or (not rest and (entry.reading or entry.seconds))
    if written and not entry.outcome:
        entry.faults.append("Something is written here: choose done or skipped.")
    entry.told = entry.outcome or ("done" if rest else "")
    if entry.outcome == "skipped" and not entry.note:
        entry.faults.append("Write why it was skipped, in a few words.")
    if not entry.unit and _BARE.fullmatch(entry.reading):
        entry.faults.append(
            f'The reading "{entry.reading}" has no unit: write it with its unit, such '
            f'as "{entry.reading} gal", or in words.'
        )
    try:
        taken = read_seconds(entry.seconds)
        if taken is not None and taken > LONGEST_S:
            entry.faults.append(
                f"{entry.seconds} is longer than a step takes: write its seconds."
            )
    except InputError as refusal:
        entry.faults.append(str(refusal))


def _tick(entry: StepEntry, paper: PaperEntry, done_at: datetime | None) -> Tick:
    skipped = entry.told == "skipped"
    bare = entry.unit and _BARE.fullmatch(entry.reading)
    return Tick(
        step=entry.line.id,
        client_id=paper.token,
        outcome=cast("Outcome", entry.told),
        reason=entry.note if skipped else "",
        who=paper.who,
        done_at=done_at,
        reading=f"{entry.reading} {entry.unit}" if bare else entry.reading,
        seconds=read_seconds(entry.seconds),
        note="" if skipped else entry.note,
    )


def _read_zone(entry: ZoneEntry, typed: Typed, place: int) -> None:
    entry.outcome = typed.get(f"zone-{place}", "")
    entry.note = typed.get(f"zone-{place}-note", "").strip()
    if entry.outcome and entry.outcome not in ZONE_ENDS:
        entry.faults.append(f'"{entry.outcome}" is no way to end: choose one.')
    if not entry.outcome and entry.note:
        entry.faults.append("Something is written here: choose how the zone ended.")
    entry.told = entry.outcome, entry.note
    if entry.outcome in ("partly", "skipped") and not entry.note:
        entry.faults.append("Write what is left of it, or why it was skipped.")


def _fill_zone(entry: ZoneEntry, whole: WholeList, told: Mapping[int, Tick]) -> None:
    """Let a zone that was left blank end as its steps did."""
    listed = [
        replace(each, outcome=told[each.row].outcome)
        if each.row is not None and each.row in told
        else each
        for each in whole.listed
    ]
    end = suggested_end(listed, entry.line.zone)
    if end is None:
        entry.faults.append(
            "No step tells how this zone ended: choose it from what the paper says."
        )
        return
    entry.told = end, "; ".join(_reasons(entry.line.zone, whole, told))


def _reasons(zone: str, whole: WholeList, told: Mapping[int, Tick]) -> Iterable[str]:
    reasons: dict[str, None] = {}
    for line in whole.all_steps:
        if line.step.row == zone and not line.gone:
            tick = told.get(line.id)
            reason = tick.reason if tick else line.report.reason if line.report else ""
            if reason:
                reasons[reason] = None
    return reasons


def _end(entry: ZoneEntry) -> ZoneTold:
    outcome, note = entry.told
    return ZoneTold(zone=entry.line.zone, outcome=cast("ZoneEnd", outcome), note=note)
