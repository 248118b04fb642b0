"""A form for any part, made from the annotations of its value type.

A field added to a type appears here by itself; what is right is decided by the
reader of the site file, to which the form hands a record.
"""

from collections.abc import Mapping
from typing import Any, Final

from django import forms

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.site.quantities import READ_ORIGINS
from maintenance.engine.site.shapes import (
    ChoiceShape,
    Field,
    FlagShape,
    ListShape,
    NumberShape,
    PairShape,
    QuantityShape,
    RecordShape,
    fields_of,
)
from maintenance.web.forms.answers import UNKNOWN_CHOICE, AnswerForm, ask
from maintenance.web.forms.wording import LABELS, in_words

ORIGINS: Final = [
    ("", "stated"),
    *((o, "from the label" if o == "label" else o) for o in READ_ORIGINS),
]
_SUGGESTIONS: Final = {
    "from": "points",
    "to": "points",
    "valve": "valves",
    "pipe": "pipes",
    "riser": "pipes",
    "time_zone": "time-zones",
}


class PartForm(AnswerForm):
    """The questions about one part.

    Parameters
    ----------
    cls
        Its value type.
    record
        The part as it is, as a record; what the form does not ask is kept.
    without
        Keys that are not asked.
    """

    def __init__(
        self,
        cls: type,
        *,
        record: Mapping[str, Any] | None = None,
        data: Mapping[str, Any] | None = None,
        without: frozenset[str] = frozenset(),
    ) -> None:
        super().__init__(data, initial=_initial(cls, record or {}))
        self.cls: type[Any] = cls
        self._record = dict(record or {})
        self._asked = tuple(f for f in fields_of(cls) if f.key not in without)
        groups: list[tuple[str, tuple[str, ...]]] = [("", ())]
        for field in self._asked:
            if isinstance(field.shape, RecordShape):
                inner = {
                    f"{field.key}.{each.key}": each
                    for each in fields_of(field.shape.cls)
                }
                for name, each in inner.items():
                    self._add(name, each, outer=field)
                groups.append((LABELS[field.key][0], tuple(inner)))
            else:
                self._add(field.key, field)
                groups[0] = ("", (*groups[0][1], field.key))
        self.groups = tuple(group for group in groups if group[1])

    def _add(self, name: str, field: Field, *, outer: Field | None = None) -> None:
        made = _form_field(field)
        needed = field.required and (outer is None or outer.required)
        made.label = LABELS[field.key][0] + (" (needed)" if needed else "")
        self.ask_too({name: made})
        if isinstance(field.shape, QuantityShape):
            origin = forms.ChoiceField(choices=ORIGINS)
            origin.label = f"{LABELS[field.key][0]}: where the value comes from"
            origin.widget.attrs["aria-label"] = origin.label
            self.ask_too({f"{name}-origin": origin})
            made.origin = f"{name}-origin"  # type: ignore[attr-defined]

    def record(self) -> dict[str, Any]:
        """Return what was entered as a record for the reader."""
        record = dict(self._record)
        for field in self._asked:
            entry: object = None
            if isinstance(field.shape, RecordShape):
                held = self._record.get(field.key) or {}
                inside = dict(held)
                for each in fields_of(field.shape.cls):
                    _put(inside, each.key, self._entry(f"{field.key}.{each.key}", each))
                entry = inside or ({} if field.required else None)
            else:
                entry = self._entry(field.key, field)
            _put(record, field.key, entry)
        return record

    def _entry(self, name: str, field: Field) -> object:
        """Return one answer as JSON would hold it; None where it is empty."""
        answer = self.cleaned_data.get(name)
        if isinstance(answer, list):
            return answer or None
        text = (answer or "").strip()
        origin = self.cleaned_data.get(f"{name}-origin")
        if text and origin:
            return {"value": text, "origin": origin}
        return _as_json(text, field) if text else None


def _as_json(text: str, field: Field) -> object:
    match field.shape:
        case NumberShape():
            return _number(text)
        case FlagShape():
            return text == "yes"
        case PairShape():
            return [_number(each.strip()) for each in text.split(",")]
        case ListShape():
            parts = text.split("\n" if field.key == "notes" else ",")
            return [each.strip() for each in parts if each.strip()]
    return text


def _put(record: dict[str, Any], key: str, entry: object) -> None:
    if entry is None:
        record.pop(key, None)
    else:
        record[key] = entry


def _number(text: str) -> object:
    """Return a plain number, or the text for the reader to refuse by name."""
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def _form_field(field: Field) -> forms.Field:
    help_text = LABELS[field.key][1]
    shape = field.shape
    match shape:
        case ChoiceShape():
            return _choice([(c, in_words(c)) for c in shape.choices], help_text)
        case FlagShape():
            return _choice([("yes", "yes"), ("no", "no")], help_text)
        case ListShape(ChoiceShape(choices)):
            return forms.MultipleChoiceField(
                choices=[(choice, in_words(choice)) for choice in choices],
                widget=forms.CheckboxSelectMultiple,
                help_text=help_text,
            )
        case QuantityShape(measure):
            example = f'Such as "{DIMENSIONS[measure.dimension].example}".'
            return ask("", f"{help_text} {example}".strip())
    if field.key in ("note", "notes"):
        return forms.CharField(
            help_text=help_text, widget=forms.Textarea(attrs={"rows": 3})
        )
    return ask(
        "",
        help_text,
        suggestions=_SUGGESTIONS.get(field.key, ""),
        short=isinstance(shape, NumberShape | PairShape) or field.key in _SUGGESTIONS,
    )


def _choice(choices: list[tuple[str, str]], help_text: str) -> forms.ChoiceField:
    return forms.ChoiceField(choices=[UNKNOWN_CHOICE, *choices], help_text=help_text)


def _initial(cls: type, record: Mapping[str, Any]) -> dict[str, Any]:
    """Return a record as the texts of a form."""
    initial: dict[str, Any] = {}
    for field in fields_of(cls):
        entry = record.get(field.key)
        if isinstance(field.shape, RecordShape):
            for name, text in _initial(field.shape.cls, entry or {}).items():
                initial[f"{field.key}.{name}"] = text
        elif isinstance(entry, dict):
            initial[field.key] = entry["value"]
            initial[f"{field.key}-origin"] = entry["origin"]
        elif isinstance(entry, bool):
            initial[field.key] = "yes" if entry else "no"
        elif isinstance(field.shape, ListShape) and isinstance(
            field.shape.item, ChoiceShape
        ):
            initial[field.key] = entry or []
        elif isinstance(entry, list):
            between = "\n" if field.key == "notes" else ", "
            initial[field.key] = between.join(str(each) for each in entry)
        else:
            initial[field.key] = entry
    return initial
