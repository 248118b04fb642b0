"""A visit carried out on the spot: begun, written down, ended; plain forms throughout."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.services.errors import ServiceError
from maintenance.services.visits.carry_out import (
    end_visit,
    start_visit,
    take_up_again,
    write_report,
)
from maintenance.services.visits.findings import note_finding
from maintenance.services.visits.one_visit import whole_visit
from maintenance.services.visits.season_of_visit import open_list_for_visit
from maintenance.services.visits.words import OUTCOMES
from maintenance.web.access.viewer import account_of, viewer_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.visit import FindingForm
from maintenance.web.forms.visit_report import ReportForm
from maintenance.web.units import system_of
from maintenance.web.visit_page import Refusal, show_visit, text_in, version_in
from maintenance.web.who import who_works

if TYPE_CHECKING:
    from maintenance.models import Account

_TYPED = ("note", "outcome")


@require_safe
@answered
def visit(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Show a visit, for doing it on a phone."""
    return show_visit(request, visit_id)


@require_POST
@answered
def start(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Begin: someone is there. Pressed twice it began once."""

    def deed(account: "Account") -> None:
        whole = whole_visit(account, visit_id=visit_id)
        if whole.row.state != "under_way":
            start_visit(
                account,
                visit_id=visit_id,
                version=version_in(request),
                now=timezone.now(),
                actor=who_works(request),
            )

    return _do(request, visit_id, deed, at="begin", then="season")


@require_POST
@answered
def season(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Attach the season's list, compiled and opened if there is none, and go to it."""
    account = account_of(request)
    whole = whole_visit(account, visit_id=visit_id)
    if whole.list is None and not viewer_of(request).may("arrange"):
        raise ServiceError(
            "No list is open for this season yet: ask the office to open it at the site."
        )
    key = whole.row.site.key
    if whole.list is not None and whole.list.attached:
        return redirect("season_list", key, whole.list.id)
    refused: list[str] = []
    with refusals_to(refused.append):
        list_id = open_list_for_visit(
            account,
            visit_id=visit_id,
            version=version_in(request),
            units=system_of(request),
            now=timezone.now(),
            actor=who_works(request),
        )
    if refused:
        refusal = Refusal("season", refused[0], {})
        return show_visit(request, visit_id, refusal=refusal, status=422)
    return redirect("season_list", key, list_id)


@require_POST
@answered
def report(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Keep notes, parts, readings and times."""
    account = account_of(request)
    row = whole_visit(account, visit_id=visit_id).row
    form = ReportForm(request.POST, visit=row)
    if form.is_valid():
        with refusals_to(partial(form.add_error, None)):
            write_report(
                account,
                visit_id=visit_id,
                version=version_in(request),
                report=form.report(),
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "Written down.")
            return redirect(f"{reverse('visit', args=[visit_id])}#report")
    return show_visit(request, visit_id, report=form, status=422)


@require_POST
@answered
def found(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Note what was found; it stays open until it is closed with a word."""
    account = account_of(request)
    form = FindingForm(request.POST)
    if form.is_valid():
        with refusals_to(partial(form.add_error, "what")):
            note_finding(
                account,
                visit_id=visit_id,
                told=form.told(),
                now=timezone.now(),
                actor=who_works(request),
            )
            return redirect(f"{reverse('visit', args=[visit_id])}#findings")
    return show_visit(request, visit_id, finding=form, status=422)


@require_POST
@answered
def end(request: HttpRequest, visit_id: int) -> HttpResponse:
    """End the visit with its outcome."""
    outcome = request.POST.get("outcome", "")

    def deed(account: "Account") -> None:
        end_visit(
            account,
            visit_id=visit_id,
            version=version_in(request),
            outcome=outcome,
            note=text_in(request, "note"),
            now=timezone.now(),
            actor=who_works(request),
        )
        messages.success(request, f"The visit ended: {OUTCOMES[outcome]}.")

    return _do(request, visit_id, deed, at="end", then="content")


@require_POST
@answered
def again(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Take an ending back."""

    def deed(account: "Account") -> None:
        take_up_again(
            account,
            visit_id=visit_id,
            version=version_in(request),
            now=timezone.now(),
            actor=who_works(request),
        )

    return _do(request, visit_id, deed, at="end", then="content")


def _do(
    request: HttpRequest,
    visit_id: int,
    deed: Callable[["Account"], None],
    *,
    at: str,
    then: str,
) -> HttpResponse:
    """Do it and go on, or say in its part of the page why it was refused."""
    refused: list[str] = []
    with refusals_to(refused.append):
        deed(account_of(request))
    if refused:
        typed = {name: request.POST.get(name, "") for name in _TYPED}
        refusal = Refusal(at, refused[0], typed)
        return show_visit(request, visit_id, refusal=refusal, status=422)
    return redirect(f"{reverse('visit', args=[visit_id])}#{then}")
