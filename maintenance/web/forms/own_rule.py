"""A rule of one's own, or the next version of one: the columns of the table of rules."""

import csv
import io
from collections.abc import Iterable, Mapping
from typing import Any, Final

from django import forms

from maintenance.engine.backflow.due.rows import rules_csv
from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.backflow.readings import DEVICE_WORDS
from maintenance.engine.errors import InputError
from maintenance.services.backflow.own_rules import place_key
from maintenance.web.forms.answers import AnswerForm, ask, choose
from maintenance.web.forms.days import YES_NO, ask_day

_TRIGGERS: Final = (
    ("anniversary", "So long after the last pass (say how long)"),
    ("even_years", "In even-numbered years"),
    ("odd_years", "In odd-numbered years"),
    ("fixed_dates", "By the same dates of every year (say which)"),
    ("turned_on", "When it is turned on for the season"),
    ("idle", "Before use, after so long without use (say how long)"),
    ("installed", "After it was put in"),
    ("repaired", "After a repair"),
    ("relocated", "After it was moved to another place"),
    ("removed", "After it was taken out"),
    ("reinstalled", "After it was put back"),
    ("frozen", "After it froze"),
    ("incident", "After a backflow incident"),
    ("interval_not_known", "How often is not known"),
)
_DUTIES: Final = (
    ("test", "Test"),
    ("inspection", "Inspection"),
    ("overhaul", "Overhaul"),
)
_MARKS: Final = (
    ("read", "I read it at the source"),
    ("secondary", "From a secondary source"),
    ("from memory", "From memory"),
)
_HAZARDS: Final = (("low", "low"), ("moderate", "moderate"), ("high", "high"))
_SEVERAL: Final = ("kinds", "hazards")
_NEW_PLACE: Final = "new_place"


def _among(label: str, entries: Iterable[tuple[str, str]]) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label, choices=list(entries), widget=forms.CheckboxSelectMultiple
    )


class RuleForm(AnswerForm):
    """One trigger, and what follows from it."""

    groups = (
        ("Rule", ("name", "place", _NEW_PLACE, "duty", "trigger", "period", "dates")),
        ("How long it may wait", ("within", "before_service", "counts_from_days")),
        (
            "For which assemblies",
            (
                *("kinds", "hazards", "residential", "chemicals", "size_up_to_m"),
                *("size_above_m", "months_below", "months_from"),
            ),
        ),
        ("After a test", ("report_passed", "report_failed", "repair_failed")),
        ("Where it is written", ("source", "checked", "mark", "who", "note")),
        ("", ("ended",)),
    )

    name = ask("What you call it", "Short, such as Quillbend yearly.")
    place = choose("Place", (), "Its rules count for the assemblies of that place.")
    new_place = ask("Or a place that is not in the list", "Such as Quillbend (town).")
    duty = forms.ChoiceField(label="What is asked for", choices=_DUTIES)
    trigger = forms.ChoiceField(label="When", choices=_TRIGGERS)
    period = ask("How long", "Such as 6 months or 2 years.")
    dates = ask("Dates", "Month and day, such as 06-30; with semicolons between.")
    within = ask("Within", "Such as 30 days, 10 business days or 24 hours.")
    before_service = choose("It must come before service", YES_NO)
    counts_from_days = ask("Days before a date from which a test counts for it")
    kinds = _among("Kinds; none marked means all", DEVICE_WORDS.items())
    hazards = _among("Hazards; none marked means all", _HAZARDS)
    residential = choose("Residential", YES_NO)
    chemicals = choose("With chemicals", YES_NO)
    size_up_to_m = ask("Up to the size", "Such as 1 in; it is included.")
    size_above_m = ask("Above the size", "It is not included.")
    months_below = ask("Used less than so many months a year")
    months_from = ask("Used so many months a year or more")
    report_passed = ask("A pass is reported within", "Such as 10 business days.")
    report_failed = ask("A failure is reported within", "Such as 24 hours.")
    repair_failed = ask("A failure is repaired within")
    source = ask(
        "Source", "By-law, letter or page: so that it can be found.", short=False
    )
    checked = ask_day("Compared with its source on")
    mark = forms.ChoiceField(label="How well it is known", choices=_MARKS)
    who = ask("Who may test", short=False)
    note = ask("Note", short=False)
    ended = forms.BooleanField(label="The rule counts no more")

    def __init__(
        self,
        data: Any = None,
        *,
        places: Iterable[tuple[str, str]],
        former: Rule | None = None,
    ) -> None:
        super().__init__(data, initial=_cells_of(former) if former else {})
        self.names = dict(places)
        field = self.fields["place"]
        if isinstance(field, forms.ChoiceField):
            field.choices = [("", "Choose one"), *self.names.items()]
        for name in ("name",) if former else ("ended",):
            del self.fields[name]

    def clean_checked(self) -> str:
        """Write the day as the table has it."""
        day = self.cleaned_data["checked"]
        return day.isoformat() if day else ""

    def clean(self) -> None:
        """Want a place, once."""
        told = self.cleaned_data
        if not told.get("place") and not told.get(_NEW_PLACE, "").strip():
            self.add_error("place", "Choose the place, or write a new one.")
        elif told.get("place") and told.get(_NEW_PLACE, "").strip():
            self.add_error(_NEW_PLACE, "Choose a place or write one, not both.")
        elif told.get(_NEW_PLACE, "").strip() and not place_key(told[_NEW_PLACE]):
            self.add_error(_NEW_PLACE, "Write it with letters or digits.")

    def cells(self) -> Mapping[str, str]:
        """Return the cells of the rule, once the form is valid."""
        told = self.cleaned_data
        new = " ".join(told[_NEW_PLACE].split())
        key = place_key(new) if new else told["place"]
        texts = {
            name: ";".join(told[name]) if name in _SEVERAL else str(told[name] or "")
            for name in self.fields
            if name not in ("name", "place", _NEW_PLACE, "ended")
        }
        return texts | {"place": key, "place_name": new or self.names.get(key, key)}

    def refuse_input(self, fault: InputError) -> None:
        """Put what the service refuses at its question."""
        name = fault.input if fault.input in self.fields else None
        text = str(fault)
        if name:
            text = text.partition(": ")[2] or text
        self.add_error(name, f"{text[:1].upper()}{text[1:]}.")


def _cells_of(rule: Rule) -> dict[str, Any]:
    """Return what the form starts from: the version that is superseded."""
    row: dict[str, Any] = next(csv.DictReader(io.StringIO(rules_csv([rule]))))
    # Whoever writes a new version compares it with its source anew.
    row["checked"] = ""
    for name in _SEVERAL:
        row[name] = row[name].split(";") if row[name] else []
    return row
