"""A question that is answered with a day, and the reading of yes and no."""

from typing import Final

from django import forms

YES_NO: Final = (("yes", "Yes"), ("no", "No"))


def ask_day(label: str, help_text: str = "") -> forms.DateField:
    """Make a question that is answered with a day."""
    return forms.DateField(
        label=label,
        help_text=help_text,
        widget=forms.DateInput(
            format="%Y-%m-%d", attrs={"type": "date", "class": "short"}
        ),
        input_formats=["%Y-%m-%d"],
        error_messages={"invalid": "Write a day such as 2026-10-05."},
    )


def yes_no(text: str) -> bool | None:
    """Read yes or no; anything else is not known."""
    return {"yes": True, "no": False}.get(text)


def as_answer(value: bool | None) -> str:
    """Write yes, no, or nothing."""
    return {True: "yes", False: "no"}.get(value, "") if value is not None else ""
