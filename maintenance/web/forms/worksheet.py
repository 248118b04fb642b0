"""The form of a worksheet, made from its declaration."""

from collections.abc import Mapping
from typing import Any

from django import forms

from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.declaration import Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.web.forms.answers import AnswerForm, ask


class WorksheetForm(AnswerForm):
    """One question for each input; what is right and wrong the worksheet says."""

    def __init__(self, worksheet: Worksheet, data: Mapping[str, Any] | None) -> None:
        super().__init__(data)
        self.ask_too({entry.name: _question(entry) for entry in worksheet.inputs})
        self.suggestions = {
            f"list_{entry.name}": entry.choices
            for entry in worksheet.inputs
            if entry.kind == "text" and entry.choices
        }

    def texts(self) -> dict[str, str]:
        """Return what was written, without what was left empty."""
        return {
            name: text.strip()
            for name, text in self.cleaned_data.items()
            if text and text.strip()
        }

    def put_at_its_question(self, refusal: InputError) -> None:
        """Show a refusal beside the entry that it is about."""
        name = refusal.input if refusal.input in self.fields else None
        text = str(refusal)
        self.add_error(name, text.removeprefix(f"{name}: ") if name else text)


def _question(entry: Input) -> forms.Field:
    if entry.kind == "choice":
        empty = entry.default if entry.default is not None else "choose one"
        return forms.ChoiceField(
            label=entry.label,
            help_text=_help(entry),
            choices=[("", f"({empty})"), *((word, word) for word in entry.choices)],
        )
    listed = f"list_{entry.name}" if entry.choices else ""
    return ask(entry.label, _help(entry), suggestions=listed)


def _help(entry: Input) -> str:
    if entry.default is not None:
        left = f"Left empty: {entry.default} ({entry.default_origin})."
    elif entry.optional:
        left = f'May be left empty. Such as "{entry.example}".'
    else:
        left = f'Such as "{entry.example}".'
    more = entry.help.strip()
    if more and more[-1] not in ".!?":
        more += "."
    return f"{left} {more[:1].upper()}{more[1:]}".strip()
