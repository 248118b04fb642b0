"""What would help one zone of a blow-out sheet, cheapest first."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from maintenance.documents.drawing.frontier import frontier_svg
from maintenance.documents.remedies_words import help_answer, remedy_words
from maintenance.documents.row_words import (
    left_words,
    passes_words,
    percent,
    pressure_number,
)
from maintenance.engine.blowout.remedies import ZoneHelp
from maintenance.engine.blowout.verdict_words import STATES
from maintenance.engine.site.card import site_from_card
from maintenance.engine.site.record import Fault, Faults
from maintenance.engine.units import UnitSystem
from maintenance.services.blowout import help_of, sheets_of
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory import queries
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.blowout import SheetForm
from maintenance.web.page import show_page
from maintenance.web.units import system_of
from maintenance.web.views.blowout import asked_again, choices_asked

_CHOICES = ("compressor", "air")
_NOT_FOLLOWED = ("set", "passes", "longest_pass")


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the table: what to do, and what comes of it."""

    text: str
    verdict: str
    state: str
    left: str


@require_safe
@answered
def zone_help(request: HttpRequest, key: str, zone: str) -> HttpResponse:
    """Show what would help a zone with the first of the compressors chosen."""
    account, system = account_of(request), system_of(request)
    site = queries.site(account, key=key)
    zones = {each.id: each for each in site_from_card(site).zones}
    if zone not in zones:
        raise NotFoundError(f'There is no zone "{zone}" on the site "{key}": see it.')
    machines = queries.compressors(account)
    if not machines:
        # The sheet says what to do first.
        return redirect("blowout", key)
    form = SheetForm(
        choices_asked(request, machines, _CHOICES),
        compressors=machines,
        zones=(),
        system=system,
    )
    if not form.is_valid():
        raise Faults(
            Fault(str(form[name].label), str(text))
            for name, texts in form.errors.items()
            for text in texts
        )
    first = form.cleaned_data["compressor"][0]
    machine = next(each for each in machines if each.id == first)
    air_k = form.cleaned_data["air"]
    (sheet,) = sheets_of(site, [machine], air_temperature_k=air_k, units=system)
    row = next(row for row in sheet.rows if row.row.key == zone)
    found = help_of(site, machine, zone=zone, air_temperature_k=air_k, units=system)
    context: dict[str, Any] = {
        "site": site,
        "zone": zones[zone],
        "sheet": sheet,
        "row": row,
        "state": STATES[row.verdict],
        "set": pressure_number(row.set_pressure_pa, system),
        "passes": passes_words(row),
        "left": left_words(row),
        "answer": help_answer(row, found, system),
        "lines": _lines(found, system),
        "told_apart": found.as_it_is.verdict != row.verdict,
        "in_vain": [remedy_words(trial, system) for trial in found.in_vain],
        "frontier": frontier_svg(found.frontier, machine, system=system),
        "some_air_is_enough": any(s.free_air_m3_per_s for s in found.frontier),
        "not_followed": [name for name in _NOT_FOLLOWED if request.GET.get(name)],
        "asked": asked_again(request, without=["row"]),
    }
    return show_page(request, "zone_help.html", context)


def _lines(found: ZoneHelp, system: UnitSystem) -> list[_Line]:
    """Return the zone as it is, then what helps, the cheapest first."""
    now = found.as_it_is
    left = now.passes[-1].left_fraction_after if now.passes else None
    return [
        _line("As it is", now.verdict, left),
        *(
            _line(remedy_words(each, system), each.verdict, each.left_fraction_after)
            for each in found.remedies
        ),
    ]


def _line(text: str, verdict: str, left: float | None) -> _Line:
    told = "not told" if left is None else percent(left)
    return _Line(text, verdict, STATES[verdict], told)
