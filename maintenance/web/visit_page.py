"""The page of one visit, as it is and as it was refused; and small things of its forms."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from maintenance.services.visits.one_visit import whole_visit
from maintenance.services.visits.words import OUTCOMES, SEASONS
from maintenance.web.access.notes import may_see_access
from maintenance.web.access.viewer import account_of
from maintenance.web.forms.visit import FindingForm
from maintenance.web.forms.visit_report import ReportForm
from maintenance.web.page import show_page
from maintenance.web.who import name_kept

NO_VERSION: Final = -1
"""A form without its version was made by nobody here: it is refused as an old one."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """What was refused on the page: in which part, why, and what was typed there."""

    at: str
    text: str
    typed: Mapping[str, str]


def show_visit(
    request: HttpRequest,
    visit_id: int,
    *,
    refusal: Refusal | None = None,
    report: ReportForm | None = None,
    finding: FindingForm | None = None,
    status: int = 200,
) -> HttpResponse:
    """Answer with the page of a visit."""
    whole = whole_visit(account_of(request), visit_id=visit_id)
    row = whole.row
    context: dict[str, Any] = {
        "whole": whole,
        "visit": row,
        "site": row.site,
        "private": may_see_access(request),
        "access": (row.site.record.get("card") or {}).get("access") or "",
        "site_notes": row.site.record.get("notes") or (),
        "season": SEASONS.get(row.kind, ""),
        "report": report or ReportForm(None, visit=row),
        "finding": finding or FindingForm(),
        "outcomes": outcomes_for(row.state),
        "refusal": refusal,
        "zone": row.site.time_zone or "UTC",
        "today": timezone.localdate(),
        "who": name_kept(request),
    }
    return show_page(request, "visit.html", context, status=status)


def outcomes_for(state: str) -> list[tuple[str, str]]:
    """Return how a visit can end: one that nobody began, only without work."""
    on_site = ("done", "partly", "not_found")
    return [
        (key, words)
        for key, words in OUTCOMES.items()
        if state == "under_way" or key not in on_site
    ]


def version_in(request: HttpRequest) -> int:
    """Return the version that a form was made from."""
    text = request.POST.get("version", "")
    fine = text.isascii() and text.isdigit() and len(text) <= 9
    return int(text) if fine else NO_VERSION


def text_in(request: HttpRequest, name: str) -> str:
    """Return a text of several lines, its line ends as they are kept."""
    return request.POST.get(name, "").replace("\r\n", "\n").strip()
