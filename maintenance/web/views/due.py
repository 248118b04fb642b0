"""What is due at all sites: by which rule, in which state; as a page and as a file."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.documents.due_csv import csv_of_due
from maintenance.engine.calendar.window import DEFAULT_WINDOW
from maintenance.services.backflow.due import DUE_STATES, DueLine
from maintenance.services.backflow.due_queries import due_lines
from maintenance.templatetags.backflow import STATES
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page

REPORT = "report"
"""The filter for those whose report, or repair, is still to come."""
_DATED = ("overdue", "due", "due_soon", "open", "early", "before_service")


@dataclass(frozen=True, slots=True)
class Choice:
    """One entry of a filter."""

    key: str
    name: str
    chosen: bool


@require_safe
@answered
def due_list(request: HttpRequest) -> HttpResponse:
    """List what is due."""
    lines, table = due_lines(account_of(request), now=timezone.now())
    shown = _chosen(request, lines)
    places = {line.assembly.stated.place for line in lines} - {""}
    sites = {line.assembly.site_key: line.assembly.site_name for line in lines}
    states = {state: STATES[state] for state in DUE_STATES}
    context = {
        "answer": _answer(shown),
        "total": len(lines),
        "dated": [line for line in shown if line.state in _DATED],
        "unknown": [line for line in shown if line.state == "not_known"],
        "not_required": [line for line in shown if line.state == "not_required"],
        "filters": [
            (
                "state",
                "State",
                _choices(
                    request,
                    "state",
                    [*states.items(), (REPORT, "report or repair to come")],
                ),
            ),
            (
                "place",
                "Place",
                _choices(
                    request, "place", [(p, table.place_name(p)) for p in sorted(places)]
                ),
            ),
            (
                "site",
                "Site",
                _choices(
                    request, "site", sorted(sites.items(), key=lambda pair: pair[1])
                ),
            ),
        ],
        "window": DEFAULT_WINDOW,
        "query": request.GET.urlencode(),
    }
    return show_page(request, "assembly_due.html", context)


@require_safe
@answered
def due_csv(request: HttpRequest) -> HttpResponse:
    """Hand the list out as a file, chosen as on the page."""
    lines, _ = due_lines(account_of(request), now=timezone.now())
    answer = HttpResponse(
        csv_of_due(_chosen(request, lines)), content_type="text/csv; charset=utf-8"
    )
    answer["Content-Disposition"] = 'attachment; filename="backflow-due.csv"'
    return answer


def _chosen(request: HttpRequest, lines: Iterable[DueLine]) -> list[DueLine]:
    state, place, site = (request.GET.get(n, "") for n in ("state", "place", "site"))
    return [
        line
        for line in lines
        if (not state or state == line.state or (state == REPORT and _to_come(line)))
        and (not place or place == line.assembly.stated.place)
        and (not site or site == line.assembly.site_key)
    ]


def _to_come(line: DueLine) -> bool:
    return any(
        each is not None and each.done_on is None for each in (line.report, line.repair)
    )


def _choices(
    request: HttpRequest, name: str, entries: Iterable[tuple[str, str]]
) -> list[Choice]:
    chosen = request.GET.get(name, "")
    return [Choice(key, text, key == chosen) for key, text in entries]


def _answer(lines: list[DueLine]) -> str:
    """Say in a sentence what there is to do."""
    if not lines:
        return ""
    states = [line.state for line in lines]
    reports = sum(
        line.report is not None and line.report.done_on is None for line in lines
    )
    late = sum(
        each is not None and each.over
        for line in lines
        for each in (line.report, line.repair)
    )
    counts = [
        (states.count("overdue"), "overdue"),
        (states.count("due"), "due today"),
        (states.count("due_soon"), "due soon"),
        (states.count("before_service"), "before service"),
        (states.count("not_known"), "not known"),
    ]
    said = ", ".join(f"{n} {word}" for n, word in counts if n)
    text = f"{said[:1].upper()}{said[1:]}." if said else "Nothing is due soon."
    if reports:
        text += f" Reports to hand in: {reports}."
    if late:
        text += f" Deadlines of reports and repairs that are over: {late}."
    return text
