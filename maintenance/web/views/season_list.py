"""The list for doing: one row for each step, on a phone, with one hand."""

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from maintenance.documents.season_words import list_title, progress_words
from maintenance.documents.water_words import answer_words
from maintenance.engine.procedure.checker import CheckedProcedure
from maintenance.engine.site import Site
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.kept_list import ListHead, WholeList
from maintenance.services.seasons.queries import season_list as whole_list
from maintenance.services.seasons.water_of_list import water_of_list
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.local_times import local_words
from maintenance.web.page import show_page
from maintenance.web.season_marks import marks_of
from maintenance.web.season_rows import Refusal, step_blocks, time_left, zone_views
from maintenance.web.season_units import units_of
from maintenance.web.who import name_kept

if TYPE_CHECKING:
    from maintenance.models import Account

_PLACE: Final = re.compile(r"(?:step|zone)-\d{1,9}|zones|notes|check")


# A long list is sent again after each tick, mostly over a phone's weak signal.
@gzip_page
@require_safe
@answered
def season_list(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show a season's list, to be done row by row."""
    return show_list(request, key, list_id)


def show_list(
    request: HttpRequest,
    key: str,
    list_id: int,
    *,
    refusal: Refusal | None = None,
    status: int = 200,
) -> HttpResponse:
    """Answer with the list as it stands, and what was refused at its row."""
    account = account_of(request)
    whole = whole_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    site = inventory.site(account, key=key)
    marks = marks_of(site, whole)
    rows = _rows(sheet_used(account, list_id=list_id))
    system = units_of(whole)
    zones = zone_views(whole, refusal)
    context: dict[str, Any] = {
        "site": site,
        "head": whole.head,
        "whole": whole,
        "title": list_title(whole.head),
        "opened": local_words(whole.head.opened_at, whole.head.time_zone),
        "progress": progress_words(whole),
        "time_left": time_left(whole) if whole.steps_left else "",
        "marks": marks,
        "water": _water(account, site, whole, marks.checked),
        "blocks": step_blocks(site, whole, marks, rows, system, refusal),
        "next": next(iter(whole.steps_left), None),
        "told": len(whole.all_steps) - len(whole.steps_left) - _gone(whole),
        "standing": len(whole.all_steps) - _gone(whole),
        "zones": zones,
        "suggested": sum(bool(zone.suggested) for zone in zones),
        "refusal": refusal,
        "who": name_kept(request),
        "at": refusal.at if refusal else place_in(request.GET.get("at", "")),
    }
    if whole.head.closed_at:
        context["closed"] = local_words(whole.head.closed_at, whole.head.time_zone)
    if request.headers.get("HX-Request"):
        # The library that swaps parts of a page leaves refusals out.
        status = 200
    return show_page(request, "season_list.html", context, status=status)


def refuse_elsewhere(head: ListHead, key: str) -> None:
    """Refuse the number of a list that is another site's."""
    if head.site_key != key:
        raise NotFoundError(
            f"This site has no season list {head.id}: look for it at its own site."
        )


def place_in(text: str) -> str:
    """Return the name of a row of the page, empty where it is none."""
    return text if _PLACE.fullmatch(text) else ""


def go_on(request: HttpRequest, key: str, list_id: int, place: str) -> HttpResponse:
    """Lead back to the list, at the row where a person goes on."""
    address = reverse("season_list", args=[key, list_id])
    at = place_in(place)
    if request.headers.get("HX-Request"):
        # What stands behind "#" never reaches the server; a script goes there.
        return redirect(f"{address}?at={at}")
    return redirect(f"{address}#{at}" if at else address)


def _water(
    account: "Account", site: Site, whole: WholeList, checked: CheckedProcedure | None
) -> str:
    """Say what the list leaves in the pipes, where a map can be made."""
    if checked is None or whole.head.season != "shutdown" or whole.head.closed_at:
        return ""
    left = water_of_list(account, site, whole, checked)
    return answer_words(left, units_of(whole))


def _rows(sheet: Mapping[str, Any] | None) -> dict[str, Mapping[str, Any]]:
    if not sheet:
        return {}
    return {row["row"]: row for row in (*sheet["mains"], *sheet["zones"])}


def _gone(whole: WholeList) -> int:
    return sum(line.gone for line in whole.all_steps)
