"""A visit is planned, its plan changed, or called off."""

from functools import partial
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.engine.errors import EngineError
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.queries import compressors, sites
from maintenance.services.visits.one_visit import whole_call, whole_visit
from maintenance.services.visits.plan import (
    call_off_visit,
    change_plan,
    plan_visit,
)
from maintenance.services.visits.words import KINDS
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.visit import PlanForm, plan_first
from maintenance.web.page import show_page
from maintenance.web.visit_page import Refusal, show_visit, text_in, version_in
from maintenance.web.who import who_works

if TYPE_CHECKING:
    from maintenance.models import Account, ServiceCall, Visit


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new_visit(request: HttpRequest) -> HttpResponse:
    """Plan a visit at a site, or for a call."""
    account, today = account_of(request), timezone.localdate()
    call = _call(account, request.GET.get("call", ""))
    standing = [(s.key, s.name) for s in sites(account) if not s.retired]
    first = plan_first(kind=_kind(request, call), year=today.year)
    if call is not None:
        first["planned_on"] = call.promised_by
    first["site"] = request.GET.get("site", "")
    posted = request.method == "POST"
    form = PlanForm(
        request.POST if posted else None,
        initial=first,
        sites=() if call else standing,
        compressors=compressors(account),
    )
    if posted and form.is_valid():
        try:
            number = plan_visit(
                account,
                site_key=call.site.key if call else form.cleaned_data.get("site", ""),
                call_id=call.pk if call else None,
                plan=form.plan(),
                now=timezone.now(),
                actor=who_works(request),
            )
        except NotFoundError:
            form.add_error(
                "site" if "site" in form.fields else None, "Choose the site."
            )
        except EngineError as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "The visit is planned.")
            return redirect("visit", number)
    context = {"form": form, "call": call, "any_site": bool(standing)}
    status = 422 if form.errors else 200
    return show_page(request, "visit_plan.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def change(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Change the plan of a visit."""
    account = account_of(request)
    row = whole_visit(account, visit_id=visit_id).row
    posted = request.method == "POST"
    form = PlanForm(
        request.POST if posted else None,
        initial=_planned(row),
        compressors=compressors(account),
    )
    if posted and form.is_valid():
        with refusals_to(partial(form.add_error, None)):
            change_plan(
                account,
                visit_id=visit_id,
                version=version_in(request),
                plan=form.plan(),
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "The plan is changed.")
            return redirect("visit", visit_id)
    context = {"form": form, "visit": row, "any_site": True}
    status = 422 if form.errors else 200
    return show_page(request, "visit_plan.html", context, status=status)


@require_POST
@answered
def call_off(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Call a visit off, with why."""
    word = text_in(request, "word")
    refused: list[str] = []
    with refusals_to(refused.append):
        call_off_visit(
            account_of(request),
            visit_id=visit_id,
            version=version_in(request),
            word=word,
            now=timezone.now(),
            actor=who_works(request),
        )
    if refused:
        refusal = Refusal("off", refused[0], {"word": word})
        return show_visit(request, visit_id, refusal=refusal, status=422)
    messages.success(request, "The visit is called off.")
    return redirect("visit", visit_id)


def _call(account: "Account", asked: str) -> "ServiceCall | None":
    if not asked:
        return None
    if not (asked.isascii() and asked.isdigit() and len(asked) <= 18):
        raise ServiceError(f'"{asked[:20]}" is no number of a call: choose one.')
    return whole_call(account, call_id=int(asked)).row


def _kind(request: HttpRequest, call: object) -> str:
    asked = request.GET.get("kind", "")
    return asked if asked in KINDS else "repair" if call else "shutdown"


def _planned(row: "Visit") -> dict[str, Any]:
    return {
        "kind": row.kind,
        "season_year": row.season_year or timezone.localdate().year,
        "planned_on": row.planned_on,
        "window": row.window,
        "worker": row.worker,
        "compressor": row.compressor.key if row.compressor else "",
        "notes": row.notes,
    }
