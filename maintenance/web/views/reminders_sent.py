"""What will be sent, and what was, with every attempt."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.services.reminders.deeds import send_again
from maintenance.services.reminders.queries import (
    AHEAD_DAYS,
    PAGE,
    coming as coming_rows,
    sent as sent_rows,
)
from maintenance.services.reminders.watch import watch
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.reminder_pages import (
    coming_lines,
    doors,
    reaches_nobody,
    sent_line,
)

_NEEDS_SOMEONE = ("failed", "uncertain")


@require_safe
@answered
def coming(request: HttpRequest) -> HttpResponse:
    """Show what will be sent within 60 days, to whom and when."""
    ahead = coming_rows(account_of(request), now=timezone.now())
    context = {
        "doors": doors(request),
        "days": AHEAD_DAYS,
        "rows": coming_lines(ahead.rows),
        "count": len(ahead.rows),
        "more": ahead.more,
        "nobody": reaches_nobody(),
    }
    return show_page(request, "reminders_coming.html", context)


@require_safe
@answered
def sent(request: HttpRequest) -> HttpResponse:
    """Show what was sent, the newest first, a page at a time."""
    account, needing = account_of(request), "needs" in request.GET
    given = request.GET.get("before", "")
    before = (
        int(given) if given.isascii() and given.isdigit() and len(given) < 19 else None
    )
    rows = sent_rows(account, before=before, states=_NEEDS_SOMEONE if needing else ())
    context = {
        "doors": doors(request),
        "lines": [sent_line(row) for row in rows[:PAGE]],
        "older": rows[PAGE - 1].pk if len(rows) > PAGE else None,
        "needing": needing,
        "watch": watch(now=timezone.now(), account=account),
        "nobody": reaches_nobody(),
    }
    return show_page(request, "reminders_sent.html", context)


@require_POST
@answered
def again(request: HttpRequest, message: int) -> HttpResponse:
    """Send one more time what failed or is uncertain."""
    send_again(account_of(request), message_id=message)
    messages.success(request, "It goes out once more within a few minutes.")
    return redirect("reminders_sent")
