"""A season's list is compiled and opened: few questions, each with an answer already."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import season_name
from maintenance.engine.errors import InputError
from maintenance.engine.procedure.step import Season
from maintenance.engine.site.card import site_from_card
from maintenance.services.errors import ConflictError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.compile import compile_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import lists_of_site
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.services.weather.forecasts import coldest_ahead
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.season import StartForm
from maintenance.web.page import show_page
from maintenance.web.site_seasons import WHAT_FOR
from maintenance.web.units import system_of
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def season_start(request: HttpRequest, key: str, season: str) -> HttpResponse:
    """Ask the few questions of a season, then compile its list and open it."""
    chosen = _season(season)
    account, system = account_of(request), system_of(request)
    site, now = inventory.site(account, key=key), timezone.now()
    form = StartForm(
        request.POST if request.method == "POST" else None,
        season=chosen,
        site=site_from_card(site),
        compressors=inventory.compressors(account),
        system=system,
        now=now,
        coldest=coldest_ahead(account, site_key=key, now=now)
        if chosen == "frost_night"
        else None,
    )
    conflict = ""
    if request.method == "POST" and form.is_valid():
        try:
            list_id = open_season_list(
                account,
                site_key=key,
                compiled=compile_list(
                    account,
                    site_key=key,
                    season=chosen,
                    compressor=form.cleaned_data.get("compressor") or None,
                    choices=form.choices(),
                    now=now,
                ),
                year=form.cleaned_data["year"],
                now=now,
                actor=who_works(request),
            )
        except InputError as refusal:
            form.add_error(
                refusal.input if refusal.input in form.fields else None, str(refusal)
            )
        except ConflictError as refusal:
            conflict = str(refusal)
        else:
            messages.success(request, "The list is open: do it from the top down.")
            return redirect("season_list", key, list_id)
    lines = lists_of_site(account, site_key=key)
    context: dict[str, Any] = {
        "site": site,
        "name": season_name(chosen),
        "what_for": WHAT_FOR[chosen],
        "form": form,
        "conflict": conflict,
        "open": [
            line.head
            for line in lines
            if line.head.season == chosen and line.head.closed_at is None
        ],
    }
    status = 409 if conflict else 422 if form.errors else 200
    return show_page(request, "season_start.html", context, status=status)


def _season(name: str) -> Season:
    for season in SEASON_NAMES:
        if season == name:
            return season  # type: ignore[return-value]
    raise Http404
