"""A form whose answers are texts and whose faults come from the engine.

Django keeps what was typed and marks the fields; what is right and wrong is said in
one place only, by the reader of the site file.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from maintenance.engine.site.record import Fault

UNKNOWN_CHOICE = ("", "I don’t know")
_INDEX = re.compile(r"\[[^\]]*\]$")


class AnswerForm(forms.Form):
    """Questions in groups; each may stay unanswered."""

    use_required_attribute = False
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ask_too({})

    def ask_too(self, fields: dict[str, forms.Field]) -> None:
        """Add questions; none of all must be answered."""
        self.fields.update(fields)
        for name, field in self.fields.items():
            field.required = False
            field.widget.attrs |= {"autocomplete": "off", "id": f"id_{name}"}

    def grouped(self) -> Iterator[tuple[str, list[BoundField]]]:
        """Give each group's heading and fields."""
        for heading, names in self.groups:
            yield heading, [self[name] for name in names if name in self.fields]

    def refuse(self, faults: Iterable[Fault], *, inside: str = "") -> None:
        """Put each fault at its question, or above the form where it has none.

        ``inside`` is the path of what the form shows, such as ``links[12]``.
        """
        for fault in faults:
            name = self._question_of(fault.path, inside)
            if name is None:
                self.add_error(None, f"{fault.path}: {fault.text}")
            else:
                self.add_error(name, fault.text)

    def _question_of(self, path: str, inside: str) -> str | None:
        if inside:
            if not path.startswith(f"{inside}."):
                return None
            path = path.removeprefix(f"{inside}.")
        while path:
            if path in self.fields:
                return path
            shorter = _INDEX.sub("", path)
            path = shorter if shorter != path else path.rpartition(".")[0]
        return None


def ask(
    label: str,
    help_text: str = "",
    *,
    find_out: tuple[str, ...] = (),
    suggestions: str = "",
    short: bool = True,
) -> forms.CharField:
    """Make a question that is answered with a text, mostly a quantity."""
    attrs = {"class": "short"} if short else {}
    if suggestions:
        attrs["list"] = suggestions
    field = forms.CharField(
        label=label,
        help_text=help_text,
        max_length=500,
        widget=forms.TextInput(attrs=attrs),
    )
    field.find_out = find_out  # type: ignore[attr-defined]
    return field


def choose(
    label: str,
    choices: Iterable[tuple[str, str]],
    help_text: str = "",
    *,
    find_out: tuple[str, ...] = (),
) -> forms.ChoiceField:
    """Make a question that is answered by choosing; not knowing comes first."""
    field = forms.ChoiceField(
        label=label, help_text=help_text, choices=[UNKNOWN_CHOICE, *choices]
    )
    field.find_out = find_out  # type: ignore[attr-defined]
    return field
