"""What a person chooses on the blow-out sheet: compressors, air, setting, passes."""

from collections.abc import Sequence
from typing import Any

from django import forms

from maintenance.engine.blowout.make_sheet import MOST_PASSES
from maintenance.engine.errors import InputError
from maintenance.engine.site import Compressor, Zone
from maintenance.engine.units import UnitSystem, display, parse_quantity
from maintenance.services.blowout import MOST_COMPRESSORS
from maintenance.web.forms.answers import AnswerForm, ask

COLDEST_K, HOTTEST_K = 233.15, 333.15
SHORTEST_PASS_S, LONGEST_PASS_S = 5.0, 600.0
NARROWING = ("air", "set", "passes", "longest_pass", "zone")


class SheetForm(AnswerForm):
    """Choices that change the sheet; what is left empty the tool chooses."""

    air = ask("Air temperature", 'Such as "45 degF" or "7 degC".')
    set = ask(
        "Setting, if not the tool’s own", 'Such as "40 psi"; no more than a limit.'
    )
    passes = ask(
        "Passes on each row", f"1 to {MOST_PASSES}; if empty, as few as will do."
    )
    longest_pass = ask("Longest pass", 'Such as "30 s", where heads must not run dry.')

    def __init__(
        self,
        data: Any,
        *,
        compressors: Sequence[Compressor],
        zones: Sequence[Zone],
        system: UnitSystem,
    ) -> None:
        super().__init__(data)
        self.system = system
        self.fields["passes"].widget.attrs["inputmode"] = "numeric"
        choices = [(each.id, told_compressor(each, system)) for each in compressors]
        field = forms.MultipleChoiceField(
            label="Compressors, up to three side by side",
            choices=choices,
            widget=forms.CheckboxSelectMultiple,
            error_messages={"invalid_choice": '"%(value)s" is not kept here.'},
        )
        alone = forms.ChoiceField(
            label="Zones shown",
            help_text="With one zone, a setting is for that zone alone.",
            choices=[("", "all zones"), *((z.id, told_zone(z)) for z in zones)],
            error_messages={"invalid_choice": '"%(value)s" is no zone of this site.'},
        )
        self.ask_too({"compressor": field, "zone": alone})

    @property
    def narrowed(self) -> bool:
        """Whether anything but the compressors was asked for."""
        return any(self.data.get(name) for name in NARROWING)

    def clean_compressor(self) -> list[str]:
        """Refuse more than fit beside each other."""
        chosen: list[str] = self.cleaned_data["compressor"]
        if len(chosen) > MOST_COMPRESSORS:
            raise forms.ValidationError(
                f"{len(chosen)} are chosen; choose {MOST_COMPRESSORS} at most."
            )
        return chosen

    def clean_air(self) -> float | None:
        """Read the temperature."""
        value = self._read("air", "temperature")
        if value is not None and not COLDEST_K <= value <= HOTTEST_K:
            raise forms.ValidationError("That is no air outdoors: -40 to 140 degF.")
        return value

    def clean_set(self) -> float | None:
        """Read the setting."""
        value = self._read("set", "pressure")
        if value is not None and value <= 0:
            raise forms.ValidationError('That does not blow: write e.g. "40 psi".')
        return value

    def clean_passes(self) -> int | None:
        """Read how many passes are wanted."""
        text = self.cleaned_data.get("passes", "").strip()
        if not text:
            return None
        if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MOST_PASSES):
            raise forms.ValidationError(f"Give a whole number, 1 to {MOST_PASSES}.")
        return int(text)

    def clean_longest_pass(self) -> float | None:
        """Read the bound on a pass."""
        value = self._read("longest_pass", "time")
        if value is not None and not SHORTEST_PASS_S <= value <= LONGEST_PASS_S:
            raise forms.ValidationError("Give 5 s to 600 s.")
        return value

    def _read(self, name: str, dimension: str) -> float | None:
        text = self.cleaned_data.get(name, "").strip()
        if not text:
            return None
        try:
            return parse_quantity(text, dimension)
        except InputError as refusal:
            raise forms.ValidationError(str(refusal)) from refusal


def told_zone(zone: Zone) -> str:
    """Name a zone in a choice."""
    return f"zone {zone.id}" + (f", {zone.name}" if zone.name else "")


def told_compressor(compressor: Compressor, system: UnitSystem) -> str:
    """Name a compressor in a choice, with its air and tank."""
    air = display(compressor.free_air_delivery.value, "air_flow", system)
    tank = display(compressor.receiver.value, "volume", system)
    return f"{compressor.id}: {air} of free air, tank {tank}"


def usual_compressor(machines: Sequence[Compressor]) -> Compressor:
    """Take the largest tank of those with a regulator: it serves most sites."""
    return max(
        machines,
        key=lambda each: (
            each.regulator is not None and each.regulator.fitted,
            each.receiver.value,
        ),
    )
