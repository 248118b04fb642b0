"""The questions about calls, visits and findings.

None of them must be answered here: what must be there is said in one place, by the
services.
"""

from collections.abc import Iterable
from datetime import date
from typing import Any, Final

from django import forms

from maintenance.engine.site import Compressor
from maintenance.services.visits.calls import CallTold
from maintenance.services.visits.findings import FindingTold
from maintenance.services.visits.plan import VisitPlan
from maintenance.services.visits.words import KINDS, SEASONS, URGENCIES
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.forms.days import ask_day

LONGEST: Final = 5000
Site = tuple[str, str]


def lines(label: str, help_text: str = "", *, rows: int = 3) -> forms.CharField:
    """Make a question that is answered in some lines."""
    return forms.CharField(
        label=label,
        help_text=help_text,
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": rows}),
    )


def one_of(
    label: str, choices: Iterable[tuple[str, str]], help_text: str = ""
) -> forms.ChoiceField:
    """Make a question that is answered by choosing one."""
    return forms.ChoiceField(label=label, choices=list(choices), help_text=help_text)


class _AtSite(AnswerForm):
    """Asks for the site where none is given by the page."""

    def __init__(self, *args: Any, sites: Iterable[Site] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [("", "choose a site"), *sites]
        if len(choices) > 1:
            self.ask_too({"site": one_of("Site", choices)})


class CallForm(_AtSite):
    """Who calls, about what, how soon."""

    groups = (("", ("site", "what", "urgency", "promised_by", "caller", "reach_at")),)

    what = lines("What is asked for")
    urgency = one_of("How soon", URGENCIES.items())
    promised_by = ask_day("Promised by", "The day that was promised, if one was.")
    caller = ask("Who calls", short=False)
    reach_at = ask("How to reach them", "Telephone or e-mail.", short=False)

    def told(self) -> CallTold:
        """Return the answers, once the form is valid."""
        told = self.cleaned_data
        return CallTold(
            what=told["what"],
            caller=told["caller"],
            reach_at=told["reach_at"],
            urgency=told["urgency"] or "within_days",
            promised_by=told["promised_by"],
        )


class PlanForm(_AtSite):
    """What for, when, who goes, with which compressor."""

    groups = (
        ("", ("site", "kind", "season_year", "planned_on", "window", "worker")),
        ("", ("compressor", "notes")),
    )

    kind = one_of("What for", KINDS.items())
    season_year = forms.IntegerField(
        label="Year of the season",
        help_text="For a shutdown or a start-up.",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
        error_messages={"invalid": "Write a year such as 2026."},
    )
    planned_on = ask_day("Day", "May stay empty until it is known.")
    window = ask("Window", "Such as 8:00 to 10:00.")
    worker = ask("Who goes", "A person or a crew.", suggestions="workers")
    notes = lines("What whoever goes should know")

    def __init__(
        self, *args: Any, compressors: Iterable[Compressor] = (), **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        machines = [(each.id, each.label or each.id) for each in compressors]
        self.ask_too(
            {"compressor": one_of("Compressor that comes", [("", "none"), *machines])}
        )

    def plan(self) -> VisitPlan:
        """Return the answers, once the form is valid."""
        told = self.cleaned_data
        return VisitPlan(
            kind=told["kind"],
            season_year=told["season_year"] if told["kind"] in SEASONS else None,
            planned_on=told["planned_on"],
            window=told["window"],
            worker=told["worker"],
            compressor=told["compressor"],
            notes=told["notes"],
        )


class FindingForm(AnswerForm):
    """What was found, on which part, by when it is to be done."""

    groups = (("", ("what", "about", "due_on")),)

    what = lines("What was found", rows=2)
    about = ask("On which part", "Such as zone 4, box 2. May stay empty.", short=False)
    due_on = ask_day("To be done by")

    def told(self) -> FindingTold:
        """Return the answers, once the form is valid."""
        told = self.cleaned_data
        return FindingTold(
            what=told["what"], about=told["about"], due_on=told["due_on"]
        )


def plan_first(
    *, kind: str = "repair", on: date | None = None, year: int, notes: str = ""
) -> dict[str, object]:
    """Return what stands in a plan before anybody answers."""
    return {"kind": kind, "planned_on": on, "season_year": year, "notes": notes}
