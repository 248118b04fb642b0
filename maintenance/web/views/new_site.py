"""A site typed in without a file: three pages of questions, then the sheet."""

import re
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.engine.site.record import Fault, Faults
from maintenance.engine.site.typed import site_from_answers
from maintenance.engine.site.typed_compressor import compressor_from_answers
from maintenance.engine.site.typed_zones import with_water_ways
from maintenance.services.inventory.queries import (
    compressors,
    retired_compressors,
    site as site_of,
    site_version,
    sites,
)
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.addresses import in_query
from maintenance.web.feedback import answered
from maintenance.web.forms.new_compressor import NewCompressorForm
from maintenance.web.forms.new_site import NewSiteForm, WaterWaysForm
from maintenance.web.page import show_page
from maintenance.web.suggestions import string_families, string_table, suggestions

_MOST_ZONES: Final = 40


def new_id(name: str, taken: set[str]) -> str:
    """Return a short id made from a name that nothing else here has."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "site"
    number, found = 2, plain
    while found in taken:
        found, number = f"{plain}-{number}", number + 1
    return found


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new_site(request: HttpRequest) -> HttpResponse:
    """Ask for place, water and assembly; store the beginning of a site."""
    form = NewSiteForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        account = account_of(request)
        lines = sites(account)
        name = form.cleaned_data["name"].strip()
        key = new_id(name, {line.key for line in lines})
        try:
            if name.casefold() in {line.name.casefold() for line in lines}:
                text = f'There is a site "{name}" already; give this one another name.'
                raise Faults([Fault("name", text)])
            site = site_from_answers(form.cleaned_data, site_id=key)
            store_site(
                site,
                account=account,
                now=timezone.now(),
                actor=actor_of(request),
                version=0,
            )
            return redirect("site_pipes", key)
        except Faults as refusal:
            form.refuse(refusal.faults)
    context = {"form": form, "suggestions": suggestions()}
    status = 422 if form.errors else 200
    return show_page(request, "new_site.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def site_pipes(request: HttpRequest, key: str) -> HttpResponse:
    """Ask for main, port and the first zones."""
    account = account_of(request)
    version = site_version(account, key=key)
    site = site_of(account, key=key)
    if any(zone.id for zone in site.zones) or site.card:
        return redirect("site", key)
    rows = _rows(request.POST.get("zones", "1"))
    if "more" in request.POST:
        # Not an answer yet: keep what was typed and show one more zone.
        form = WaterWaysForm(initial=request.POST.dict(), zones=_rows(rows + 1))
    else:
        data = request.POST if request.method == "POST" else None
        form = WaterWaysForm(data, zones=rows)
    if form.is_bound and form.is_valid():
        given = request.POST.get("version", "")
        try:
            site = with_water_ways(site, form.cleaned_data)
            store_site(
                site,
                account=account,
                now=timezone.now(),
                actor=actor_of(request),
                version=int(given) if given.isascii() and given.isdigit() else -1,
            )
            return redirect("site_compressor", key)
        except Faults as refusal:
            form.refuse(refusal.faults)
    context = {
        "site": site,
        "form": form,
        "version": request.POST.get("version", version),
        "suggestions": suggestions(site),
        "families": string_families(),
        "string": string_table(),
    }
    status = 422 if form.errors else 200
    return show_page(request, "site_pipes.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def site_compressor(request: HttpRequest, key: str) -> HttpResponse:
    """Choose a compressor, or describe one, and go on to the sheet."""
    account = account_of(request)
    site_version(account, key=key)
    form = NewCompressorForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        compressor_id = store_new_compressor(request, form)
        if compressor_id:
            sheet = reverse("blowout", args=[key])
            return redirect(f"{sheet}?compressor={in_query(compressor_id)}")
    context = {"key": key, "form": form, "compressors": compressors(account)}
    status = 422 if form.errors else 200
    return show_page(request, "site_compressor.html", context, status=status)


def store_new_compressor(request: HttpRequest, form: NewCompressorForm) -> str:
    """Store what the form describes; empty where the form now tells the faults."""
    account = account_of(request)
    taken = {each.id for each in compressors(account)}
    taken |= {each.id for each in retired_compressors(account)}
    answers = form.cleaned_data
    key = new_id(answers["name"] or answers["class"] or "compressor", taken)
    try:
        compressor = compressor_from_answers(answers, compressor_id=key)
        store_compressor(
            compressor,
            account=account,
            now=timezone.now(),
            actor=actor_of(request),
            version=0,
        )
    except Faults as refusal:
        form.refuse(refusal.faults)
        return ""
    return key


def _rows(wish: str | int) -> int:
    text = str(wish)
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 1
    return min(max(number, 1), _MOST_ZONES)
