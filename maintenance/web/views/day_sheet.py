"""The sheet of one person's day, for paper; how to get in only if it is asked for."""

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.documents.day_sheet import CAUTIONS, day_rows
from maintenance.services.errors import ServiceError
from maintenance.services.visits.day import day_lines, workers_on
from maintenance.web.access.notes import access_on_print, may_see_access
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page


@require_safe
@answered
def day_sheet(request: HttpRequest) -> HttpResponse:
    """Show the sheet of a day for one person or crew; first ask whose."""
    account = account_of(request)
    on = _day(request.GET.get("on", ""))
    workers = workers_on(account, on=on)
    named = request.GET.get("worker")
    worker = named if named is not None else (workers[0][0] if workers else "")
    private = access_on_print(request)
    lines = day_lines(account, on=on, worker=worker)
    context = {
        "on": on,
        "worker": worker,
        "workers": workers,
        "rows": day_rows(lines, private=private),
        "private": private,
        "may_ask": may_see_access(request),
        "cautions": CAUTIONS,
        "today": timezone.localdate(),
    }
    return show_page(request, "day_sheet.html", context)


def _day(text: str) -> date:
    if not text:
        return timezone.localdate()
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise ServiceError(
            f'"{text[:40]}" is no day: write it like 2026-10-04.'
        ) from fault
