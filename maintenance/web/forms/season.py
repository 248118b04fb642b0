"""The questions before a season's list is compiled; each has an answer already."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from django import forms

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.step import Season
from maintenance.engine.site import Compressor, Site
from maintenance.engine.units import UnitSystem, parse_quantity
from maintenance.services.seasons.choices import ListChoices
from maintenance.services.seasons.open_list import FIRST_YEAR, LAST_YEAR
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.forms.blowout import told_compressor, usual_compressor
from maintenance.web.local_times import zone_of

LOWEST_AT_HOUR: Final = 6
"""When a clear night is usually coldest, on the site's clock (common practice)."""
_CHANGE_OVERS: Final = (
    ("controller", "by the controller: air off before each station ends"),
    ("next_first", "by the controller, air on: the next zone is seen running first"),
    ("hand", "by hand at each valve: air off, gauge at zero"),
)
_LEAK_TESTS: Final = (
    ("", "whichever this site has"),
    ("meter", "by the dial of the water meter"),
    ("gauge", "by the drop on a gauge"),
    ("pump_starts", "by how often the pump starts"),
)


class StartForm(AnswerForm):
    """The few questions of one season."""

    year = ask("Year of this season")

    def __init__(
        self,
        data: Any,
        *,
        season: Season,
        site: Site,
        compressors: Sequence[Compressor],
        system: UnitSystem,
        now: datetime,
        coldest: datetime | None = None,
    ) -> None:
        self.season, self.site, self.system = season, site, system
        self.zone = zone_of(site.place.time_zone or "")
        here = now.astimezone(self.zone)
        self.usual: dict[str, Any] = {"year": str(here.year)}
        questions: dict[str, forms.Field] = {}
        if season == "shutdown":
            questions = self._autumn(compressors)
        elif season == "startup":
            questions = self._spring()
        elif season == "frost_night":
            questions = {"low_at": _low_at()}
            usual = here.replace(hour=LOWEST_AT_HOUR, minute=0) + timedelta(days=1)
            low = coldest.astimezone(self.zone) if coldest else usual
            self.usual["low_at"] = f"{low:%Y-%m-%dT%H:%M}"
        super().__init__(data, initial=self.usual)
        self.ask_too(questions)
        self.order_fields([*questions, "year"])

    @property
    def first_questions(self) -> list[Any]:
        """The questions that stand open; the others are folded."""
        return [self[name] for name in self.fields if name not in self.folded]

    @property
    def folded(self) -> list[str]:
        """The questions that hardly anybody has to answer."""
        rare = ("port", "agreed", "year", "fill_velocity", "pump_start_volume")
        return [name for name in rare if name in self.fields]

    @property
    def rare_questions(self) -> list[Any]:
        """The folded ones."""
        return [self[name] for name in self.folded]

    def choices(self) -> ListChoices:
        """Return what was decided, once the form is valid."""
        told = self.cleaned_data
        autumn = ShutdownChoices()
        spring: dict[str, Any] = {}
        if self.season == "shutdown":
            autumn = ShutdownChoices(
                change_over=told["change_over"] or self.usual["change_over"],
                agreed=frozenset(told.get("agreed", ())),
                port=told.get("port") or None,
            )
        if self.season == "startup":
            spring = {
                "leak_test": told["leak_test"] or None,
                "meter_m3": told.get("meter_m3"),
                "pump_start_volume_m3": told.get("pump_start_volume"),
            }
            if told["fill_velocity"] is not None:
                spring["fill_velocity_m_per_s"] = told["fill_velocity"]
        return ListChoices(
            shutdown=autumn,
            startup=StartupChoices(**spring),
            low_at=told.get("low_at"),
            units=self.system,
        )

    def clean_year(self) -> int:
        """Read the year."""
        text = self.cleaned_data["year"].strip() or self.usual["year"]
        if not (text.isascii() and text.isdigit() and len(text) == 4):
            raise forms.ValidationError(f"Write a year like {self.usual['year']}.")
        if not FIRST_YEAR <= int(text) <= LAST_YEAR:
            raise forms.ValidationError(f"Write a year like {self.usual['year']}.")
        return int(text)

    def clean_low_at(self) -> datetime | None:
        """Read the time on the site's own clock."""
        low: datetime | None = self.cleaned_data["low_at"]
        return low.replace(tzinfo=self.zone) if low else None

    def clean_meter_m3(self) -> float | None:
        """Read the meter."""
        return self._read("meter_m3", "volume")

    def clean_pump_start_volume(self) -> float | None:
        """Read what is drawn between two starts."""
        value = self._read("pump_start_volume", "volume")
        if value is not None:
            _refuse_unmeant(pump_start_volume_m3=value)
        return value

    def clean_fill_velocity(self) -> float | None:
        """Read the speed, within the published limit."""
        value = self._read("fill_velocity", "velocity")
        if value is not None:
            _refuse_unmeant(fill_velocity_m_per_s=value)
        return value

    def _read(self, name: str, dimension: str) -> float | None:
        text = self.cleaned_data.get(name, "").strip()
        if not text:
            return None
        try:
            return parse_quantity(text, dimension)
        except InputError as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def _autumn(self, compressors: Sequence[Compressor]) -> dict[str, forms.Field]:
        machines = [
            (each.id, told_compressor(each, self.system)) for each in compressors
        ]
        self.usual |= {
            "compressor": usual_compressor(compressors).id if compressors else "",
            "change_over": _usual_change_over(self.site),
        }
        questions: dict[str, forms.Field] = {
            "compressor": forms.ChoiceField(
                label="Compressor",
                choices=[("", "none: drain only"), *machines],
                error_messages={"invalid_choice": '"%(value)s" is not kept here.'},
            ),
            "change_over": forms.ChoiceField(
                label="From one zone to the next", choices=_CHANGE_OVERS
            ),
        }
        ports = [point.id for point in self.site.points if point.kind == "blowout_port"]
        if len(ports) > 1:
            choices = [("", "all of them"), *((each, each) for each in ports)]
            questions["port"] = forms.ChoiceField(
                label="Blow through",
                help_text="What another port serves is then drained.",
                choices=choices,
            )
        users = [point.id for point in self.site.points if point.kind == "other_use"]
        if users:
            questions["agreed"] = forms.MultipleChoiceField(
                label="May be without water all winter",
                help_text="Only where the people there agreed.",
                choices=[(each, each) for each in users],
                widget=forms.CheckboxSelectMultiple,
            )
        return questions

    def _spring(self) -> dict[str, forms.Field]:
        kinds = {link.kind for link in self.site.links}
        questions: dict[str, forms.Field] = {
            "leak_test": forms.ChoiceField(label="Look for leaks", choices=_LEAK_TESTS)
        }
        if "meter" in kinds:
            questions["meter_m3"] = ask(
                "What the water meter shows now",
                'Such as "1234 gal", before the water is let in; may stay empty.',
            )
        questions["fill_velocity"] = ask(
            "Speed of the filling water", "1 ft/s (0.3 m/s) if left empty."
        )
        if "pump" in kinds:
            questions["pump_start_volume"] = ask(
                "Water drawn between two starts of the pump",
                'Such as "4 gal", measured with a bucket; may stay empty.',
            )
        return questions


def _refuse_unmeant(**chosen: float) -> None:
    try:
        StartupChoices(**chosen)  # type: ignore[arg-type]
    except InputError as refusal:
        raise forms.ValidationError(str(refusal)) from refusal


def _low_at() -> forms.DateTimeField:
    widget = forms.DateTimeInput(
        attrs={"type": "datetime-local", "class": "short"}, format="%Y-%m-%dT%H:%M"
    )
    return forms.DateTimeField(
        label="When the lowest of the night is forecast",
        help_text="On the site’s clock. Left empty, the card tells no times.",
        widget=widget,
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"],
        error_messages={"invalid": "Write day and time, such as 2026-04-12 06:00."},
    )


def _usual_change_over(site: Site) -> str:
    """Take the controller where there is one: nobody has to walk to the valves."""
    return "controller" if site.controllers else "hand"
