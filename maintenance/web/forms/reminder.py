"""What a person writes about what is due, who is reminded, and when."""

from datetime import date, time
from typing import Any

from django import forms

from maintenance.engine.errors import InputError
from maintenance.engine.reminding.kinds import KINDS
from maintenance.engine.reminding.steps import read_steps
from maintenance.exchange.delivery.public_address import check_url
from maintenance.services.reminders.people import StatedPerson
from maintenance.services.reminders.settings_of_kinds import LEADS, KindSettings
from maintenance.web.forms.answers import AnswerForm, ask

_Choices = list[tuple[str, str]]


def _day(label: str, help_text: str = "") -> forms.DateField:
    return forms.DateField(
        label=label,
        help_text=help_text,
        widget=forms.DateInput(attrs={"type": "date", "class": "short"}),
        input_formats=["%Y-%m-%d"],
        error_messages={"invalid": "Write a day such as 2026-10-05."},
    )


def _hour(label: str, help_text: str = "") -> forms.TimeField:
    return forms.TimeField(
        label=label,
        help_text=help_text,
        widget=forms.TimeInput(
            attrs={"type": "time", "class": "short"}, format="%H:%M"
        ),
        input_formats=["%H:%M", "%H:%M:%S"],
        error_messages={"invalid": "Write a time such as 08:00."},
    )


def _several(
    label: str, choices: _Choices, help_text: str
) -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        help_text=help_text,
        choices=choices,
        widget=forms.CheckboxSelectMultiple(),
    )


class NewDueForm(AnswerForm):
    """Something of one's own that is due."""

    what = ask("What is due", short=False)
    due_on = _day("On which day")
    site = forms.ChoiceField(label="At which site")
    why = ask("Why", "It stands in the reminder. May stay empty.", short=False)

    def __init__(self, data: Any = None, *, sites: _Choices) -> None:
        super().__init__(data)
        field = self.fields["site"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  (its own declaration)
        field.choices = [("", "No site"), *sites]

    def clean_due_on(self) -> date:
        """Want a day."""
        return _wanted(self.cleaned_data["due_on"])


class PutOffForm(AnswerForm):
    """Until when nobody is told."""

    until = _day("Tell nobody before")

    def clean_until(self) -> date:
        """Want a day."""
        return _wanted(self.cleaned_data["until"])


class PersonForm(AnswerForm):
    """A person who is reminded."""

    name = ask("Name", short=False)
    email = forms.EmailField(label="E-mail address")
    daily = forms.ChoiceField(
        label="How",
        choices=[
            ("", "A letter for each reminder"),
            ("daily", "One letter a day, on days when there is something"),
        ],
    )
    kinds = _several("Of what", list(KINDS.items()), "None chosen means of everything.")
    sites = _several("At which sites", [], "None chosen means at all of them.")
    morning = _hour("In the morning at", "Left empty, 08:00.")
    time_zone = ask(
        "By which clock",
        "A zone such as America/Denver. Left empty, the clock of each site.",
    )
    quiet_from = _hour("Nothing between", "Quiet hours. May stay empty.")
    quiet_until = _hour("and")
    escalate_to = forms.ChoiceField(
        label="Who is told next",
        help_text="If something stays overdue, or letters do not arrive.",
    )
    escalate_after_days = forms.IntegerField(
        label="After how many days overdue",
        min_value=1,
        max_value=365,
        widget=forms.NumberInput(attrs={"class": "short"}),
    )

    groups = (
        ("Who", ("name", "email", "daily")),
        ("What", ("kinds", "sites")),
        ("When", ("morning", "time_zone", "quiet_from", "quiet_until")),
        ("And if nobody answers", ("escalate_to", "escalate_after_days")),
    )

    def __init__(
        self,
        data: Any = None,
        *,
        initial: dict[str, Any] | None = None,
        sites: _Choices,
        others: _Choices,
    ) -> None:
        super().__init__(data, initial={"escalate_after_days": 7, **(initial or {})})
        for name, choices in (
            ("sites", sites),
            ("escalate_to", [("", "Nobody"), *others]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  (declared above)
            field.choices = choices
        if not sites:
            del self.fields["sites"]

    def stated(self) -> StatedPerson:
        """Return what is stated, once the form is valid."""
        told = self.cleaned_data
        return StatedPerson(
            name=told["name"],
            email=told["email"],
            daily=bool(told["daily"]),
            kinds=tuple(told["kinds"]),
            sites=tuple(told.get("sites", ())),
            morning=told["morning"] or time(8),
            quiet_from=told["quiet_from"],
            quiet_until=told["quiet_until"],
            time_zone=told["time_zone"].strip(),
            escalate_to=int(told["escalate_to"]) if told["escalate_to"] else None,
            escalate_after_days=told["escalate_after_days"] or 7,
        )


class AddressForm(AnswerForm):
    """An address that is told by a signed request."""

    url = ask("Address", "It begins with https:// and is public.", short=False)
    kinds = _several("Of what", list(KINDS.items()), "None chosen means of everything.")

    def clean_url(self) -> str:
        """Look at the address as far as its text shows."""
        url: str = self.cleaned_data["url"].strip()
        try:
            check_url(url)
        except InputError as refusal:
            raise forms.ValidationError(f"{refusal}.") from refusal
        return url


class StepsForm(AnswerForm):
    """When a kind is reminded of, and what its dates are counted by."""

    days = ask("Days before", 'Such as "60, 30, 7, 0"; 0 is the day itself.')
    weekly = forms.BooleanField(label="Every week when overdue")
    lead_days = forms.IntegerField(
        label="Days to find someone and plan",
        min_value=0,
        max_value=365,
        widget=forms.NumberInput(attrs={"class": "short"}),
    )
    rule = ask("Your rule", 'Such as "yearly", "every 2 years" or "even years".')
    first = _day("The first is due on", "For sites without an audit on record.")

    def __init__(self, data: Any = None, *, settings: KindSettings) -> None:
        self._settings = settings
        super().__init__(
            data,
            initial={
                "days": ", ".join(map(str, settings.steps.days)),
                "weekly": settings.steps.weekly,
                "lead_days": settings.lead_days,
                "rule": settings.rule,
                "first": settings.first,
            },
        )
        if settings.kind not in LEADS:
            del self.fields["lead_days"]
        if settings.kind != "head_audit":
            del self.fields["rule"], self.fields["first"]

    def clean(self) -> None:
        """Read the steps together: their number is limited too."""
        try:
            self._steps = read_steps(
                self.cleaned_data.get("days", ""),
                weekly=bool(self.cleaned_data.get("weekly")),
            )
        except InputError as refusal:
            self.add_error("days", f"{refusal}.")

    def stated(self) -> KindSettings:
        """Return what is stated, once the form is valid."""
        told = self.cleaned_data
        return KindSettings(
            self._settings.kind,
            self._steps,
            stated=True,
            lead_days=told.get("lead_days"),
            rule=told.get("rule", "").strip(),
            first=told.get("first"),
        )


class CalendarForm(AnswerForm):
    """A calendar behind a secret link."""

    name = ask("Name", "What the calendar is called on the phone.", short=False)
    of = forms.ChoiceField(label="What stands in it")

    def __init__(self, data: Any = None, *, sites: _Choices, people: _Choices) -> None:
        super().__init__(data)
        field = self.fields["of"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  (declared above)
        field.choices = [
            ("", "Everything that is due"),
            *((f"site:{key}", f"What is due at {name}") for key, name in sites),
            *((f"person:{key}", f"What {name} is reminded of") for key, name in people),
        ]

    def chosen(self) -> dict[str, Any]:
        """Return the site or the person, once the form is valid."""
        kind, _, key = self.cleaned_data["of"].partition(":")
        match kind:
            case "site":
                return {"site_key": key}
            case "person":
                return {"person_id": int(key)}
            case _:
                return {}


def _wanted(day: date | None) -> date:
    if day is None:
        raise forms.ValidationError("Write a day such as 2026-10-05.")
    return day
