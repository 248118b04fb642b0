"""A site: its page, its history, its file, off the list and on it again."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.drawing.plan import plan_svg
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.site.quick import expand_quick_zones
from maintenance.exchange.site_file import write_site
from maintenance.services.accounts import local_account
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import (
    SiteLine,
    site as site_of,
    site_history,
    sites,
)
from maintenance.services.inventory.store import restore_site, retire_site
from maintenance.web.addresses import in_query
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.tables import not_known_yet, part_tables, zone_rows
from maintenance.web.undo import waiting_undo
from maintenance.web.units import system_of
from maintenance.web.views.parts import addable_kinds


@dataclass(frozen=True, slots=True)
class OpenedSite:
    """A site with its line in the list."""

    line: SiteLine
    site: Site


def open_site(key: str) -> OpenedSite:
    """Return a site of this account, its version read before its parts."""
    account = local_account()
    line = next((line for line in sites(account) if line.key == key), None)
    if line is None:
        raise NotFoundError(f'There is no site "{key}" here.')
    return OpenedSite(line, site_of(account, key=key))


@require_safe
@answered
def site_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show what is known of a site."""
    opened = open_site(key)
    site, system = opened.site, system_of(request)
    laid_out = site_from_card(site) if site.card else expand_quick_zones(site)
    context = {
        "line": opened.line,
        "site": site,
        "plan": plan_svg(laid_out, key="plan", system=system),
        "zones": zone_rows(site),
        "tables": part_tables(site, system),
        "unknown": not_known_yet(site),
        "heads": sum(point.kind == "head" for point in laid_out.points),
        "addable": addable_kinds(),
        "undo": waiting_undo(request, key),
    }
    return show_page(request, "site.html", context)


@require_safe
@answered
def history(request: HttpRequest, key: str) -> HttpResponse:
    """Tell what was changed and when."""
    opened = open_site(key)
    lines = site_history(local_account(), key=key)
    return show_page(request, "history.html", {"line": opened.line, "lines": lines})


@require_safe
@answered
def site_file(request: HttpRequest, key: str) -> HttpResponse:
    """Hand out the site as a file."""
    text = write_site(site_of(local_account(), key=key))
    answer = HttpResponse(text, content_type="application/json; charset=utf-8")
    name = in_query(f"{key}.json")
    answer["Content-Disposition"] = f"attachment; filename*=UTF-8''{name}"
    return answer


@require_POST
@answered
def retire(request: HttpRequest, key: str) -> HttpResponse:
    """Take the site off the list."""
    retire_site(local_account(), key=key, now=timezone.now())
    messages.success(request, "Retired. It stands under the list, to be restored.")
    return redirect("home")


@require_POST
@answered
def restore(request: HttpRequest, key: str) -> HttpResponse:
    """Put the site on the list again."""
    restore_site(local_account(), key=key, now=timezone.now())
    messages.success(request, "Restored.")
    return redirect("site", key)
