"""All rules that an account counts with: those that ship and its own, by version.

A version is never changed. Which one decides on a day follows from when each began to
count: a shipped version from its checking, the first of them from ever; one of the
account's own from the day on which it was added.
"""

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from typing import Any, Final

from maintenance.engine.backflow.due.plain_rules import plain_rule
from maintenance.engine.backflow.due.rows import COLUMNS, read_rules
from maintenance.engine.backflow.due.rule import Rule, RuleRef
from maintenance.engine.backflow.due.table import shipped_rules
from maintenance.engine.calendar.local_time import local_date
from maintenance.models import Account, OwnRule

REPLACES: Final = "replaces"
ENDED: Final = "ended"
"""What an own rule's record holds beside the columns of the table."""


@dataclass(frozen=True, slots=True)
class KnownRule:
    """One version of a rule, and where it comes from.

    ``replaces`` is the shipped version whose place it takes; one that has ``ended``
    only says that the rule counts no more.
    """

    rule: Rule
    own: bool = False
    added_at: datetime | None = None
    added_by: str = ""
    replaces: RuleRef | None = None
    ended: bool = False

    def begins(self, zone: str) -> date:
        """Return the first day on which it decides."""
        if self.added_at is not None:
            return local_date(self.added_at, zone)
        if self.rule.version == 1 or self.rule.checked is None:
            return date.min
        return self.rule.checked


class RuleTable:
    """All versions, with what each one's successor is."""

    def __init__(self, shipped: Iterable[Rule], own: Iterable[KnownRule]) -> None:
        mine = tuple(own)
        taken = {
            each.replaces: each.rule.ref
            for each in sorted(mine, key=lambda each: -each.rule.version)
            if each.replaces
        }
        self.lines: tuple[KnownRule, ...] = (
            *(KnownRule(_succeeded(rule, taken)) for rule in shipped),
            *mine,
        )

    @cached_property
    def by_ref(self) -> Mapping[RuleRef, KnownRule]:
        """Every version by its reference."""
        return {line.rule.ref: line for line in self.lines}

    @cached_property
    def places(self) -> tuple[tuple[str, str], ...]:
        """Keys and names of the places that rules name, by name."""
        names = {
            line.rule.place: line.rule.place_name or line.rule.place
            for line in self.lines
            if line.rule.place
        }
        return tuple(sorted(names.items(), key=lambda pair: pair[1].lower()))

    def place_name(self, key: str) -> str:
        """Return what a place is called."""
        return dict(self.places).get(key, key)

    def versions(self, rule_id: str) -> tuple[KnownRule, ...]:
        """Return all versions of a rule, and what it replaces and was replaced by."""
        chain = {line.rule.ref for line in self.lines if line.rule.id == rule_id}
        known = 0
        while len(chain) > known:
            known = len(chain)
            for line in self.lines:
                joined = {line.rule.ref, *_neighbours(line)}
                if joined & chain:
                    chain |= joined
        return tuple(line for line in self.lines if line.rule.ref in chain)

    def on(self, day: date, zone: str) -> tuple[Rule, ...]:
        """Return the rules that decide on a day at a site."""
        return tuple(
            line.rule
            for line in self.lines
            if line.begins(zone) <= day
            and not line.ended
            and not self._gone(line, day, zone)
        )

    def of_assembly(
        self, place: str, own_rule: str, day: date, zone: str
    ) -> tuple[Rule, ...]:
        """Return the rules of an assembly: those of its place, and its own in words."""
        found = [rule for rule in self.on(day, zone) if place and rule.place == place]
        plain = plain_rule(own_rule) if own_rule else None
        return (*found, plain) if plain else tuple(found)

    def _gone(self, line: KnownRule, day: date, zone: str) -> bool:
        follower = line.rule.superseded_by
        known = self.by_ref.get(follower) if follower else None
        return known is not None and known.begins(zone) <= day


def rule_table(account: Account) -> RuleTable:
    """Return all rules of an account, in one query."""
    rows = OwnRule.objects.for_account(account).order_by("key", "version")
    return RuleTable(shipped_rules(), own_rules(rows))


def own_rules(rows: Iterable[OwnRule]) -> tuple[KnownRule, ...]:
    """Read own rules as they are kept; each version but the last is superseded."""
    kept = list(rows)
    last = {row.key: row.version for row in kept}
    texts = [
        record_cells(
            row.record
            | {"id": row.key, "version": str(row.version)}
            | (
                {"superseded_by": str(RuleRef(row.key, row.version + 1))}
                if row.version < last[row.key]
                else {"superseded_by": ""}
            )
        )
        for row in kept
    ]
    return tuple(
        KnownRule(
            rule=rule,
            own=True,
            added_at=row.added_at,
            added_by=row.added_by,
            replaces=_ref(row.record.get(REPLACES)),
            ended=row.record.get(ENDED) == "yes",
        )
        for rule, row in zip(read_rules(_csv(texts)), kept, strict=True)
    )


def record_cells(record: Mapping[str, Any]) -> dict[str, str]:
    """Return the cells of a rule's row, in the table's columns."""
    return {name: str(record.get(name, "")) for name in COLUMNS}


def read_cells(cells: Mapping[str, str]) -> Rule:
    """Read one rule from its cells, or refuse by column."""
    (rule,) = read_rules(_csv([record_cells(cells)]))
    return rule


def _csv(rows: Iterable[Mapping[str, str]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _ref(text: Any) -> RuleRef | None:
    return RuleRef.parse(text) if text else None


def _succeeded(rule: Rule, taken: Mapping[RuleRef, RuleRef]) -> Rule:
    follower = taken.get(rule.ref)
    if follower is None or rule.superseded_by is not None:
        return rule
    return replace(rule, superseded_by=follower)


def _neighbours(line: KnownRule) -> tuple[RuleRef, ...]:
    return tuple(ref for ref in (line.rule.superseded_by, line.replaces) if ref)
