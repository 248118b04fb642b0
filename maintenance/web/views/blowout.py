"""The blow-out sheet: what to set, how long, in which order, and whether it does."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.views.decorators.http import require_safe

from maintenance.documents.drawing.profile import profile_svg
from maintenance.documents.drawing.sheet import Drawing
from maintenance.documents.method_notes import method_notes
from maintenance.documents.row_profile import row_profile
from maintenance.documents.row_words import assumed_words, minutes
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.errors import InputError
from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.card import site_from_card
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries
from maintenance.web.access.viewer import account_of
from maintenance.web.blowout_rows import compare, row_blocks
from maintenance.web.feedback import answered
from maintenance.web.forms.blowout import SheetForm, usual_compressor
from maintenance.web.page import show_page
from maintenance.web.units import system_of

_CHOICES = ("compressor", "zone", "air", "set", "passes", "longest_pass")


@dataclass(frozen=True, slots=True)
class _Times:
    """Hands-on time beside air time, in words."""

    one: str
    two: str
    air: str


@require_safe
@answered
def blowout(request: HttpRequest, key: str) -> HttpResponse:
    """Show the sheet of a site with up to three compressors."""
    account, system = account_of(request), system_of(request)
    site = queries.site(account, key=key)
    machines = queries.compressors(account)
    form = SheetForm(
        choices_asked(request, machines, _CHOICES),
        compressors=machines,
        zones=site_from_card(site).zones,
        system=system,
    )
    context: dict[str, Any] = {"site": site, "form": form, "machines": machines}
    if not machines or not (site.zones or site.card):
        return show_page(request, "blowout.html", context)
    found = _sheets(form, site, machines)
    if not found:
        # The library that swaps parts of a page leaves refusals out.
        status = 200 if request.headers.get("HX-Request") else 422
        return show_page(request, "blowout.html", context, status=status)
    sheet = found[0]
    chosen = _chosen_row(sheet, request.GET.get("row", ""))
    context |= {
        "sheets": found,
        "sheet": sheet,
        "lines": compare(site, found, system) if len(found) > 1 else (),
        "blocks": row_blocks(site, sheet, system),
        "times": _times(sheet),
        "assumed": assumed_words(sheet),
        "notes": method_notes(sheet),
        "numbers": {
            note.figure.split("_")[0].split(".")[0]: note.number
            for note in method_notes(sheet)
        },
        "chosen": chosen,
        "profile": _profile(site, sheet, chosen, request),
        "alone": form.cleaned_data["zone"],
        "asked": asked_again(request, without=["row"]),
        "asked_of_all": asked_again(request, without=["row", "zone"]),
        "picked": "compressor" in request.GET,
    }
    return show_page(request, "blowout.html", context)


def choices_asked(
    request: HttpRequest, machines: Sequence[Compressor], names: Sequence[str]
) -> QueryDict:
    """Return what was asked, with the usual compressor where none was named."""
    asked = QueryDict(mutable=True)
    for name in names:
        asked.setlist(name, [v for v in request.GET.getlist(name) if v.strip()])
    if not asked.getlist("compressor") and machines:
        asked.setlist("compressor", [usual_compressor(machines).id])
    return asked


def _sheets(form: SheetForm, site: Site, machines: Sequence[Compressor]) -> list[Sheet]:
    """Compute, or leave the refusal at the question that it is about."""
    if not form.is_valid():
        return []
    by_key = {each.id: each for each in machines}
    try:
        return sheets_of(
            site,
            [by_key[key] for key in form.cleaned_data["compressor"]],
            setting_pa=form.cleaned_data["set"],
            passes=form.cleaned_data["passes"],
            zone=form.cleaned_data["zone"] or None,
            air_temperature_k=form.cleaned_data["air"],
            longest_pass_s=form.cleaned_data["longest_pass"],
            units=form.system,
        )
    except InputError as refusal:
        name = refusal.input
        if name not in _CHOICES:
            raise
        form.add_error(name, str(refusal).replace(f"--{name} ", "", 1))
        return []


def _chosen_row(sheet: Sheet, key: str) -> RowSheet | None:
    """Return the row asked for, else the first that does not clear, else the first."""
    by_key = {row.row.key: row for row in sheet.rows}
    if key in by_key:
        return by_key[key]
    doubtful = (row for row in sheet.rows if row.verdict == "not_enough")
    return next(doubtful, next(iter(sheet.rows), None))


def _profile(
    site: Site, sheet: Sheet, row: RowSheet | None, request: HttpRequest
) -> Drawing | None:
    if row is None or not row.row.segments:
        return None
    profile = row_profile(site, row, temperature_k=sheet.air_temperature_k)
    return profile_svg(profile, system=system_of(request))


def _times(sheet: Sheet) -> _Times:
    hands = sheet.hands_on_time_s
    return _Times(
        minutes(hands), minutes(hands / 2), minutes(sheet.total_time_s - hands)
    )


def asked_again(request: HttpRequest, *, without: Sequence[str]) -> str:
    """Return the query of this page, less some of its names, for a link."""
    asked = request.GET.copy()
    for name in without:
        asked.pop(name, None)
    return asked.urlencode()
