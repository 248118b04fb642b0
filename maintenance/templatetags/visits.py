"""Elements of the pages on visits: kinds and outcomes in words, states as marks."""

from datetime import date
from typing import Final

from django import template

from maintenance.documents.day_sheet import AIR
from maintenance.documents.outlook_words import LEVELS
from maintenance.services.visits.words import (
    KINDS,
    OUTCOMES,
    STANDINGS,
    STATES,
    URGENCIES,
)

register = template.Library()

# Shapes of parts/state.html by outcome, and by state while there is none.
_SHAPES: Final = {
    "done": "done",
    "partly": "partly",
    "not_found": "not_found",
    "no_access": "unknown",
    "planned": "due",
    "under_way": "partly",
}


@register.filter
def kind(name: str) -> str:
    """Write a kind of visit."""
    return KINDS.get(name, name)


@register.filter
def outcome(name: str) -> str:
    """Write an outcome, of a visit or of a zone."""
    return OUTCOMES.get(name, name)


@register.filter
def standing(name: str) -> str:
    """Write how a site stands in a season."""
    return STANDINGS.get(name, name)


@register.filter
def state_words(name: str) -> str:
    """Write a state of a visit."""
    return STATES.get(name, name)


@register.filter
def words(text: str) -> list[str]:
    """Return the words of a text."""
    return text.split()


@register.filter
def named(thing: object, name: str) -> str:
    """Return what stands under a name."""
    return str(getattr(thing, name))


@register.filter
def urgency(name: str) -> str:
    """Write how soon."""
    return URGENCIES.get(name, name)


@register.filter
def air(name: str | None) -> str:
    """Write what compressor a site needs."""
    return AIR.get(name or "", "not worked out")


@register.filter
def frost(level: int | None) -> str:
    """Write a level of the freeze outlook."""
    return "not known" if level is None else LEVELS[level]


@register.inclusion_tag("maintenance/parts/state.html")
def visit_mark(
    state: str, outcome: str, planned_on: date | None = None, today: date | None = None
) -> dict[str, str]:
    """Show how a visit stands: a shape and words."""
    late = state == "planned" and planned_on and today and planned_on < today
    if late:
        return {"name": "overdue", "word": "overdue"}
    word = OUTCOMES.get(outcome) or STATES[state]
    return {"name": _SHAPES.get(outcome or state, "skipped"), "word": word}


@register.inclusion_tag("maintenance/parts/state.html")
def board_mark(outcome: str, state: str, words: str) -> dict[str, str]:
    """Show how a site stands on the board of a season."""
    usual = "skipped" if outcome else "overdue"
    return {"name": _SHAPES.get(outcome or state, usual), "word": words}
