"""A season is closed: what has no outcome is named, then nothing changes any more."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import list_title, progress_words
from maintenance.engine.errors import EngineError
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.season_marks import marks_of
from maintenance.web.views.season_list import refuse_elsewhere
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def close(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show what will stand of a season, and close it."""
    account = account_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    refused, status = "", 200
    if request.method == "POST":
        try:
            close_season_list(
                account, list_id=list_id, now=timezone.now(), actor=who_works(request)
            )
        except NotFoundError:
            raise
        except EngineError as refusal:
            refused = str(refusal)
            status = 409 if isinstance(refusal, ConflictError) else 422
        else:
            messages.success(request, "The season is closed. Nothing is lost of it.")
            return redirect("season_list", key, list_id)
    if whole.head.closed_at and not refused:
        return redirect("season_list", key, list_id)
    skipped = [s for s in whole.steps if s.report and s.report.outcome == "skipped"]
    context: dict[str, Any] = {
        "head": whole.head,
        "whole": whole,
        "title": list_title(whole.head),
        "progress": progress_words(whole),
        "marks": marks_of(inventory.site(account, key=key), whole),
        "skipped": skipped,
        "not_done": [z for z in whole.zones if z.outcome not in (None, "done")],
        "unsure": whole.reached.unsure,
        "refused": refused,
    }
    return show_page(request, "season_close.html", context, status=status)
