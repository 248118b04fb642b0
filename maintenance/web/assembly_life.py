"""The life of an assembly, newest first: events, tests, what stood before and after."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from maintenance.documents.rule_words import in_days, rule_words, short_day
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.engine.calendar.local_time import local_date
from maintenance.services.backflow.assembly_page import AssemblyRecord
from maintenance.services.backflow.decided import Decision

HAPPENED_WORDS: Final = {
    "removed": "taken out",
    "reinstalled": "put back",
    "repaired": "repaired",
    "frozen": "frozen",
    "incident": "backflow incident",
    "relocated": "moved to another place",
    "installed": "put in",
    "inspected": "inspected",
    "overhauled": "overhauled",
    "last_used": "last used",
    "in_service": "turned on for the season",
}


@dataclass(frozen=True, slots=True)
class LifeLine:
    """One thing of its life; ``event_id`` where it can be taken back here.

    ``because`` tells of a test which version of which rule had asked for it.
    """

    on: date
    what: str
    more: str = ""
    by: str = ""
    undone: bool = False
    event_id: int | None = None
    test_id: int | None = None
    because: str = ""


def life_of(record: AssemblyRecord) -> list[LifeLine]:
    """Return all that is on record of an assembly, newest first."""
    lines = [*_events(record), *_tests(record), *_ends(record)]
    return sorted(lines, key=lambda line: line.on, reverse=True)


def _events(record: AssemblyRecord) -> Iterator[LifeLine]:
    for event in record.events:
        stored = f"stored: {event.stored_at}" if event.stored_at else ""
        told = "told by a season list" if event.step_record_id else ""
        more = "; ".join(filter(None, (stored, event.note, told)))
        yield LifeLine(
            on=event.on,
            what=HAPPENED_WORDS[event.kind],
            more=more,
            by=event.reported_by,
            undone=event.undone_at is not None,
            event_id=event.pk if event.undone_at is None else None,
        )


def _tests(record: AssemblyRecord) -> Iterator[LifeLine]:
    standing = {test.id for test in record.assembly.tests}
    for test in record.tests:
        words = RESULT_WORDS[test.result]
        corrected = "" if test.pk in standing else "corrected since"
        yield LifeLine(
            on=test.tested_on,
            what=f"test {test.number}: {words}",
            more=corrected,
            by=test.signed_by,
            test_id=test.pk,
            because=_because(record.decided.get(test.pk)),
        )


def _because(decision: Decision | None) -> str:
    """Say what had asked for a test when it was made."""
    if decision is None or decision.rule is None:
        return ""
    due = decision.due
    rule = f"{rule_words(decision.rule)} ({decision.rule.ref})"
    if due.state == "not_required":
        return f"not required then. {rule}: {in_days(due.why)}"
    return f"due {short_day(due.due)}, {rule}" if due.due else f"asked for, {rule}"


def _ends(record: AssemblyRecord) -> Iterator[LifeLine]:
    line, zone = record.line, record.assembly.zone
    told = any(e.kind == "installed" and not e.undone_at for e in record.events)
    if line.installed and not told:
        yield LifeLine(line.installed, "put in", "from the site file")
    since = local_date(line.since, zone)
    before = f"in the place of serial {line.former.serial}" if line.former else ""
    yield LifeLine(since, "entered in the register", before)
    if line.until:
        after = f"serial {line.next_one.serial} followed" if line.next_one else ""
        yield LifeLine(local_date(line.until, zone), "no longer at its place", after)
