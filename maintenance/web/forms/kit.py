"""A tester with the certificate, a gauge with its calibration."""

from typing import Any

from maintenance.services.backflow.kit import StatedGauge, StatedTester
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.forms.days import ask_day


class TesterForm(AnswerForm):
    """What reports show of the one who tests."""

    __test__ = False

    groups = (("", ("name", "certificate", "issued", "ends", "licence", "telephone")),)

    name = ask("Name", "As it stands on the certificate.", short=False)
    certificate = ask("Certificate number")
    issued = ask_day("Issued on")
    ends = ask_day("Last day of the certificate")
    licence = ask("Licence number", "Where repairs need one.")
    telephone = ask("Telephone")

    def stated(self) -> StatedTester:
        """Return what is stated, once the form is valid."""
        told: dict[str, Any] = self.cleaned_data
        return StatedTester(**{name: told[name] for name in self.fields})


class GaugeForm(AnswerForm):
    """What reports show of the gauge."""

    groups = (("", ("serial", "make", "calibrated", "ends")),)

    serial = ask("Serial number")
    make = ask("Make and model")
    calibrated = ask_day("Calibrated, or checked for accuracy, on")
    ends = ask_day(
        "Last day of the calibration",
        "Many authorities ask for a check every year.",
    )

    def stated(self) -> StatedGauge:
        """Return what is stated, once the form is valid."""
        told: dict[str, Any] = self.cleaned_data
        return StatedGauge(**{name: told[name] for name in self.fields})
