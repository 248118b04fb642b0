"""What is known of an assembly beside the site file; each question may stay open."""

from collections.abc import Iterable
from typing import Any, Final

from django import forms

from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS
from maintenance.engine.errors import InputError
from maintenance.engine.units import parse_quantity
from maintenance.services.backflow.facts import MOST_MONTHS, StatedFacts
from maintenance.web.forms.answers import AnswerForm, ask, choose
from maintenance.web.forms.days import YES_NO, as_answer, yes_no

_FLAGS: Final = (
    "residential",
    "chemicals",
    "safe_from_flooding",
    "kept_from_freezing",
    "oriented_properly",
    "installed_properly",
)
_TEXTS: Final = (
    "hazard",
    "protects",
    "place",
    "own_rule",
    "region",
    "make",
    "model",
    "account_number",
    "position",
)


class FactsForm(AnswerForm):
    """Rules first, since the dates hang on them."""

    groups = (
        ("Rules", ("place", "own_rule", "region")),
        (
            "Use",
            ("hazard", "protects", "residential", "chemicals", "months_used"),
        ),
        ("The assembly", ("make", "model", "account_number")),
        (
            "Where it stands",
            (
                "position",
                "height",
                "safe_from_flooding",
                "kept_from_freezing",
                "oriented_properly",
                "installed_properly",
            ),
        ),
    )

    place = choose(
        "Whose rules count",
        (),
        "State, town or utility. Not in the list: add its rules under Rules first.",
    )
    own_rule = ask(
        "A rule of its own",
        f"Such as a letter asks for: {', '.join(PLAIN_WORDS)}. It counts beside those of "
        "the place.",
    )
    region = ask(
        "Region of the holidays",
        "For deadlines in business days, such as US-CO. Left empty, only weekends are "
        "left out.",
    )
    hazard = choose(
        "Hazard",
        (("low", "Low"), ("moderate", "Moderate"), ("high", "High")),
        "As the authority classes it.",
    )
    protects = ask("What it protects", "Such as lawn zones 1 to 12.", short=False)
    residential = choose("Residential", YES_NO)
    chemicals = choose("Chemicals are fed into the water", YES_NO)
    months_used = ask("Months of use in a year", f"0 to {MOST_MONTHS}.")
    make = ask("Manufacturer")
    model = ask("Model")
    account_number = ask("Account or customer number at the water office")
    position = ask("Where to find it", "Such as left of the garage door.", short=False)
    height = ask("Height above the floor", "With its unit, such as 16 in or 40 cm.")
    safe_from_flooding = choose("Safe from flooding", YES_NO)
    kept_from_freezing = choose("Kept from freezing", YES_NO)
    oriented_properly = choose("In the right orientation", YES_NO)
    installed_properly = choose("Installed properly", YES_NO)

    def __init__(
        self,
        data: Any = None,
        *,
        stated: StatedFacts,
        places: Iterable[tuple[str, str]],
    ) -> None:
        usual: dict[str, Any] = {name: getattr(stated, name) for name in _TEXTS}
        usual |= {name: as_answer(getattr(stated, name)) for name in _FLAGS}
        usual["months_used"] = (
            "" if stated.months_used is None else str(stated.months_used)
        )
        usual["height"] = "" if stated.height_m is None else f"{stated.height_m:g} m"
        super().__init__(data, initial=usual)
        self.stated = stated
        field = self.fields["place"]
        if isinstance(field, forms.ChoiceField):
            field.choices = [("", "I don’t know"), *places]

    def clean_months_used(self) -> int | None:
        """Read whole months."""
        text = self.cleaned_data["months_used"].strip()
        if not text:
            return None
        if not (text.isascii() and text.isdigit() and len(text) < 4):
            raise forms.ValidationError(
                f'"{text}" is no number of months: write 0 to {MOST_MONTHS}.'
            )
        return int(text)

    def clean_height(self) -> float | None:
        """Read the height with its unit; one that was not touched stays as it is."""
        text = self.cleaned_data["height"].strip()
        if text == self.initial["height"]:
            return self.stated.height_m
        if not text:
            return None
        try:
            return parse_quantity(text, "height")
        except InputError as fault:
            raise forms.ValidationError(str(fault)) from fault

    def facts(self) -> StatedFacts:
        """Return what is stated, once the form is valid."""
        told = self.cleaned_data
        stated: dict[str, Any] = {
            "months_used": told["months_used"],
            "height_m": told["height"],
        }
        stated |= {name: " ".join(told[name].split()) for name in _TEXTS}
        stated |= {name: yes_no(told[name]) for name in _FLAGS}
        return StatedFacts(**stated)

    def refuse_input(self, fault: InputError) -> None:
        """Put what the service refuses at its question."""
        name = "height" if fault.input == "height_m" else fault.input
        text = str(fault).partition(": ")[2] or str(fault)
        at = name if name in self.fields else None
        self.add_error(at, f"{text[:1].upper()}{text[1:]}.")
