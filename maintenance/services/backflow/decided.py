"""Which version of which rule asked for a test when it was made.

A rule that was superseded since keeps deciding what happened in its time.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from maintenance.engine.backflow.due.next_due import Due, next_due
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.calendar.local_time import start_of_day
from maintenance.engine.errors import InputError
from maintenance.models import AssemblyFacts, Device
from maintenance.services.backflow.due import Assembly
from maintenance.services.backflow.facts import StatedFacts, stated_facts
from maintenance.services.backflow.rule_table import RuleTable

FactsThen = Sequence[tuple[datetime, StatedFacts]]


@dataclass(frozen=True, slots=True)
class Decision:
    """What was due just before a test, by the versions that counted on its day."""

    on: date
    due: Due
    rule: Rule | None


def facts_then(device: Device) -> FactsThen:
    """Return what was stated of an assembly and since when, in one query."""
    kept = AssemblyFacts.history.filter(device_id=device.pk)
    rows = kept.order_by("history_date", "history_id")
    return [(row.history_date, stated_facts(row)) for row in rows]


def decisions(
    assembly: Assembly, table: RuleTable, then: FactsThen
) -> Mapping[int, Decision]:
    """Return by the id of each standing test what was due before it."""
    found = {}
    for test in assembly.tests:
        place = next(
            n
            for n, event in enumerate(assembly.events)
            if event.kind == "tested" and event.at == test.at
        )
        day = assembly.events[place].on
        stated = _stated_on(day, assembly, then)
        rules = table.of_assembly(stated.place, stated.own_rule, day, assembly.zone)
        before = assembly.events[:place]
        try:
            due = next_due(rules, assembly.facts, before, day, assembly.holidays)
        except InputError:
            continue
        rule = next((each for each in rules if each.ref == due.rule), None)
        found[test.id] = Decision(day, due, rule)
    return found


def _stated_on(day: date, assembly: Assembly, then: FactsThen) -> StatedFacts:
    """Return what was stated at the end of a day; before anything was, the first."""
    end = start_of_day(day + timedelta(days=1), assembly.zone)
    earlier = [stated for since, stated in then if since < end]
    if earlier:
        return earlier[-1]
    return then[0][1] if then else assembly.stated
