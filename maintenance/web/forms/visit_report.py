"""What is written down on a visit, with its times as the clock at the site shows them."""

from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any, Final

from django import forms

from maintenance.services.visits.carry_out import VisitReport, readings_text
from maintenance.web.forms.answers import AnswerForm
from maintenance.web.forms.visit import lines
from maintenance.web.local_times import zone_of

if TYPE_CHECKING:
    from maintenance.models import Visit

_FORMAT: Final = "%Y-%m-%dT%H:%M"


def _time(label: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=40,
        widget=forms.TextInput(attrs={"type": "datetime-local", "class": "short"}),
    )


class ReportForm(AnswerForm):
    """Notes, parts, readings; times only where there are some to mend."""

    groups = (("", ("notes", "parts_used", "readings", "arrived_at", "left_at")),)

    notes = lines("Notes")
    parts_used = lines("Parts used", "One to a line: they go to the invoice.", rows=2)
    readings = lines(
        "Readings", "One to a line, such as static pressure: 48 psi.", rows=2
    )

    def __init__(self, data: Any, *, visit: "Visit") -> None:
        self._zone = zone_of(visit.site.time_zone)
        super().__init__(
            data,
            initial={
                "notes": visit.notes,
                "parts_used": visit.parts_used,
                "readings": readings_text(visit.readings),
                "arrived_at": _local(visit.arrived_at, self._zone),
                "left_at": _local(visit.left_at, self._zone),
            },
        )
        times: dict[str, forms.Field] = {}
        if visit.arrived_at:
            times["arrived_at"] = _time("Arrived, by the clock at the site")
        if visit.left_at:
            times["left_at"] = _time("Left")
        self.ask_too(times)
        self._kept = {"arrived_at": visit.arrived_at, "left_at": visit.left_at}

    def clean(self) -> dict[str, Any]:
        """Read the times; one that stands there as it was keeps its seconds."""
        told: dict[str, Any] = super().clean() or self.cleaned_data
        for name in self._kept:
            written = told.get(name) or ""
            kept = self._kept[name]
            if not written or written == _local(kept, self._zone):
                told[name] = kept
                continue
            try:
                at = datetime.fromisoformat(written)
            except ValueError:
                self.add_error(name, "Write the time like 2026-10-04 14:20.")
                continue
            told[name] = at.replace(tzinfo=at.tzinfo or self._zone)
        return told

    def report(self) -> VisitReport:
        """Return the answers, once the form is valid."""
        told = self.cleaned_data
        return VisitReport(
            notes=told["notes"],
            parts_used=told["parts_used"],
            readings=told["readings"],
            arrived_at=told["arrived_at"],
            left_at=told["left_at"],
        )


def _local(at: datetime | None, zone: tzinfo) -> str:
    return at.astimezone(zone).strftime(_FORMAT) if at else ""
