"""Visits at all sites: chosen, page by page; kept choices; the file for invoices."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.day_sheet import AIR
from maintenance.documents.outlook_words import LEVELS
from maintenance.documents.season_words import counted
from maintenance.documents.visits_csv import csv_of_visits
from maintenance.services.visits.air_needs import air_needs_missing, keep_air_needs
from maintenance.services.visits.choose import VisitChoice, choice_of
from maintenance.services.visits.queries import VisitPage, invoice_lines, visit_page
from maintenance.services.visits.saved_filters import (
    forget_filter,
    keep_filter,
    kept_filters,
)
from maintenance.services.visits.words import KINDS, STATES
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.who import who_works

DUES: Final = (
    ("overdue", "overdue"),
    ("today", "today"),
    ("week", "within a week"),
    ("undated", "without a day"),
)


@dataclass(frozen=True, slots=True)
class Option:
    """One entry of a list to choose from."""

    key: str
    name: str
    chosen: bool


@require_safe
@answered
def visit_list(request: HttpRequest) -> HttpResponse:
    """List the visits that are asked for, fifty to a page."""
    account, today = account_of(request), timezone.localdate()
    choice = choice_of(request.GET.dict())
    found = visit_page(account, choice, today=today)
    kept = kept_filters(account)
    context = {
        "choice": choice,
        "found": found,
        "answer": _answer(choice, found),
        "filters": _filters(choice),
        "kept": kept,
        "here": next((each for each in kept if each.question == choice.question), None),
        "today": today,
        "next": f"{choice.question}&after={found.next.after}".lstrip("&")
        if found.next
        else "",
    }
    return show_page(request, "visit_list.html", context)


@require_safe
@answered
def export(request: HttpRequest) -> HttpResponse:
    """Hand the chosen visits out as a file, all pages of them."""
    choice = choice_of({**request.GET.dict(), "after": ""})
    lines = invoice_lines(account_of(request), choice, today=timezone.localdate())
    answer = HttpResponse(csv_of_visits(lines), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="visits.csv"'
    return answer


@require_POST
@answered
def keep(request: HttpRequest) -> HttpResponse:
    """Keep a choice under a name."""
    choice = choice_of(request.POST.dict())
    keep_filter(
        account_of(request),
        name=request.POST.get("name", ""),
        choice=choice,
        now=timezone.now(),
        actor=who_works(request),
    )
    return redirect(f"{reverse('visit_list')}?{choice.question}")


@require_POST
@answered
def forget(request: HttpRequest, filter_id: int) -> HttpResponse:
    """Forget a choice."""
    forget_filter(account_of(request), filter_id=filter_id)
    return redirect("visit_list")


@require_POST
@answered
def air(request: HttpRequest) -> HttpResponse:
    """Work out what compressors some sites need; each press does some."""
    account = account_of(request)
    count = keep_air_needs(account, now=timezone.now())
    left = air_needs_missing(account)
    more = f"Still to do: {left}, press again." if left else "None is left."
    messages.success(request, f"Worked out for {counted(count, 'site')}. {more}")
    return redirect("visit_list")


def _filters(choice: VisitChoice) -> list[tuple[str, str, list[Option]]]:
    # The state that is asked for by itself stands first and is no "all".
    states = [*STATES.items(), ("all", "all")]
    return [
        ("state", "State", _options(choice.state, states)),
        ("kind", "What for", _all(choice.kind, KINDS.items())),
        ("due", "Due", _all(choice.due, DUES)),
        (
            "frost",
            "Frost, at least",
            _all(choice.frost, [(str(n), LEVELS[n]) for n in (1, 2, 3, 4)]),
        ),
        ("air", "Compressor needed", _all(choice.air, AIR.items())),
    ]


def _all(chosen: str, entries: Iterable[tuple[str, str]]) -> list[Option]:
    return _options(chosen, [("", "all"), *entries])


def _options(chosen: str, entries: Iterable[tuple[str, str]]) -> list[Option]:
    return [Option(key, name, key == chosen) for key, name in entries]


def _answer(choice: VisitChoice, found: VisitPage) -> str:
    if not (found.lines or found.under_way or choice.question or found.undated):
        return "No visit is planned."
    shown = len(found.lines)
    more = " and more" if found.next else ""
    what = "visit" if shown == 1 and not more else "visits"
    state = what if choice.state == "all" else f"{what} {STATES[choice.state]}"
    text = f"{shown}{more} {state} here."
    if found.under_way:
        text = f"{len(found.under_way)} under way now. {text}"
    return text
