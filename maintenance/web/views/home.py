"""The first page: the sites, and what to do where there are none yet."""

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from maintenance.engine.figure import Figure, Input
from maintenance.exchange.demonstration import (
    read_demonstration,
    read_demonstration_weather,
)
from maintenance.services.demonstration import (
    load_demonstration,
    remove_demonstration,
)
from maintenance.services.inventory.queries import sites
from maintenance.services.weather.demonstration import keep_demonstration_outlooks
from maintenance.templatetags.paper import STATES
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.look import LookForm
from maintenance.web.page import show_page
from maintenance.web.units import COOKIE

_A_YEAR_S = 365 * 24 * 3600


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """List the sites."""
    lines = sites(account_of(request))
    context = {
        "lines": [line for line in lines if not line.retired],
        "retired": [line for line in lines if line.retired],
        "demo": any(line.demo for line in lines),
    }
    return show_page(request, "home.html", context)


@require_POST
@answered
def load_demo(request: HttpRequest) -> HttpResponse:
    """Put the demonstration in."""
    files, weather = read_demonstration(), read_demonstration_weather()
    account = account_of(request)
    load_demonstration(
        account,
        sites=files.sites,
        compressors=files.compressors,
        now=timezone.now(),
        record=weather.record,
        forecast=weather.forecast,
    )
    keep_demonstration_outlooks(account, now=timezone.now())
    messages.success(request, "The demonstration is there. Remove it when you like.")
    return redirect("home")


@require_POST
@answered
def remove_demo(request: HttpRequest) -> HttpResponse:
    """Take the demonstration out whole."""
    remove_demonstration(account_of(request))
    messages.success(request, "The demonstration is gone; your own sites stay.")
    return redirect("home")


@require_POST
def choose_units(request: HttpRequest) -> HttpResponse:
    """Keep the units in which this browser shows quantities."""
    wish = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(wish, allowed_hosts={request.get_host()})
    answer = redirect(wish if ours else "home")
    system = "si" if request.POST.get("system") == "si" else "us"
    answer.set_cookie(
        COOKIE,
        system,
        max_age=_A_YEAR_S,
        samesite="Lax",
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
    )
    return answer


@require_safe
def look(request: HttpRequest) -> HttpResponse:
    """Show every element of a page, so that a change can be seen at once."""
    figure = Figure(
        344_737.86,
        "pressure",
        "The least of the limits of all parts on the way, less the static head.",
        sources=("An example: no figure of a site.",),
        inputs=(
            Input("rating for water", "200 psi", "catalogue"),
            Input("static head", "4.3 psi", "measured"),
        ),
        assumptions=("level ground between the port and the valve",),
        rounding="down",
    )
    unknown = Figure(
        None, "flow", "Meter reading over five minutes.", missing="unknown"
    )
    form = LookForm({"length": "120", "name": "North lawn"})
    form.add_error("length", '"120" has no unit; write "120 ft"')
    context = {
        "figure": figure,
        "missing": unknown,
        "states": STATES,
        "form": form,
        "length": 36.576,
    }
    return show_page(request, "look.html", context)
