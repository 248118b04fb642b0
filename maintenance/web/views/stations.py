"""Stations of the account: list, report, a newer file, retire; whom we ask."""

from functools import partial

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.engine.errors import EngineError
from maintenance.services.accounts import state_weather_contact
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.weather.queries import (
    sites_by_station,
    station_report,
    stations as list_stations,
)
from maintenance.services.weather.station_files import store_station_file
from maintenance.services.weather.stations import retire_station
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.weather import ContactForm
from maintenance.web.forms.weather_files import StationFileForm
from maintenance.web.outlook_anew import keep_outlook_anew
from maintenance.web.page import show_page
from maintenance.web.station_record import station_record
from maintenance.web.station_words import span_words, stored_words
from maintenance.web.units import system_of
from maintenance.web.who import who_works


@require_safe
@answered
def stations(request: HttpRequest) -> HttpResponse:
    """List the stations, what each stands for, and what the weather service is told."""
    return _list(request)


@require_POST
@answered
def contact(request: HttpRequest) -> HttpResponse:
    """State the address that the weather service is told; empty asks it no more."""
    form = ContactForm(request.POST)
    form.is_valid()
    address = form.cleaned_data.get("contact", "")
    if not form.errors:
        try:
            state_weather_contact(
                account_of(request),
                address=address,
                now=timezone.now(),
                actor=who_works(request),
            )
        except (ConflictError, NotFoundError):
            raise
        except EngineError as refusal:
            form.add_error("contact", str(refusal))
    if form.errors:
        return _list(request, form)
    on = bool(address.strip())
    messages.success(
        request,
        "Stored: the weather service is asked from now on."
        if on
        else "Stored: the weather service is asked no more.",
    )
    return redirect("stations")


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def station(request: HttpRequest, key: str) -> HttpResponse:
    """Show a station's record; a newer file takes its place."""
    account = account_of(request)
    report = station_report(account, key=key)
    form = StationFileForm(station_key=key)
    if request.method == "POST":
        form = StationFileForm(request.POST, request.FILES, station_key=key)
        if form.is_valid():
            with refusals_to(partial(form.add_error, None)):
                return _stored(request, form)
    context = {
        "shown": station_record(report, system_of(request)),
        "used": sites_by_station(account).get(key, []),
        "station_form": form,
        "refused": form if form.errors else None,
    }
    return show_page(
        request, "station.html", context, status=422 if form.errors else 200
    )


@require_POST
@answered
def retire(request: HttpRequest, key: str) -> HttpResponse:
    """Take a station off the list."""
    account = account_of(request)
    retire_station(account, key=key, now=timezone.now(), actor=who_works(request))
    messages.success(request, "Retired. Its file, given again, brings it back.")
    return redirect("stations")


def _stored(request: HttpRequest, form: StationFileForm) -> HttpResponse:
    account = account_of(request)
    stored = store_station_file(
        form.record,
        account=account,
        station=form.station,
        file_name=form.file_name,
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(request, stored_words(stored, form.days))
    keep_outlook_anew(request, account, stored.site_keys)
    return redirect("station", form.station_key)


def _list(request: HttpRequest, form: ContactForm | None = None) -> HttpResponse:
    account = account_of(request)
    used = sites_by_station(account)
    address = account.weather_contact
    context = {
        "lines": [
            (line, span_words(line.first_day, line.last_day), used.get(line.key, []))
            for line in list_stations(account)
        ],
        "address": address,
        "service": settings.WEATHER_SERVICE_URL,
        "form": form or ContactForm(initial={"contact": address}),
    }
    return show_page(request, "stations.html", context, status=422 if form else 200)
