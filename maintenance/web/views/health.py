"""Whether all runs: a page for people, an address for a monitor."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.services.health import as_json, look_at_all
from maintenance.services.reminders.watch import watch
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page

NAMES = {
    "database": "Database",
    "migrations": "Tables",
    "broker": "Queue",
    "beat": "Background work",
    "reminders": "Reminders",
    "disk": "Disk",
}


@require_safe
def healthz(_request: HttpRequest) -> HttpResponse:
    """Answer 200 where all is well and 503 where not; nothing of any account."""
    told = as_json(look_at_all(now=timezone.now()))
    answer = JsonResponse(told, status=200 if told["well"] else 503)
    answer["Cache-Control"] = "no-store"
    return answer


@require_safe
@answered
def health(request: HttpRequest) -> HttpResponse:
    """Show what was looked at, and how the reminders of the account go."""
    now = timezone.now()
    signs = look_at_all(now=now)
    context = {
        "rows": [(NAMES[sign.name], sign) for sign in signs],
        "well": all(sign.well for sign in signs),
        "watch": watch(now=now, account=account_of(request)),
    }
    return show_page(request, "health.html", context)
