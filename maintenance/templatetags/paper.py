"""Elements of the worksheet: quantities, figures as doors, marks of state."""

from typing import Any, Final

from django import template
from django.forms import BoundField

from maintenance.engine.dimensions import DIMENSIONS, SHOWN
from maintenance.engine.figure import Figure
from maintenance.engine.units import Quantity, UnitSystem, display, round_text, to_unit

register = template.Library()

# What each state is called; its shape is drawn in parts/state.html.
STATES: Final = {
    "done": "done",
    "partly": "partly",
    "not_found": "not found",
    "skipped": "skipped",
    "due": "due",
    "overdue": "overdue",
    "unknown": "unknown",
}


@register.simple_tag(takes_context=True)
def shown(
    context: dict[str, Any],
    value: Quantity | float | None,
    dimension: str,
    digits: int | None = None,
) -> str:
    """Write a quantity or an SI number with its unit, as the page's units have it."""
    amount = value.value if isinstance(value, Quantity) else value
    return display(amount, dimension, context.get("system", "us"), digits=digits)


@register.simple_tag(takes_context=True)
def number(
    context: dict[str, Any], value: Quantity | float | str | None, dimension: str
) -> str:
    """Write the number alone, where the head of the column has the unit."""
    # Where a template asks for what is not there, it hands on an empty text.
    if value is None or isinstance(value, str):
        return "unknown"
    amount = value.value if isinstance(value, Quantity) else float(value)
    system = context.get("system", "us")
    digits = DIMENSIONS[dimension].digits[0 if system == "us" else 1]
    return round_text(to_unit(amount, dimension, system)[0], digits)


@register.simple_tag(takes_context=True)
def unit(context: dict[str, Any], dimension: str) -> str:
    """Write the unit alone, for the head of a column."""
    return unit_of(dimension, context.get("system", "us"))


def unit_of(dimension: str, system: UnitSystem) -> str:
    """Return the unit of a dimension as people see it."""
    entry = DIMENSIONS[dimension]
    name = entry.us if system == "us" else entry.si
    return SHOWN.get(name, name)


@register.inclusion_tag("maintenance/parts/door.html", takes_context=True)
def door(
    context: dict[str, Any], figure: Figure, note: int | None = None, text: str = ""
) -> dict[str, object]:
    """Show a figure that opens in place on how it was worked out.

    ``note`` is its number among the notes of a printed sheet; ``text`` is shown
    instead of the figure's own where the sheet needs other words.
    """
    return {
        "figure": figure,
        "text": text or figure.text(context.get("system", "us")),
        "note": note,
    }


@register.inclusion_tag("maintenance/parts/state.html")
def state(name: str) -> dict[str, str]:
    """Show a state as a shape and a word."""
    return {"name": name, "word": STATES[name]}


def beside(field: BoundField) -> BoundField | None:
    """Return the field that says where the value comes from, if there is one."""
    name = getattr(field.field, "origin", "")
    return field.form[name] if name else None


@register.inclusion_tag("maintenance/parts/question.html")
def question(field: BoundField) -> dict[str, object]:
    """Show one question of a form: label, help, how to find out, entry and fault."""
    return {
        "field": field,
        "beside": beside(field),
        "find_out": getattr(field.field, "find_out", ()),
        "several": field.widget_type in ("checkboxselectmultiple", "radioselect"),
        "tick": field.widget_type == "checkbox",
    }
