"""Where water is left once a list is done as it stands: what is skipped shows at once."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.documents.drawing.water_lines import water_mark
from maintenance.documents.drawing.water_map import water_map_svg
from maintenance.documents.season_words import list_title
from maintenance.documents.water_words import ESTIMATE, answer_words, zone_waters
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.checked import check_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.water_of_list import water_of_list
from maintenance.services.weather.frost_depth import frost_depth_of
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.units import system_of
from maintenance.web.views.season_list import refuse_elsewhere


@require_safe
@answered
def season_water(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Draw what a shutdown list leaves in the pipes as it stands."""
    account, system = account_of(request), system_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    if whole.head.season != "shutdown":
        raise NotFoundError("Only a shutdown list leaves water for a map.")
    site = inventory.site(account, key=key)
    left = water_of_list(account, site, whole, check_list(site, whole))
    frost = frost_depth_of(account, site_key=key)
    zones = [(each, water_mark(each.state)) for each in zone_waters(left, system)]
    context: dict[str, Any] = {
        "head": whole.head,
        "title": list_title(whole.head),
        "left": left,
        "frost": frost.told(system) if frost else "",
        "answer": answer_words(left, system),
        "estimate": ESTIMATE,
        "map": water_map_svg(left, system=system),
        "asking": [(each, mark) for each, mark in zones if each.asks],
        "quiet": [(each, mark) for each, mark in zones if not each.asks],
        "skipped": [
            line
            for line in whole.steps
            if line.report and line.report.outcome == "skipped"
        ],
    }
    return show_page(request, "season_water.html", context)
