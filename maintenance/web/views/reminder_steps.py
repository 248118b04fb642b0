"""When each kind is reminded of."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from maintenance.engine.errors import EngineError
from maintenance.services.errors import NotFoundError
from maintenance.services.reminders.settings_of_kinds import (
    settings_of,
    settings_of_kinds,
    state_settings,
)
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.reminder import StepsForm
from maintenance.web.page import show_page
from maintenance.web.reminder_pages import doors
from maintenance.web.who import who_works


@require_safe
@answered
def steps(request: HttpRequest) -> HttpResponse:
    """List the steps of every kind."""
    rows = settings_of_kinds(account_of(request))
    return show_page(
        request, "reminders_steps.html", {"rows": rows, "doors": doors(request)}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def kind(request: HttpRequest, kind: str) -> HttpResponse:
    """Ask when a kind is reminded of, and store it."""
    account = account_of(request)
    settings = settings_of(account, kind)
    form = StepsForm(
        request.POST if request.method == "POST" else None, settings=settings
    )
    if request.method == "POST" and form.is_valid():
        try:
            state_settings(
                account,
                settings=form.stated(),
                now=timezone.now(),
                actor=who_works(request),
            )
        except NotFoundError:
            raise
        except EngineError as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "Stored: it counts from the next reminder on.")
            return redirect("reminder_steps")
    context = {
        "form": form,
        "settings": settings,
        "refused": form if form.errors else None,
    }
    return show_page(
        request, "reminders_step.html", context, status=422 if form.errors else 200
    )
