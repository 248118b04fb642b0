"""What a person chooses on the map of water: air or none, zones left out, the line."""

from collections.abc import Sequence

from django import forms
from django.http import QueryDict

from maintenance.documents.left_profile import Way
from maintenance.engine.errors import InputError
from maintenance.engine.procedure.water_left import DEEPEST_FROST_M
from maintenance.engine.site import Compressor, Zone
from maintenance.engine.units import UnitSystem, parse_quantity
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.forms.blowout import told_compressor, told_zone


class WaterForm(AnswerForm):
    """Choices that change the map; none must be made."""

    frost_depth = ask(
        "Frost depth there, if you know it",
        'Such as "36 in" or "90 cm", how deep the ground freezes.',
    )

    def __init__(
        self,
        data: QueryDict,
        *,
        compressors: Sequence[Compressor],
        zones: Sequence[Zone],
        ways: Sequence[Way],
        system: UnitSystem,
        frost: str = "",
    ) -> None:
        super().__init__(data)
        if frost:
            self.fields[
                "frost_depth"
            ].help_text = f"Left empty, {frost} by the record of its station."
        drained = ("", "no air: drained only")
        machines = [(each.id, told_compressor(each, system)) for each in compressors]
        lines = [("", "the line with the most water"), *((w.key, w.name) for w in ways)]
        self.ask_too(
            {
                "compressor": forms.ChoiceField(
                    label="Blown out with",
                    choices=[drained, *machines],
                    error_messages={"invalid_choice": '"%(value)s" is not kept here.'},
                ),
                "line": forms.ChoiceField(
                    label="Profile of",
                    choices=lines,
                    error_messages={"invalid_choice": '"%(value)s" is no line here.'},
                ),
                "skip": forms.MultipleChoiceField(
                    label="Zones that were not blown",
                    choices=[(zone.id, told_zone(zone)) for zone in zones],
                    widget=forms.CheckboxSelectMultiple,
                    error_messages={
                        "invalid_choice": '"%(value)s" is no zone of this site.'
                    },
                ),
            }
        )

    def clean_frost_depth(self) -> float | None:
        """Read the frost depth."""
        text = self.cleaned_data.get("frost_depth", "").strip()
        if not text:
            return None
        try:
            value = parse_quantity(text, "depth")
        except InputError as refusal:
            raise forms.ValidationError(str(refusal)) from refusal
        if not 0.0 <= value <= DEEPEST_FROST_M:
            raise forms.ValidationError("That is no depth of frost: 0 to 30 ft.")
        return value
