"""What is due at all sites of an account, in a fixed number of queries."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import TYPE_CHECKING, cast

from django.db.models import Exists, OuterRef, Subquery

from maintenance.engine.backflow.due.rule import Rule
from maintenance.models import (
    Account,
    AssemblyEvent,
    Device,
    ReportFiled,
    TestRecord,
)
from maintenance.services.backflow.assembly_rows import (
    assemblies,
    day_at,
    facts_row,
    zone_at,
)
from maintenance.services.backflow.due import Assembly, DueLine, due_line
from maintenance.services.backflow.due_events import (
    OnRecord,
    SignedResult,
    clock_events,
)
from maintenance.services.backflow.facts import facts_for_rules, stated_facts
from maintenance.services.backflow.rule_table import RuleTable, rule_table

if TYPE_CHECKING:
    from maintenance.engine.backflow.due.events import EventKind


def due_lines(account: Account, *, now: datetime) -> tuple[list[DueLine], RuleTable]:
    """Return what is due of each standing assembly, in four queries.

    The first thing to do comes first; what has no date stands behind it, and what is
    not required last. Sites that are retired are left out.
    """
    standing = assemblies(account).standing().filter(site__retired_at=None)
    table = rule_table(account)
    lines = [
        due_line(each, rules_of(each, table, now), now)
        for each in read_assemblies(account, standing)
    ]
    return sorted(lines, key=_first_first), table


def rules_of(assembly: Assembly, table: RuleTable, now: datetime) -> tuple[Rule, ...]:
    """Return the rules that count for an assembly now."""
    stated = assembly.stated
    return table.of_assembly(
        stated.place, stated.own_rule, assembly.today(now), assembly.zone
    )


def read_assemblies(account: Account, devices: Iterable[Device]) -> list[Assembly]:
    """Return assemblies with all that their dates follow from, in two queries more."""
    rows = list(devices)
    happened = _happened(account, rows)
    tests = _tests(account, rows)
    return [_assembly(row, happened[row.pk], tests[row.pk]) for row in rows]


def _assembly(
    row: Device, happened: list[OnRecord], tests: list[SignedResult]
) -> Assembly:
    stated = stated_facts(facts_row(row))
    zone = zone_at(row.site)
    return Assembly(
        device_id=row.pk,
        site_key=row.site.key,
        site_name=row.site.name,
        link=row.link.key,
        kind=row.kind,
        serial=row.serial,
        size=row.size,
        zone=zone,
        standing=row.until is None,
        stated=stated,
        facts=facts_for_rules(row, stated),
        events=clock_events(
            row.kind, happened, tests, zone, installed=_installed(row, happened)
        ),
        tests=tuple(tests),
    )


def _installed(row: Device, happened: list[OnRecord]) -> date | None:
    """Return the day on which it was put in.

    One that took the place of another was put in when that was recorded, at the
    latest.
    """
    if row.installed is not None:
        return row.installed
    if getattr(row, "follows_another", False) and not any(
        each.kind == "installed" for each in happened
    ):
        return day_at(row.site, row.since)
    return None


def _happened(account: Account, rows: list[Device]) -> dict[int, list[OnRecord]]:
    found: dict[int, list[OnRecord]] = {row.pk: [] for row in rows}
    events = AssemblyEvent.objects.for_account(account).filter(
        undone_at=None, device__in=found
    )
    for device_id, kind, on in events.order_by("on", "reported_at", "pk").values_list(
        "device_id", "kind", "on"
    ):
        # The table's own constraint holds the kinds.
        found[device_id].append(OnRecord(cast("EventKind", kind), on))
    return found


def _tests(account: Account, rows: list[Device]) -> dict[int, list[SignedResult]]:
    found: dict[int, list[SignedResult]] = {row.pk: [] for row in rows}
    corrected = TestRecord.objects.filter(corrects=OuterRef("pk"))
    filed = ReportFiled.objects.filter(record=OuterRef("pk"), undone_at=None)
    filed = filed.order_by("-filed_on")
    records = (
        TestRecord.objects.for_account(account)
        .filter(~Exists(corrected), device__in=found)
        .annotate(filed_on=Subquery(filed.values("filed_on")[:1]))
        .order_by("tested_at", "number")
        .values_list("device_id", "pk", "number", "tested_at", "result", "filed_on")
    )
    for device_id, *told in records:
        found[device_id].append(SignedResult(*told))
    return found


def _first_first(line: DueLine) -> tuple[bool, bool, date, str, str]:
    first = line.first_day
    place = (line.assembly.site_name.lower(), line.assembly.link)
    nothing = first is None and line.state == "not_required"
    return (nothing, first is None, first or date.max, *place)
