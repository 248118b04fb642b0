"""The site changed: the difference is seen first, then the list is rebuilt."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import list_title
from maintenance.services.errors import ConflictError
from maintenance.services.seasons.compile import compile_again
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.rebuild import list_difference, rebuild_season_list
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.views.season_list import refuse_elsewhere
from maintenance.web.who import who_works

_CHANGED = (
    "What the list would become changed since you looked: this is the difference now; "
    "nothing was stored."
)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def rebuild(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show what compiling anew would change; rebuild the list that was looked at."""
    account = account_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    if whole.head.closed_at:
        return redirect("season_list", key, list_id)
    compiled = compile_again(account, whole)
    refused = ""
    if request.method == "POST":
        if request.POST.get("seen") == compiled.fingerprint:
            try:
                rebuild_season_list(
                    account,
                    list_id=list_id,
                    compiled=compiled,
                    now=timezone.now(),
                    actor=who_works(request),
                )
            except ConflictError as refusal:
                refused = str(refusal)
            else:
                messages.success(request, "The list is rebuilt; what was done stays.")
                return redirect("season_list", key, list_id)
        else:
            refused = _CHANGED
    numbers = {line.id: line.number for line in whole.steps}
    difference = list_difference(account, list_id=list_id, compiled=compiled)
    context: dict[str, Any] = {
        "head": whole.head,
        "title": list_title(whole.head),
        "difference": difference,
        "differs": len(difference.changed) + len(difference.again),
        "gone": [(numbers.get(e.row or 0), e) for e in difference.gone],
        "changed": [(numbers.get(e.was.row or 0), e) for e in difference.changed],
        "again": [(numbers.get(e.was.row or 0), e) for e in difference.again],
        "kept": [(numbers.get(e.was.row or 0), e) for e in difference.kept],
        "moved": [(numbers.get(e.row or 0), e) for e in difference.moved],
        "seen": compiled.fingerprint,
        "refused": refused,
    }
    status = 409 if refused else 200
    return show_page(request, "season_rebuild.html", context, status=status)
