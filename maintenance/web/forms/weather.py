"""What a person states of the weather at a site: offset, terms, a night observed."""

import re
from datetime import date
from typing import Any, Final

from django import forms

from maintenance.engine.climate.alert import (
    ACT_AT,
    CREW_DAYS,
    MOST_CREW_DAYS,
    stated_terms,
)
from maintenance.engine.errors import InputError
from maintenance.engine.units import UnitSystem, parse_quantity, to_unit
from maintenance.services.weather.site_weather import Stated, Worth
from maintenance.web.forms.answers import AnswerForm, ask

_UNITS: Final = {"us": "degF", "si": "degC"}
_DEGREES: Final = (("degF", "°F"), ("degC", "°C"))
_SIDES: Final = (("colder", "colder than the station"), ("warmer", "warmer"))
_NUMBER: Final = re.compile(r"[-+]?\d{1,9}(\.\d{1,9})?")
_MONEY: Final = re.compile(r"\d{1,12}(\.\d{1,6})?")
_SIGNS: Final = "$€£¥ "


class OffsetForm(AnswerForm):
    """How much colder or warmer the site is than its station and its forecast."""

    offset = ask("The site is")
    offset_side = forms.ChoiceField(
        label="Colder or warmer",
        choices=[
            (f"{side} {unit}", f"{sign} {words}")
            for side, words in _SIDES
            for unit, sign in _DEGREES
        ],
    )

    def __init__(
        self, data: Any = None, *, offset_k: float = 0.0, system: UnitSystem = "us"
    ) -> None:
        number, _ = to_unit(abs(offset_k), "temperature_difference", system)
        side = "warmer" if offset_k > 0 else "colder"
        super().__init__(
            data,
            initial={
                "offset": f"{number:.1f}".removesuffix(".0") if offset_k else "0",
                "offset_side": f"{side} {_UNITS[system]}",
            },
        )
        self.fields["offset"].origin = "offset_side"  # type: ignore[attr-defined]
        self.fields["offset_side"].widget.attrs["aria-label"] = "Colder or warmer"

    def clean_offset(self) -> float:
        """Read the number alone."""
        text = self.cleaned_data["offset"].strip()
        size = _number(text, "2") if text else 0.0
        if size < 0.0:
            raise forms.ValidationError(
                f'"{text}" has a sign: write "{-size:g}", and choose colder or warmer.'
            )
        return size

    def offset_k(self) -> float:
        """Return the offset [K], once the form is valid."""
        number = self.cleaned_data["offset"]
        side, _, unit = self.cleaned_data["offset_side"].partition(" ")
        size = parse_quantity(f"{number} delta_{unit}", "temperature_difference")
        return -size if side == "colder" else size


class TermsForm(AnswerForm):
    """How soon the crew comes; what watering and damage are worth."""

    crew_days = ask(
        "Days from calling a crew to the work done",
        f"0 to {MOST_CREW_DAYS}; left empty, {CREW_DAYS} (common practice, no source).",
    )
    value_of_a_day = ask(
        "What one more day of watering is worth",
        "In any currency, the same for both amounts.",
    )
    cost_of_damage = ask("What the damage costs if the freeze finds the pipes full")
    share_saved = ask(
        "Share of it that someone who hurries out still saves",
        'In percent, such as "80".',
    )

    def __init__(self, data: Any = None, *, stated: Stated | None = None) -> None:
        stated = stated or Stated()
        value, cost, share = stated.worth or (None, None, None)
        super().__init__(
            data,
            initial={
                "crew_days": _shown(stated.crew_days),
                "value_of_a_day": _shown(value),
                "cost_of_damage": _shown(cost),
                "share_saved": _shown(None if share is None else round(100 * share, 6)),
            },
        )

    @property
    def default(self) -> str:
        """What is taken where the three amounts are left empty."""
        return f"{100 * ACT_AT:.0f} %"

    def clean_crew_days(self) -> int | None:
        """Read whole days."""
        text = self.cleaned_data["crew_days"].strip()
        if not text:
            return None
        if not (text.isascii() and text.isdigit() and len(text) < 4):
            raise forms.ValidationError(
                f'"{text}" is no number of days: write 0 to {MOST_CREW_DAYS}.'
            )
        return int(text)

    def clean_value_of_a_day(self) -> float | None:
        """Read an amount."""
        return _money(self.cleaned_data["value_of_a_day"])

    def clean_cost_of_damage(self) -> float | None:
        """Read an amount."""
        return _money(self.cleaned_data["cost_of_damage"])

    def clean_share_saved(self) -> float | None:
        """Read a percentage."""
        text = self.cleaned_data["share_saved"].strip()
        if not text:
            return None
        percent = _number(text.removesuffix("%").strip(), "80")
        if 0.0 < percent < 1.0 and "%" not in text:
            raise forms.ValidationError(
                f'"{text}" could be a share or a percentage: write "{100 * percent:g}" '
                f'or "{text} %".'
            )
        return percent / 100.0

    def clean(self) -> None:
        """Take all three amounts or none, as the terms can use them."""
        if self.errors:
            return
        names = ("value_of_a_day", "cost_of_damage", "share_saved")
        empty = [name for name in names if self.cleaned_data[name] is None]
        if 0 < len(empty) < len(names):
            for name in empty:
                self.add_error(
                    name,
                    "Write this too, or leave all three empty: one needs the others.",
                )
            return
        try:
            stated_terms(self.cleaned_data["crew_days"], self._worth())
        except InputError as refusal:
            self.add_error(None, f"{refusal}.")

    def stated(self) -> Stated:
        """Return what is stated, once the form is valid."""
        return Stated(self.cleaned_data["crew_days"], self._worth())

    def _worth(self) -> Worth | None:
        told = self.cleaned_data
        value, cost, share = (
            told["value_of_a_day"],
            told["cost_of_damage"],
            told["share_saved"],
        )
        return None if value is None else (value, cost, share)


class NightForm(AnswerForm):
    """The lowest temperature that a thermometer at the site showed."""

    night_day = forms.DateField(
        label="The morning it was read",
        widget=forms.DateInput(attrs={"type": "date", "class": "short"}),
        input_formats=["%Y-%m-%d"],
        error_messages={"invalid": "Write a day such as 2026-10-05."},
    )
    night_low = ask("Lowest temperature", "Of the air, read in the shade.")
    night_unit = forms.ChoiceField(label="Unit", choices=_DEGREES)

    def __init__(
        self, data: Any = None, *, today: date, system: UnitSystem = "us"
    ) -> None:
        usual = {"night_day": today.isoformat(), "night_unit": _UNITS[system]}
        super().__init__(data, initial=usual)
        self.fields["night_low"].origin = "night_unit"  # type: ignore[attr-defined]
        self.fields["night_unit"].widget.attrs["aria-label"] = "Unit"

    def clean_night_day(self) -> date:
        """Want a day."""
        day: date | None = self.cleaned_data["night_day"]
        if day is None:
            raise forms.ValidationError("Write a day such as 2026-10-05.")
        return day

    def clean_night_low(self) -> float:
        """Read the number alone."""
        return _number(self.cleaned_data["night_low"].strip(), "25")

    def minimum_k(self) -> float:
        """Return the temperature [K], once the form is valid."""
        told = self.cleaned_data
        return parse_quantity(
            f"{told['night_low']} {told['night_unit']}", "temperature"
        )


class ContactForm(AnswerForm):
    """The address that the weather service is told."""

    contact = ask("E-mail address", short=False)


def _number(text: str, example: str) -> float:
    plain = text.replace("\N{MINUS SIGN}", "-")
    if not _NUMBER.fullmatch(plain):
        raise forms.ValidationError(
            f'"{text}" is no number: write it alone, such as "{example}"; its unit '
            "stands beside it."
            if text
            else f'Write a number, such as "{example}".'
        )
    return float(plain)


def _money(text: str) -> float | None:
    text = text.strip()
    if not text:
        return None
    plain = text.strip(_SIGNS).replace(",", "")
    if not _MONEY.fullmatch(plain):
        raise forms.ValidationError(f'"{text}" is no amount: write one such as "1500".')
    return float(plain)


def _shown(value: float | None) -> str:
    return "" if value is None else f"{value:.12g}"
