"""A site: its page, its history, its file, off the list and on it again."""

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.drawing.plan import plan_svg
from maintenance.engine.site.card import site_from_card
from maintenance.engine.site.quick import expand_quick_zones
from maintenance.exchange.site_file import write_site
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import (
    SiteLine,
    site as site_of,
    site_history,
    sites,
)
from maintenance.services.inventory.store import restore_site, retire_site
from maintenance.services.seasons.queries import lists_of_site
from maintenance.web.access.notes import (
    PATHS,
    access_on_print,
    as_seen,
    may_see_access,
)
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.page import hand_out, show_page
from maintenance.web.site_seasons import site_seasons
from maintenance.web.tables import not_known_yet, part_tables, zone_rows
from maintenance.web.undo import waiting_undo
from maintenance.web.units import system_of
from maintenance.web.views.parts import addable_kinds

if TYPE_CHECKING:
    from maintenance.models import Account


def line_of(account: "Account", key: str) -> SiteLine:
    """Return a site's line in the list, in one query."""
    line = next((line for line in sites(account) if line.key == key), None)
    if line is None:
        raise NotFoundError(f'There is no site "{key}" here: see the list.')
    return line


@require_safe
@answered
def site_page(request: HttpRequest, key: str) -> HttpResponse:
    """Show what is known of a site."""
    account, system = account_of(request), system_of(request)
    line = line_of(account, key)
    site = as_seen(request, site_of(account, key=key))
    laid_out = site_from_card(site) if site.card else expand_quick_zones(site)
    context = {
        "line": line,
        "site": site,
        "plan": plan_svg(laid_out, key="plan", system=system),
        "zones": zone_rows(site),
        "tables": part_tables(site, system),
        "unknown": not_known_yet(site),
        "heads": sum(point.kind == "head" for point in laid_out.points),
        "addable": addable_kinds(),
        "undo": waiting_undo(request, key, version=line.version),
        "access": site.card.access if site.card else None,
        "access_on_print": access_on_print(request),
        "seasons": site_seasons(lists_of_site(account, site_key=key)),
    }
    return show_page(request, "site.html", context)


@require_safe
@answered
def history(request: HttpRequest, key: str) -> HttpResponse:
    """Tell what was changed and when."""
    account = account_of(request)
    context = {
        "line": line_of(account, key),
        "lines": site_history(
            account, key=key, hidden=() if may_see_access(request) else PATHS
        ),
    }
    return show_page(request, "history.html", context)


@require_safe
@answered
def site_file(request: HttpRequest, key: str) -> HttpResponse:
    """Hand out the site as a file."""
    text = write_site(as_seen(request, site_of(account_of(request), key=key)))
    return hand_out(text, name=f"{key}.json")


@require_POST
@answered
def retire(request: HttpRequest, key: str) -> HttpResponse:
    """Take the site off the list."""
    retire_site(
        account_of(request), key=key, now=timezone.now(), actor=actor_of(request)
    )
    messages.success(request, "Retired. It stands under the list, to be restored.")
    return redirect("home")


@require_POST
@answered
def restore(request: HttpRequest, key: str) -> HttpResponse:
    """Put the site on the list again."""
    restore_site(
        account_of(request), key=key, now=timezone.now(), actor=actor_of(request)
    )
    messages.success(request, "Restored.")
    return redirect("site", key)
