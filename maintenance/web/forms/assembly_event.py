"""What befell an assembly, on which day, and where it is now."""

from datetime import date
from typing import Any

from django import forms

from maintenance.services.backflow.events import Happened
from maintenance.web.assembly_life import HAPPENED_WORDS
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.forms.days import ask_day


class EventForm(AnswerForm):
    """One form for all that can befall an assembly; a test is written down elsewhere."""

    groups = (("", ("kind", "on", "stored_at", "note")),)

    kind = forms.ChoiceField(
        label="What happened",
        choices=[(key, f"{w[:1].upper()}{w[1:]}") for key, w in HAPPENED_WORDS.items()],
        error_messages={"invalid_choice": '"%(value)s" is none of these.'},
    )
    on = ask_day("On which day", "At the site.")
    stored_at = ask(
        "If it was taken out: where it is, and who has it",
        "Such as tool shed, with the owner.",
        short=False,
    )
    note = ask("Note", short=False)

    def __init__(self, data: Any = None, *, kind: str = "", today: date) -> None:
        usual = {"on": today, "kind": kind if kind in HAPPENED_WORDS else "removed"}
        super().__init__(data, initial=usual)

    def clean_on(self) -> date:
        """Want a day."""
        day: date | None = self.cleaned_data["on"]
        if day is None:
            raise forms.ValidationError("Write the day, such as 2026-10-05.")
        return day

    def clean_kind(self) -> str:
        """Want a kind."""
        kind: str = self.cleaned_data["kind"]
        if not kind:
            raise forms.ValidationError("Choose what happened.")
        return kind

    def happened(self) -> Happened:
        """Return what is told, once the form is valid."""
        told = self.cleaned_data
        return Happened(
            kind=told["kind"],
            on=told["on"],
            stored_at=told["stored_at"],
            note=told["note"],
        )
