"""Elements of the pages on backflow assemblies: states, days, rules one click away."""

from datetime import date, datetime
from typing import Final

from django import template
from django.urls import NoReverseMatch, reverse

from maintenance.documents.rule_words import (
    by_words,
    deadlines_words,
    in_days,
    limits_words,
    mark_words,
    rule_words,
    short_day,
    when_words,
)
from maintenance.engine.backflow.due.rule import Rule, RuleRef

register = template.Library()

# What each state is called; its shape is drawn in parts/due_state.html.
STATES: Final = {
    "overdue": "overdue",
    "due": "due today",
    "due_soon": "due soon",
    "open": "open",
    "early": "early",
    "before_service": "before service",
    "not_known": "not known",
    "not_required": "not required",
    "done": "done",
    "valid": "valid",
    "ends_soon": "ends soon",
    "ended": "ended",
    "not_begun": "not begun",
    "unknown": "unknown",
}


@register.inclusion_tag("maintenance/parts/due_state.html")
def due_state(name: str, word: str = "") -> dict[str, str]:
    """Show a state as a shape and a word."""
    return {"name": name, "word": word or STATES[name]}


@register.inclusion_tag("maintenance/parts/rule_door.html")
def rule_door(rule: Rule | None, text: str = "") -> dict[str, object]:
    """Name a rule; opened, it shows its source, the day it was checked, and its page."""
    return {"rule": rule, "text": text}


@register.filter
def day(value: date | None) -> str:
    """Write a day with its weekday."""
    return f"{value:%a} {short_day(value)}" if value else ""


@register.filter
def plain_day(value: date | None) -> str:
    """Write a day."""
    return short_day(value) if value else ""


@register.filter
def told(text: str) -> str:
    """Write the days of a sentence as people write them."""
    return in_days(text)


@register.filter
def until(by: date | datetime) -> str:
    """Write the end of a deadline."""
    return by_words(by)


@register.filter
def away(days: int | None) -> str:
    """Say how far away a day is."""
    if days is None:
        return ""
    if days == 0:
        return "today"
    count = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
    return f"in {count}" if days > 0 else f"{count} ago"


@register.filter
def named(rule: Rule) -> str:
    """Name a rule by its place and when it asks for what."""
    return rule_words(rule)


@register.filter
def when(rule: Rule) -> str:
    """Say when a rule asks."""
    return when_words(rule)


@register.filter
def limits(rule: Rule) -> str:
    """Say for which assemblies a rule is."""
    return limits_words(rule.limits)


@register.filter
def deadlines(rule: Rule) -> str:
    """Say by when a test is reported and a failure repaired."""
    return deadlines_words(rule)


@register.filter
def mark(rule: Rule) -> str:
    """Say how well the source of a rule is known."""
    return mark_words(rule)


@register.filter
def page(ref: RuleRef | None) -> str:
    """Return the address of a version of a rule; empty for a plain interval."""
    if ref is None or " " in ref.id or ref.id == "yearly":
        return ""
    try:
        return reverse("rule", args=[ref.id, ref.version])
    except NoReverseMatch:
        return ""
