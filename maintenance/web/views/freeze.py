"""The freeze outlook of a site, and working it out again."""

from random import random

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.services.weather.outlooks import outlook_of
from maintenance.services.weather.queries import site_weather
from maintenance.services.weather.refresh import Refreshed, refresh_site
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.freeze_page import outlook_context
from maintenance.web.freeze_service import ask_service
from maintenance.web.page import show_page
from maintenance.web.units import system_of


@require_safe
@answered
def freeze_outlook(request: HttpRequest, key: str) -> HttpResponse:
    """Show when frost comes, what freezes first and what to do; keep nothing."""
    account = account_of(request)
    worked = outlook_of(account, site_key=key, now=timezone.now())
    weather = site_weather(account, site_key=key)
    context = outlook_context(
        worked, weather, system_of(request), contact=account.weather_contact
    )
    return show_page(request, "freeze.html", context)


@require_POST
@answered
def freeze_refresh(request: HttpRequest, key: str) -> HttpResponse:
    """Ask for a new forecast where that is allowed, and work the outlook out again."""
    account = account_of(request)
    done = refresh_site(
        account,
        site_key=key,
        ask=ask_service,
        now=timezone.now(),
        jitter=random(),  # noqa: S311  (spreads the tries; guards nothing)
    )
    trouble = ""
    if done.failed:
        source = site_weather(account, site_key=key).source
        trouble = source.trouble if source else ""
    messages.success(request, _said(done, trouble, contact=account.weather_contact))
    return redirect("freeze_outlook", key)


def _said(done: Refreshed, trouble: str, *, contact: str) -> str:
    if done.new:
        return "Worked out again with a new forecast."
    if done.failed:
        return f"Worked out again; no new forecast came, the last one stays. {trouble}"
    if done.asked:
        return "Worked out again; the forecast kept is still the latest."
    why = (
        "the position of the site is not recorded"
        if contact
        else "no contact address is given"
    )
    return f"Worked out again. The weather service was not asked: {why}."
