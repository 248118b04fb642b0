"""When an assembly would be taken out, and put back."""

from datetime import date
from typing import Any

from django import forms

from maintenance.web.forms.answers import AnswerForm
from maintenance.web.forms.days import ask_day


class RemovalForm(AnswerForm):
    """Two days; both have a usual answer."""

    groups = (("", ("out", "back")),)

    out = ask_day("Taken out on")
    back = ask_day("Put back on")

    def __init__(self, data: Any, *, taken_out: date, put_back: date) -> None:
        usual = {"out": taken_out, "back": put_back}
        super().__init__(data, initial=usual)
        self.usual = (taken_out, put_back)

    def clean(self) -> None:
        """Hold the days against each other."""
        out, back = (
            self.cleaned_data.get(name) or usual
            for name, usual in zip(("out", "back"), self.usual, strict=True)
        )
        if not self.errors and back < out:
            raise forms.ValidationError(
                "It cannot be put back before it is taken out: write a later day."
            )

    def days(self) -> tuple[date, date]:
        """Return the days asked about; where one is not written, the usual one."""
        told = self.cleaned_data if self.is_bound and self.is_valid() else {}
        return told.get("out") or self.usual[0], told.get("back") or self.usual[1]
