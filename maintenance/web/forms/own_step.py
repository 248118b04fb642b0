"""A step of one's own: what to do, and which part it moves, if any."""

from typing import Any, Final

from django import forms

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.elements import Element, site_elements
from maintenance.engine.procedure.step import Act, Change, Step
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.services.seasons.step_rows import own_key
from maintenance.web.forms.answers import AnswerForm, ask

LONGEST_TEXT: Final = 500
_ACTS: Final[dict[str, Act]] = {
    "open": "open",
    "closed": "close",
    "on": "switch_on",
    "off": "switch_off",
}
_NO_PART = ("", "none that is on record")


class OwnStepForm(AnswerForm):
    """Only what to do must be said."""

    groups = (
        ("", ("text", "minutes", "caution")),
        ("If it moves a part", ("part", "position", "seen")),
    )

    text = ask("What to do", "One thing, in one sentence.", short=False)
    minutes = ask("How long it takes, in minutes", "May stay empty.")
    caution = ask("What to look out for", "May stay empty.", short=False)

    def __init__(self, data: Any, *, site: Site) -> None:
        super().__init__(data)
        self.elements = site_elements(build_graph(site_from_card(site)))
        words = dict.fromkeys(w for e in self.elements.values() for w in e.words)
        self.ask_too(
            {
                "part": forms.ChoiceField(
                    label="Part",
                    help_text="The check then counts with it.",
                    choices=[
                        _NO_PART,
                        *((key, _told(e)) for key, e in self.elements.items()),
                    ],
                    error_messages={"invalid_choice": '"%(value)s" is no part here.'},
                ),
                "position": forms.ChoiceField(
                    label="Is brought to",
                    choices=[
                        ("", "nothing"),
                        *((w, w.replace("_", " ")) for w in words),
                    ],
                ),
                "seen": forms.BooleanField(
                    label="One looks whether water or air comes out of it"
                ),
            }
        )

    def clean_text(self) -> str:
        """Refuse a step that says nothing."""
        text: str = self.cleaned_data["text"].strip()
        if not text:
            raise forms.ValidationError("Write what is to be done.")
        return text

    def clean_minutes(self) -> float:
        """Read the minutes."""
        text = self.cleaned_data["minutes"].strip()
        if not text:
            return 0.0
        if not (text.isascii() and text.isdigit() and len(text) <= 4):
            raise forms.ValidationError("Write whole minutes, such as 10.")
        return float(text)

    def clean(self) -> dict[str, Any]:
        """Hold the position against the part."""
        told: dict[str, Any] = super().clean() or self.cleaned_data
        part, position = told.get("part"), told.get("position")
        if part and not position:
            self.add_error("position", f"Choose what {part} is brought to.")
        elif position and not part:
            self.add_error("part", "Choose the part that is brought there.")
        elif part and position not in self.elements[part].words:
            known = ", ".join(w.replace("_", " ") for w in self.elements[part].words)
            self.add_error("position", f"{part} can be: {known}.")
        return told

    def step(self, *, client_id: str, block: str) -> Step:
        """Return the step, once the form is valid."""
        told = self.cleaned_data
        part, position = told["part"], told["position"]
        return Step(
            key=own_key(client_id),
            act=_ACTS.get(position, "set") if part else "check",
            on=part or "own step",
            to=position.replace("_", " "),
            text=told["text"],
            cautions=(told["caution"].strip(),) if told["caution"].strip() else (),
            source="added by a person",
            minutes=told["minutes"],
            changes=(Change(part, position),) if part else (),
            sees=(part,) if part and told["seen"] else (),
            block=block,
        )


def _told(element: Element) -> str:
    return f"{element.id} ({element.kind.replace('_', ' ')})"
