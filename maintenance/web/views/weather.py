"""The weather of one site: its station, offset, terms, forecast, a night observed."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.services.weather.forecasts import keep_forecast
from maintenance.services.weather.observations import observe_night
from maintenance.services.weather.site_weather import (
    attach_station,
    detach_station,
    state_offset,
    state_terms,
)
from maintenance.services.weather.station_files import store_station_file
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.answers import AnswerForm
from maintenance.web.forms.weather import NightForm, OffsetForm, TermsForm
from maintenance.web.forms.weather_files import ForecastFileForm, StationFileForm
from maintenance.web.local_times import zone_of
from maintenance.web.outlook_anew import keep_outlook_anew
from maintenance.web.page import show_page
from maintenance.web.site_weather_page import site_weather_context
from maintenance.web.station_words import offset_words, stored_words
from maintenance.web.units import system_of
from maintenance.web.views.sites import line_of
from maintenance.web.who import who_works

if TYPE_CHECKING:
    from maintenance.models import Account

Deed = Callable[["Account", datetime, str], str]
"""Stores what a form gave and says so; takes the account, the time and the person."""


@require_safe
@answered
def site_weather(request: HttpRequest, key: str) -> HttpResponse:
    """Show which station stands for a site, its forecast, and what is stated."""
    return _page(request, key)


@require_POST
@answered
def attach(request: HttpRequest, key: str) -> HttpResponse:
    """Let a station of the list stand for the site, or none."""
    account, now, actor = account_of(request), timezone.now(), who_works(request)
    line_of(account, key)
    station = request.POST.get("station", "")
    if station:
        attach_station(account, site_key=key, station_key=station, now=now, actor=actor)
        messages.success(request, "Stored: the station stands for this site.")
    else:
        detach_station(account, site_key=key, now=now, actor=actor)
        messages.success(request, "Stored: no station stands for this site.")
    keep_outlook_anew(request, account, [key])
    return redirect("site_weather", key)


@require_POST
@answered
def station_file(request: HttpRequest, key: str) -> HttpResponse:
    """Store a station's file and let it stand for the site."""
    line_of(account_of(request), key)
    form = StationFileForm(request.POST, request.FILES)
    others: list[str] = []

    def store(account: "Account", now: datetime, actor: str) -> str:
        stored = store_station_file(
            form.record,
            account=account,
            station=form.station,
            file_name=form.file_name,
            now=now,
            actor=actor,
            site_key=key,
        )
        others.extend(each for each in stored.site_keys if each != key)
        return f"{stored_words(stored, form.days)} It stands for this site."

    return _store(request, key, "station_form", form, store, others)


@require_POST
@answered
def offset(request: HttpRequest, key: str) -> HttpResponse:
    """State how the site differs from its station."""
    form = OffsetForm(request.POST)

    def store(account: "Account", now: datetime, actor: str) -> str:
        offset_k = form.offset_k()
        state_offset(account, site_key=key, offset_k=offset_k, now=now, actor=actor)
        return f"Stored. {offset_words(offset_k, system_of(request))}"

    return _store(request, key, "offset_form", form, store)


@require_POST
@answered
def terms(request: HttpRequest, key: str) -> HttpResponse:
    """State how soon the crew comes, and what watering and damage are worth."""
    form = TermsForm(request.POST)

    def store(account: "Account", now: datetime, actor: str) -> str:
        state_terms(account, site_key=key, stated=form.stated(), now=now, actor=actor)
        return "Stored: advice goes by these terms."

    return _store(request, key, "terms_form", form, store)


@require_POST
@answered
def forecast(request: HttpRequest, key: str) -> HttpResponse:
    """Keep a forecast that came as a file."""
    form = ForecastFileForm(request.POST, request.FILES)

    def store(account: "Account", now: datetime, actor: str) -> str:
        keep_forecast(account, site_key=key, forecast=form.forecast, now=now)
        return f"Stored: a forecast of {len(form.forecast.temperature_k)} hours."

    return _store(request, key, "forecast_form", form, store)


@require_POST
@answered
def night(request: HttpRequest, key: str) -> HttpResponse:
    """Keep the lowest temperature that a thermometer at the site showed."""
    now = timezone.now()
    line = line_of(account_of(request), key)
    today = now.astimezone(zone_of(line.time_zone)).date()
    form = NightForm(request.POST, today=today)

    def store(account: "Account", now: datetime, actor: str) -> str:
        observe_night(
            account,
            site_key=key,
            day=form.cleaned_data["night_day"],
            minimum_k=form.minimum_k(),
            now=now,
            actor=actor,
        )
        return "Stored: forecasts are compared with it."

    return _store(request, key, "night_form", form, store)


def _store(
    request: HttpRequest,
    key: str,
    name: str,
    form: AnswerForm,
    deed: Deed,
    others: list[str] | None = None,
) -> HttpResponse:
    """Store what a form gave; a refusal shows the page with what was typed."""
    account = account_of(request)
    line_of(account, key)
    if form.is_valid():
        with refusals_to(partial(form.add_error, None)):
            said = deed(account, timezone.now(), who_works(request))
            messages.success(request, said)
            keep_outlook_anew(request, account, [key, *(others or [])])
            return redirect("site_weather", key)
    return _page(request, key, {name: form, "refused": form})


def _page(
    request: HttpRequest, key: str, given: dict[str, Any] | None = None
) -> HttpResponse:
    account = account_of(request)
    context = site_weather_context(
        account, line_of(account, key), system=system_of(request), now=timezone.now()
    )
    status = 422 if given else 200
    return show_page(
        request, "site_weather.html", context | (given or {}), status=status
    )
