"""Weather files that a person gives: bounded, read whole, refused in the page's words."""

import re
from dataclasses import replace
from pathlib import PurePath
from typing import Any, Final

import numpy as np
from django import forms

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record, Station
from maintenance.engine.errors import InputError
from maintenance.engine.site.faults import Fault, Faults
from maintenance.engine.units import parse_quantity
from maintenance.exchange.weather.forecast_file import read_forecast
from maintenance.exchange.weather.plain_text import WHOLE
from maintenance.exchange.weather.record_file import UNIT_WORDS, UNITS, read_record
from maintenance.web.forms.answers import AnswerForm, ask

LARGEST_MB: Final = 10
LONGEST_NAME: Final = 200
_UNTOLD: Final = "name the unit with --unit"
# The readers speak to a person at a command; here the unit is chosen on the page.
_COMMAND_WORDS: Final = (
    (re.compile(r"name the unit with --unit .*"), "choose its unit here"),
    (re.compile(r"leave --unit out"), "choose no unit here"),
    (
        re.compile(r"say --unit if that is wrong"),
        "if that is wrong, give the file again with its unit",
    ),
)
_DEGREES: Final = re.compile(r"[-+]?\d{1,3}(\.\d{1,12})?")


class WeatherFile(forms.FileField):
    """A file as its bytes, at most `LARGEST_MB`; one that is empty is for the reader."""

    def __init__(self, label: str, help_text: str) -> None:
        super().__init__(label=label, help_text=help_text, allow_empty_file=True)

    def clean(self, data: Any, initial: Any = None) -> Any:
        """Return name and content; None where no file was chosen."""
        upload = super().clean(data, initial)
        if not upload:
            return None
        if upload.size > LARGEST_MB * 1_000_000:
            raise forms.ValidationError(
                f"The file has {upload.size / 1e6:.0f} MB; at most {LARGEST_MB} MB are "
                "read here, so leave out the years or columns that are not needed."
            )
        return PurePath(upload.name).name[-LONGEST_NAME:], upload.read()


class StationFileForm(AnswerForm):
    """A station's file, and what it does not say of itself.

    With ``station_key`` it is a newer file of that station, and nothing else is asked.
    Once it is valid, ``record``, ``station`` and ``file_name`` are what it gave.
    """

    record_file = WeatherFile(
        "A file of daily temperatures",
        "CSV with a day and its lowest temperature (date,tmin_f), GHCN-Daily .dly, or a "
        f"daily-summaries CSV; at most {LARGEST_MB} MB.",
    )
    unit = forms.ChoiceField(
        label="Unit of its numbers",
        help_text="Only where the file does not tell it.",
        choices=[("", "as the file tells"), *((u, UNIT_WORDS[u]) for u in UNITS)],
    )
    station_id = ask(
        "Id of the station",
        "Its number, or a short word of your own. A station that is here already under "
        "this id gets the newer file.",
    )
    station_name = ask("Name of the station", short=False)
    latitude = ask("Latitude", "Degrees, north positive, such as 40.40.")
    longitude = ask("Longitude", "Degrees, east positive, such as -101.73.")
    elevation = ask("Elevation", 'Such as "3520 ft" or "1073 m".')

    record: Record
    station: Station
    file_name = ""

    def __init__(
        self, data: Any = None, files: Any = None, *, station_key: str = ""
    ) -> None:
        super().__init__(data, files)
        self.station_key = station_key
        if station_key:
            for name in self.of_the_station:
                del self.fields[name]

    @property
    def of_the_station(self) -> tuple[str, ...]:
        """The questions that many files answer by themselves."""
        return ("station_id", "station_name", "latitude", "longitude", "elevation")

    @property
    def rare_questions(self) -> list[Any]:
        """The folded questions."""
        names = ("unit", *self.of_the_station)
        return [self[name] for name in names if name in self.fields]

    @property
    def rare_opened(self) -> bool:
        """Whether a folded question is answered already, or asks to be."""
        return any(each.errors or each.data for each in self.rare_questions)

    @property
    def days(self) -> int:
        """Days with a minimum, once the form is valid."""
        return int(np.isfinite(self.record.series.tmin_k).sum())

    def clean_latitude(self) -> float | None:
        """Read degrees."""
        return _degrees(self.cleaned_data["latitude"])

    def clean_longitude(self) -> float | None:
        """Read degrees."""
        return _degrees(self.cleaned_data["longitude"])

    def clean_elevation(self) -> float | None:
        """Read a height."""
        text = self.cleaned_data["elevation"].strip()
        try:
            return parse_quantity(text, "height") if text else None
        except InputError as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def clean(self) -> None:
        """Read the file with all that was typed beside it."""
        given = self.cleaned_data.get("record_file")
        if given is None:
            if "record_file" not in self.errors:
                self.add_error("record_file", "Choose a file first.")
            return
        self.file_name, content = given
        unit = self.cleaned_data.get("unit") or None
        try:
            record = read_record(content, unit)
        except Faults as refusal:
            if not _asks_unit(refusal):
                self._refuse_file(refusal)
                return
            self.add_error("unit", _sentence(refusal.faults[0]))
            # What else it does not say is asked in the same breath.
            record = read_record(content, UNITS[0])
        self.record = replace(record, unit_from=in_page_words(record.unit_from))
        self._find_station(record.series.station)

    def _refuse_file(self, refusal: Faults) -> None:
        for fault in refusal.faults:
            self.add_error("record_file", _sentence(fault))

    def _find_station(self, told: Station | None) -> None:
        told = told or Station("")
        typed = self.cleaned_data
        key = self.station_key or str(typed.get("station_id", "")).strip()
        if told.id and key and told.id != key:
            self.add_error(
                "record_file" if self.station_key else "station_id",
                f'The file is of station "{told.id}", not of "{key}": '
                + (
                    "give it on the page of a site, as a station of its own."
                    if self.station_key
                    else "leave the id empty, or choose the other file."
                ),
            )
        elif not (told.id or key):
            self.add_error(
                "station_id",
                "The file does not say which station it is of: give it an id.",
            )
        place = {
            name: getattr(told, name) if typed.get(asked) is None else typed[asked]
            for name, asked in (
                ("latitude_deg", "latitude"),
                ("longitude_deg", "longitude"),
                ("elevation_m", "elevation"),
            )
        }
        name = str(typed.get("station_name", "")).strip() or told.name
        self.station = Station(told.id or key, name, **place)


class ForecastFileForm(AnswerForm):
    """A forecast file; ``forecast`` is what it gave once the form is valid."""

    forecast_file = WeatherFile(
        "A file with an hourly forecast",
        "JSON of the public weather service (hourly or raw grid), or CSV with a time and "
        f"its offset (time,temperature_f,wind_mph,sky_cover); at most {LARGEST_MB} MB.",
    )

    forecast: Forecast

    def clean(self) -> None:
        """Read the file."""
        given = self.cleaned_data.get("forecast_file")
        if given is None:
            if "forecast_file" not in self.errors:
                self.add_error("forecast_file", "Choose a file first.")
            return
        try:
            self.forecast = read_forecast(given[1])
        except Faults as refusal:
            for fault in refusal.faults:
                self.add_error("forecast_file", _sentence(fault))


def in_page_words(text: str) -> str:
    """Say what a reader says to a person who sits at a page, not at a command."""
    for pattern, words in _COMMAND_WORDS:
        text = pattern.sub(words, text)
    return text


def _asks_unit(refusal: Faults) -> bool:
    return any(_UNTOLD in fault.text for fault in refusal.faults)


def _sentence(fault: Fault) -> str:
    text = in_page_words(fault.text)
    if fault.path == WHOLE:
        return f"The file {text}."
    return f"{fault.path[:1].upper()}{fault.path[1:]}: {text}."


def _degrees(text: str) -> float | None:
    text = text.strip().replace("\N{MINUS SIGN}", "-")
    if not text:
        return None
    if not _DEGREES.fullmatch(text):
        raise forms.ValidationError(
            f'"{text}" is no number of degrees: write one such as 40.40 or -101.73, '
            "without a letter."
        )
    return float(text)
