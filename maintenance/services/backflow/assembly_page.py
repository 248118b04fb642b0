"""One assembly with its whole life, for its page."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from maintenance.engine.backflow.due.next_due import Due
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.errors import InputError
from maintenance.models import (
    Account,
    AssemblyEvent,
    AssemblyPhoto,
    Device,
    TestRecord,
)
from maintenance.services.backflow.assembly_rows import (
    assemblies,
    facts_row,
    get_assembly,
)
from maintenance.services.backflow.decided import Decision, decisions, facts_then
from maintenance.services.backflow.due import (
    Assembly,
    DueLine,
    DueState,
    due_line,
    every_rule,
    state_of,
)
from maintenance.services.backflow.due_queries import read_assemblies, rules_of
from maintenance.services.backflow.register import RegisterLine, lines_of
from maintenance.services.backflow.rule_table import RuleTable, rule_table


@dataclass(frozen=True, slots=True)
class RuleAnswer:
    """What one rule that applies says today; ``rule`` is None where none applies."""

    rule: Rule | None
    due: Due
    state: DueState


@dataclass(frozen=True, slots=True)
class AssemblyRecord:
    """An assembly with its whole life.

    ``positions`` are those of its parts as the site file has them; ``facts_version`` is
    0 where nothing is stated yet. ``others`` stood, or stand, at the same link.
    ``decided`` tells of each test, by its id, which version of which rule asked for it.
    """

    line: RegisterLine
    others: tuple[RegisterLine, ...]
    assembly: Assembly
    due: DueLine
    answers: tuple[RuleAnswer, ...]
    decided: Mapping[int, Decision]
    table: RuleTable
    positions: tuple[tuple[str, str, str], ...]
    facts_version: int
    events: tuple[AssemblyEvent, ...]
    photos: tuple[AssemblyPhoto, ...]
    tests: tuple[TestRecord, ...]

    @property
    def today(self) -> date:
        """The date at the site."""
        return self.due.today


def assembly_record(
    account: Account,
    *,
    site_key: str,
    link: str,
    device_id: int | None = None,
    now: datetime,
) -> AssemblyRecord:
    """Return one assembly with all that is known of it, in ten queries."""
    row = get_assembly(account, site_key=site_key, link=link, device_id=device_id)
    table = rule_table(account)
    (assembly,) = read_assemblies(account, [row])
    rules = rules_of(assembly, table, now)
    today = assembly.today(now)
    lines = lines_of(account, list(assemblies(account).filter(link=row.link)))
    facts = facts_row(row)
    return AssemblyRecord(
        line=next(each for each in lines if each.device_id == row.pk),
        others=tuple(each for each in lines if each.device_id != row.pk),
        assembly=assembly,
        due=due_line(assembly, rules, now),
        answers=_answers(assembly, rules, today),
        decided=decisions(assembly, table, facts_then(row)),
        table=table,
        positions=tuple(_positions(row.link.record)),
        facts_version=facts.version if facts else 0,
        events=tuple(_events(account, row)),
        photos=tuple(
            AssemblyPhoto.objects.for_account(account)
            .filter(device=row)
            .order_by("added_at", "pk")
        ),
        tests=tuple(_tests(account, row)),
    )


def _answers(
    assembly: Assembly, rules: tuple[Rule, ...], today: date
) -> tuple[RuleAnswer, ...]:
    try:
        found = every_rule(assembly, rules, today)
    except InputError:
        return ()  # the line of what is due tells what is wrong
    return tuple(RuleAnswer(rule, due, state_of(due, today)) for rule, due in found)


def _events(account: Account, row: Device) -> Iterable[AssemblyEvent]:
    events = AssemblyEvent.objects.for_account(account).filter(device=row)
    return events.order_by("-on", "-reported_at", "-pk")


def _tests(account: Account, row: Device) -> Iterable[TestRecord]:
    tests = TestRecord.objects.for_account(account).filter(device=row)
    return tests.defer("payload").order_by("-tested_at", "-number")


def _positions(record: Mapping[str, Any]) -> Iterable[tuple[str, str, str]]:
    """Give each part of an assembly with its positions in summer and in winter."""
    for key, name in (
        ("shutoff_1", "Shut-off 1 (upstream)"),
        ("shutoff_2", "Shut-off 2 (downstream)"),
        ("test_cocks", "Test cocks"),
    ):
        told = record.get(key) or {}
        count = f", {told['count']}" if told.get("count") else ""
        # Cocks are shut while the water is on; the site file does not ask.
        usual = "closed, as is usual" if key == "test_cocks" else ""
        summer = told.get("summer") or usual
        yield f"{name}{count}", _words(summer), _words(told.get("winter", ""))


def _words(position: str) -> str:
    return position.replace("_", " ")
