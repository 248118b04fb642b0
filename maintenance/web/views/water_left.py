"""Where water is left after the usual shutdown: map, profile, what to do by zone."""

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.views.decorators.http import require_safe

from maintenance.documents.drawing.sheet import Drawing
from maintenance.documents.drawing.water_lines import water_mark
from maintenance.documents.drawing.water_map import map_symbols, water_map_svg
from maintenance.documents.drawing.water_profile import water_profile_svg
from maintenance.documents.left_profile import Way, water_line, ways_of, wettest
from maintenance.documents.water_words import ESTIMATE, answer_words, zone_waters
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.drain_site import assumed_layout
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.water_left import WaterLeft
from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.units import UnitSystem, display
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries
from maintenance.services.water_left import water_left_of
from maintenance.services.weather.frost_depth import frost_depth_of
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.water_left import WaterForm
from maintenance.web.page import show_page
from maintenance.web.units import system_of
from maintenance.web.views.blowout import choices_asked

_CHOICES = ("compressor", "line", "skip", "frost_depth")


@require_safe
@answered
def water_left(request: HttpRequest, key: str) -> HttpResponse:
    """Show the site as it is after the usual shutdown, blown out or drained only."""
    account, system = account_of(request), system_of(request)
    site = queries.site(account, key=key)
    machines = queries.compressors(account)
    graph = build_graph(site_from_card(site))
    context: dict[str, Any] = {"site": site, "machines": machines}
    if not graph.bores:
        return show_page(request, "water_left.html", context)
    ways = ways_of(graph)
    frost = frost_depth_of(account, site_key=key)
    form = WaterForm(
        _asked(request, machines),
        compressors=machines,
        zones=graph.site.zones,
        ways=ways,
        system=system,
        frost=display(frost.depth_m, "depth", system) if frost else "",
    )
    context |= {"form": form, "picked": "compressor" in request.GET}
    if not form.is_valid():
        # The library that swaps parts of a page leaves refusals out.
        status = 200 if request.headers.get("HX-Request") else 422
        return show_page(request, "water_left.html", context, status=status)
    chosen = form.cleaned_data
    stated = chosen["frost_depth"]
    by_record = frost if stated is None else None
    sheet = _sheet(site, machines, chosen["compressor"], system)
    left = water_left_of(
        site,
        sheet=sheet,
        skipped=chosen["skip"],
        frost_depth_m=by_record.depth_m if by_record else stated,
        units=system,
    )
    way = next((w for w in ways if w.key == chosen["line"]), wettest(left, ways))
    zones = [(each, water_mark(each.state)) for each in zone_waters(left, system)]
    context |= {
        "sheet": sheet,
        "nothing_worked_out": sheet is not None
        and not any(row.left_in_pipes for row in sheet.rows),
        "left": left,
        "frost": by_record.told(system) if by_record else "",
        "answer": answer_words(left, system),
        "estimate": ESTIMATE,
        "map": water_map_svg(left, system=system),
        "symbols": map_symbols(left),
        "way": way,
        "profile": _profile(left, way, system),
        "asking": [(each, mark) for each, mark in zones if each.asks],
        "quiet": [(each, mark) for each, mark in zones if not each.asks],
        "warnings": (*assumed_layout(site), *left.warnings),
        "skipped": [z for z in graph.site.zones if z.id in chosen["skip"]],
    }
    return show_page(request, "water_left.html", context)


def _asked(request: HttpRequest, machines: Sequence[Compressor]) -> QueryDict:
    """Return what was asked; an empty compressor means no air, none the usual one."""
    asked = choices_asked(request, machines, _CHOICES)
    if request.GET.get("compressor", "usual").strip() == "":
        asked["compressor"] = ""
    return asked


def _sheet(
    site: Site, machines: Sequence[Compressor], key: str, system: UnitSystem
) -> Sheet | None:
    machine = next((each for each in machines if each.id == key), None)
    if machine is None or not (site.zones or site.card):
        return None
    (sheet,) = sheets_of(site, [machine], units=system)
    return sheet


def _profile(left: WaterLeft, way: Way | None, system: UnitSystem) -> Drawing | None:
    if way is None:
        return None
    return water_profile_svg(water_line(left, way, system), system=system)
