"""Calendars behind secret links, and the link that ends reminders: no sign-in for both."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.exchange.calendar_feed import write_calendar
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.reminders.feeds import (
    all_links,
    entries_of,
    feed_behind,
    make_link,
    revoke_link,
)
from maintenance.services.reminders.stop_links import person_behind, stop_by_link
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.reminder import CalendarForm
from maintenance.web.page import show_page
from maintenance.web.reminder_pages import doors, person_choices, site_choices
from maintenance.web.secret_links import without_trace
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def calendars(request: HttpRequest) -> HttpResponse:
    """List the links, and make one: its secret is shown this once."""
    account, link = account_of(request), ""
    form = CalendarForm(
        request.POST if request.method == "POST" else None,
        sites=site_choices(account),
        people=person_choices(account),
    )
    if request.method == "POST" and form.is_valid():
        try:
            _, secret = make_link(
                account,
                name=form.cleaned_data["name"],
                now=timezone.now(),
                actor=who_works(request),
                **form.chosen(),
            )
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error("name", str(refusal))
        else:
            link = request.build_absolute_uri(reverse("calendar_feed", args=[secret]))
    context = {
        "doors": doors(request),
        "link": link,
        "links": all_links(account),
        "form": form,
        "refused": form if form.errors else None,
    }
    answer = show_page(
        request, "feeds.html", context, status=422 if form.errors else 200
    )
    return without_trace(answer) if link else answer


@require_POST
@answered
def take_back(request: HttpRequest, calendar: int) -> HttpResponse:
    """Take a link back: whoever has it finds nothing from now on."""
    revoke_link(account_of(request), link_id=calendar, now=timezone.now())
    messages.success(request, "Taken back: the link leads nowhere from now on.")
    return redirect("calendars")


@require_safe
def feed(request: HttpRequest, secret: str) -> HttpResponse:
    """Give the calendar behind a link, or say that it has not changed."""
    now = timezone.now()
    try:
        found = feed_behind(secret, now=now)
    except NotFoundError:
        return without_trace(HttpResponse("There is no calendar here.", status=404))
    tag = f'W/"{found.tag}"'
    if tag in request.headers.get("If-None-Match", ""):
        answer = HttpResponse(status=304)
    else:
        text = write_calendar(found.link.name, entries_of(found.link, now=now), now=now)
        answer = HttpResponse(text, content_type="text/calendar; charset=utf-8")
        answer["Content-Disposition"] = 'inline; filename="due.ics"'
    answer["ETag"] = tag
    return without_trace(answer)


# Whoever holds the link may stop what is sent to them, and nothing else: there is no
# session that another site could use, and a mail program sends no token (RFC 8058).
@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
def stop(request: HttpRequest, secret: str) -> HttpResponse:
    """Show one button; pressed, all reminders to this person end.

    Looking changes nothing: programs that look at the links in letters stop nobody.
    """
    try:
        person = (
            stop_by_link(secret, now=timezone.now())
            if request.method == "POST"
            else person_behind(secret)
        )
    except NotFoundError as absent:
        raise Http404(str(absent)) from absent
    context = {"person": person, "stopped": person.stopped_at is not None}
    return without_trace(show_page(request, "reminders_stop.html", context))
