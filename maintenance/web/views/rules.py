"""The rules on tests: all of them by place, and one with its versions side by side."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.documents.rule_words import (
    deadlines_words,
    limits_words,
    mark_words,
    short_day,
    when_words,
)
from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.services.backflow.own_rules import known_rule
from maintenance.services.backflow.rule_table import KnownRule, rule_table
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page


@dataclass(frozen=True, slots=True)
class SideBySide:
    """One line of the comparison; ``differs`` where a version says otherwise."""

    name: str
    texts: tuple[str, ...]

    @property
    def differs(self) -> bool:
        """Whether the versions do not say the same."""
        return len(set(self.texts)) > 1


@require_safe
@answered
def rules(request: HttpRequest) -> HttpResponse:
    """Show the rules in force by place, those superseded under them."""
    table = rule_table(account_of(request))
    standing = [line for line in table.lines if _counts(line)]
    gone = [line for line in table.lines if not _counts(line)]
    context = {
        "places": [
            (key, name, [line for line in standing if line.rule.place == key])
            for key, name in table.places
            if any(line.rule.place == key for line in standing)
        ],
        "gone": gone,
        "own": sum(line.own for line in standing),
        "total": len(standing),
    }
    return show_page(request, "rules.html", context)


@require_safe
@answered
def rule(request: HttpRequest, rule_id: str, version: int) -> HttpResponse:
    """Show one version of a rule, and all its versions side by side."""
    table = rule_table(account_of(request))
    known = known_rule(table, RuleRef(rule_id, version))
    versions = table.versions(rule_id)
    context = {
        "known": known,
        "rule": known.rule,
        "versions": versions,
        "same": _side_by_side(versions),
        "last": known.rule.superseded_by is None,
    }
    return show_page(request, "rule.html", context)


def _counts(line: KnownRule) -> bool:
    return line.rule.superseded_by is None and not line.ended


def _side_by_side(versions: Sequence[KnownRule]) -> list[SideBySide]:
    rows = [_texts(line) for line in versions]
    names = list(rows[0])
    found = [SideBySide(name, tuple(row[name] for row in rows)) for name in names]
    return [line for line in found if any(line.texts)]


def _texts(line: KnownRule) -> dict[str, str]:
    rule = line.rule
    follower = rule.superseded_by
    return {
        "Where it comes from": (
            f"added by {line.added_by}" if line.own else "came with this tool"
        ),
        "Counts from": (
            short_day(line.added_at.date()) if line.added_at else "the beginning"
        ),
        "Place": rule.place_name or rule.place,
        "What is asked for": rule.duty,
        "When": when_words(rule),
        "For which assemblies": limits_words(rule.limits) or "all",
        "After a test": deadlines_words(rule),
        "Who may test": rule.who,
        "Source": rule.source,
        "Checked on": short_day(rule.checked) if rule.checked else "",
        "How well it is known": mark_words(rule),
        "Note": rule.note,
        "In force": (
            f"superseded by {follower}"
            if follower
            else "no: it counts no more"
            if line.ended
            else "yes"
        ),
    }
