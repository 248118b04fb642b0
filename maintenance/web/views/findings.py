"""Findings: what was found and is not done yet, until it is closed with a word."""

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.inventory.queries import compressors
from maintenance.services.visits.findings import (
    change_finding,
    close_finding,
    plan_follow_up,
)
from maintenance.services.visits.one_visit import one_finding, open_findings
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.visit import FindingForm, PlanForm, plan_first
from maintenance.web.page import show_page
from maintenance.web.visit_page import text_in, version_in
from maintenance.web.who import who_works


@require_safe
@answered
def finding_list(request: HttpRequest) -> HttpResponse:
    """List what was found and is still open, at all sites."""
    rows = open_findings(account_of(request))
    today = timezone.localdate()
    context = {
        "findings": rows,
        "without": sum(row.follow_up is None for row in rows),
        "today": today,
    }
    return show_page(request, "finding_list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def finding(request: HttpRequest, finding_id: int) -> HttpResponse:
    """Show one finding: change it, plan what follows, close it."""
    posted = request.method == "POST"
    form = FindingForm(request.POST) if posted else None
    if form is not None and form.is_valid():
        with refusals_to(partial(form.add_error, "what")):
            change_finding(
                account_of(request),
                finding_id=finding_id,
                version=version_in(request),
                told=form.told(),
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "Changed.")
            return redirect("finding", finding_id)
    return _show(request, finding_id, form=form, status=422 if form else 200)


@require_POST
@answered
def follow_up(request: HttpRequest, finding_id: int) -> HttpResponse:
    """Plan the visit that follows it up, and go there."""
    account = account_of(request)
    form = PlanForm(request.POST, compressors=compressors(account))
    if form.is_valid():
        with refusals_to(partial(form.add_error, None)):
            visit = plan_follow_up(
                account,
                finding_id=finding_id,
                version=version_in(request),
                plan=form.plan(),
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "The follow-up is planned.")
            return redirect("visit", visit)
    return _show(request, finding_id, plan=form, status=422)


@require_POST
@answered
def close(request: HttpRequest, finding_id: int) -> HttpResponse:
    """Close it with a word."""
    word = text_in(request, "word")
    refused: list[str] = []
    with refusals_to(refused.append):
        close_finding(
            account_of(request),
            finding_id=finding_id,
            version=version_in(request),
            word=word,
            now=timezone.now(),
            actor=who_works(request),
        )
    if refused:
        return _show(request, finding_id, refused=refused[0], word=word, status=422)
    messages.success(request, "The finding is closed.")
    return redirect("finding", finding_id)


def _show(
    request: HttpRequest,
    finding_id: int,
    *,
    form: FindingForm | None = None,
    plan: PlanForm | None = None,
    refused: str = "",
    word: str = "",
    status: int = 200,
) -> HttpResponse:
    account, today = account_of(request), timezone.localdate()
    row = one_finding(account, finding_id=finding_id)
    told = {"what": row.what, "about": row.about, "due_on": row.due_on}
    first = plan_first(on=row.due_on, year=today.year, notes=_what(row.about, row.what))
    context = {
        "finding": row,
        "form": form or FindingForm(initial=told),
        "plan": plan or PlanForm(initial=first, compressors=compressors(account)),
        "planning": plan is not None,
        "refused": refused,
        "word": word,
        "zone": row.site.time_zone or "UTC",
    }
    return show_page(request, "finding.html", context, status=status)


def _what(about: str, what: str) -> str:
    return f"{about}: {what}" if about else what
