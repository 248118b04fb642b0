"""All sites by exposure to frost."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.services.weather.queries import outlook_lines
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.freeze_lines import (
    MISSING,
    MOST_SHOWN,
    SHOWN,
    Asked,
    answer_of,
    site_rows,
)
from maintenance.web.page import show_page


@require_safe
@answered
def freeze_office(request: HttpRequest) -> HttpResponse:
    """List the sites, most exposed first, those of which nothing is known last."""
    lines = outlook_lines(account_of(request))
    asked = Asked(request.GET.get("show", ""), request.GET.get("name", "").strip())
    if asked.show not in dict(SHOWN):
        asked = Asked("", asked.name)
    rows = site_rows(lines, asked, now=timezone.now())
    # What nothing is known of is not calm: it stands last, whatever its order.
    rows.sort(key=lambda row: row.level is None)
    shown = rows[:MOST_SHOWN]
    context = {
        "answer": answer_of(lines),
        "any": bool(lines),
        "asked": asked,
        "choices": SHOWN,
        "missing": MISSING,
        "rows": [row for row in shown if row.level is not None],
        "without": [row for row in shown if row.level is None],
        "without_count": sum(row.level is None for row in rows),
        "found": len(rows),
        "hidden": max(0, len(rows) - MOST_SHOWN),
        "most": MOST_SHOWN,
    }
    return show_page(request, "freeze_office.html", context)
