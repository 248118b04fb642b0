"""Calls: taken, looked at, changed, closed with a word."""

from functools import partial
from typing import TYPE_CHECKING, Any, Final

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
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import sites
from maintenance.services.visits.calls import (
    change_call,
    close_call,
    reopen_call,
    take_call,
)
from maintenance.services.visits.one_visit import (
    WholeCall,
    closed_calls,
    open_calls,
    whole_call,
)
from maintenance.web.access.notes import may_see_access
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered, refusals_to
from maintenance.web.forms.visit import CallForm
from maintenance.web.page import show_page
from maintenance.web.visit_page import text_in, version_in
from maintenance.web.who import who_works

if TYPE_CHECKING:
    from maintenance.models import ServiceCall

CLOSED_SHOWN: Final = 20
_TOLD: Final = ("what", "urgency", "promised_by", "caller", "reach_at")


@require_safe
@answered
def call_list(request: HttpRequest) -> HttpResponse:
    """List the calls that are open, and those that were closed last."""
    account = account_of(request)
    context = {
        "open": open_calls(account),
        "closed": closed_calls(account, at_most=CLOSED_SHOWN),
        "today": timezone.localdate(),
        "private": may_see_access(request),
    }
    return show_page(request, "call_list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new_call(request: HttpRequest) -> HttpResponse:
    """Take a call."""
    account = account_of(request)
    standing = [(s.key, s.name) for s in sites(account) if not s.retired]
    posted = request.method == "POST"
    form = CallForm(
        request.POST if posted else None,
        sites=standing,
        initial={"site": request.GET.get("site", ""), "urgency": "within_days"},
    )
    if posted and form.is_valid():
        try:
            number = take_call(
                account,
                site_key=form.cleaned_data.get("site", ""),
                told=form.told(),
                now=timezone.now(),
                actor=who_works(request),
            )
        except NotFoundError:
            form.add_error("site" if standing else None, "Choose the site.")
        except EngineError as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "The call is kept. Plan a visit for it.")
            return redirect("call", number)
    status = 422 if form.errors else 200
    context = {"form": form, "any_site": bool(standing)}
    return show_page(request, "call_new.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def call(request: HttpRequest, call_id: int) -> HttpResponse:
    """Show a call with its visits, and change what was told."""
    account = account_of(request)
    whole = whole_call(account, call_id=call_id)
    posted = request.method == "POST"
    form = _form(whole.row, request.POST if posted else None)
    if posted and form.is_valid():
        with refusals_to(partial(form.add_error, None)):
            change_call(
                account,
                call_id=call_id,
                version=version_in(request),
                told=form.told(),
                now=timezone.now(),
                actor=who_works(request),
            )
            messages.success(request, "Changed.")
            return redirect("call", call_id)
    return _show(request, whole, form=form, status=422 if form.errors else 200)


@require_POST
@answered
def close(request: HttpRequest, call_id: int) -> HttpResponse:
    """Close a call with a word."""
    account, word = account_of(request), text_in(request, "word")
    refused: list[str] = []
    with refusals_to(refused.append):
        close_call(
            account,
            call_id=call_id,
            version=version_in(request),
            word=word,
            now=timezone.now(),
            actor=who_works(request),
        )
    if refused:
        whole = whole_call(account, call_id=call_id)
        return _show(request, whole, refused=refused[0], word=word, status=422)
    messages.success(request, "The call is closed.")
    return redirect("call", call_id)


@require_POST
@answered
def reopen(request: HttpRequest, call_id: int) -> HttpResponse:
    """Open a call again."""
    reopen_call(
        account_of(request),
        call_id=call_id,
        version=version_in(request),
        now=timezone.now(),
        actor=who_works(request),
    )
    return redirect("call", call_id)


def _show(
    request: HttpRequest,
    whole: WholeCall,
    *,
    form: CallForm | None = None,
    refused: str = "",
    word: str = "",
    status: int = 200,
) -> HttpResponse:
    row = whole.row
    context = {
        "call": row,
        "visits": whole.visits,
        "form": form or _form(row, None),
        "private": may_see_access(request),
        "today": timezone.localdate(),
        "zone": row.site.time_zone or "UTC",
        "refused": refused,
        "word": word,
    }
    return show_page(request, "call.html", context, status=status)


def _form(row: "ServiceCall", data: Any) -> CallForm:
    return CallForm(data, initial={name: getattr(row, name) for name in _TOLD})
