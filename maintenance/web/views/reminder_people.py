"""Who is reminded: people and addresses, added, changed, tried and taken off."""

from functools import partial
from typing import Any

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
from maintenance.engine.reminding.kinds import KINDS
from maintenance.exchange.delivery.signature import new_secret
from maintenance.services.reminders.people import (
    all_people,
    get_person,
    resume as resume_person,
    retire_person,
    send_test,
    store_person,
)
from maintenance.services.reminders.webhooks import (
    add_webhook,
    all_webhooks,
    retire_webhook,
)
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.reminder import AddressForm, PersonForm
from maintenance.web.page import show_page
from maintenance.web.reminder_pages import (
    doors,
    person_choices,
    reaches_nobody,
    site_choices,
)
from maintenance.web.who import who_works


@require_safe
@answered
def people(request: HttpRequest) -> HttpResponse:
    """List the people and the addresses."""
    account = account_of(request)
    names = dict(site_choices(account))
    context = {
        "doors": doors(request),
        "people": [
            (row, _kinds(row.kinds), _sites(row.sites, names))
            for row in all_people(account)
        ],
        "addresses": [(row, _kinds(row.kinds)) for row in all_webhooks(account)],
        "nobody": reaches_nobody(),
    }
    return show_page(request, "reminders_people.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new(request: HttpRequest) -> HttpResponse:
    """Ask for a person, and add them."""
    return _person(request, None)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit(request: HttpRequest, person: int) -> HttpResponse:
    """Ask for changes of a person, and store them."""
    return _person(request, person)


def _person(request: HttpRequest, person: int | None) -> HttpResponse:
    account = account_of(request)
    row = None if person is None else get_person(account, person_id=person)
    form = PersonForm(
        request.POST if request.method == "POST" else None,
        initial=_initial(row) if row else None,
        sites=site_choices(account),
        others=person_choices(account, but=person),
    )
    if request.method == "POST" and form.is_valid():
        given = request.POST.get("version", "")
        with refusals_to(partial(form.add_error, None)):
            store_person(
                account,
                stated=form.stated(),
                person_id=person,
                version=int(given) if given.isdigit() and len(given) < 10 else -1,
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "Stored.")
            return redirect("reminded")
    context = {"form": form, "row": row, "refused": form if form.errors else None}
    return show_page(
        request, "reminders_person.html", context, status=422 if form.errors else 200
    )


@require_POST
@answered
def take_off(request: HttpRequest, person: int) -> HttpResponse:
    """Take a person off."""
    account = account_of(request)
    row = get_person(account, person_id=person)
    given = request.POST.get("version", "")
    retire_person(
        account,
        person_id=person,
        version=int(given) if given.isdigit() and len(given) < 10 else -1,
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(request, f"{row.name} is reminded of nothing any more.")
    return redirect("reminded")


@require_POST
@answered
def resume(request: HttpRequest, person: int) -> HttpResponse:
    """Let a person who had stopped their reminders get them again."""
    account = account_of(request)
    resume_person(
        account, person_id=person, now=timezone.now(), actor=who_works(request)
    )
    messages.success(request, "Reminders go out again, from the next step on.")
    return redirect("reminded")


@require_POST
@answered
def test(request: HttpRequest, person: int) -> HttpResponse:
    """Send a letter that only shows that letters arrive."""
    send_test(account_of(request), person_id=person, now=timezone.now())
    messages.success(
        request, "A test goes out within a few minutes: see what was sent."
    )
    return redirect("reminders_sent")


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new_address(request: HttpRequest) -> HttpResponse:
    """Ask for an address, add it, and show its secret."""
    form = AddressForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        secret = new_secret()
        try:
            add_webhook(
                account_of(request),
                url=form.cleaned_data["url"],
                secret=secret,
                kinds=tuple(form.cleaned_data["kinds"]),
                now=timezone.now(),
            )
        except EngineError as refusal:
            form.add_error("url", str(refusal))
        else:
            context = {"secret": secret, "url": form.cleaned_data["url"]}
            return show_page(request, "reminders_secret.html", context)
    context = {"form": form, "refused": form if form.errors else None}
    return show_page(
        request, "reminders_address.html", context, status=422 if form.errors else 200
    )


@require_POST
@answered
def take_off_address(request: HttpRequest, webhook: int) -> HttpResponse:
    """Tell an address no more."""
    retire_webhook(account_of(request), webhook_id=webhook, now=timezone.now())
    messages.success(request, "This address is told no more.")
    return redirect("reminded")


def _initial(row: Any) -> dict[str, Any]:
    return {
        "name": row.name,
        "email": row.email,
        "daily": "daily" if row.daily else "",
        "kinds": row.kinds.get("kinds", []),
        "sites": row.sites.get("sites", []),
        "morning": row.morning,
        "time_zone": row.time_zone,
        "quiet_from": row.quiet_from,
        "quiet_until": row.quiet_until,
        "escalate_to": str(row.escalate_to_id or ""),
        "escalate_after_days": row.escalate_after_days,
    }


def _kinds(record: dict[str, Any]) -> str:
    return ", ".join(KINDS.get(each, each) for each in record.get("kinds", ()))


def _sites(record: dict[str, Any], names: dict[str, str]) -> str:
    return ", ".join(names.get(each, each) for each in record.get("sites", ()))
