"""What was written on a printed list is entered on one screen, all of it at once."""

from http import HTTPStatus
from typing import Final
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import END_WORDS, counted, list_title
from maintenance.engine.errors import EngineError
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.seasons.kept_list import WholeList
from maintenance.services.seasons.paper import Entered, enter_from_paper
from maintenance.services.seasons.queries import season_list
from maintenance.templatetags.paper import unit_of
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.paper import PaperEntry, blank_paper, read_paper
from maintenance.web.page import show_page
from maintenance.web.season_units import units_of
from maintenance.web.views.season_list import refuse_elsewhere
from maintenance.web.who import name_kept

STORED_ALREADY: Final = (
    "This paper was stored already: nothing was stored twice. To change a step, take "
    "back what was told of it."
)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def season_paper(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show the form with a line for each step and zone, and store what it holds."""
    account, now = account_of(request), timezone.now()
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    unit = unit_of("pressure", units_of(whole))
    if request.method != "POST":
        paper = blank_paper(whole, unit, str(uuid4()))
        paper.who = name_kept(request)
        return _form(request, whole, paper)
    if _stored_already(whole, request.POST.get("token", "")):
        messages.success(request, STORED_ALREADY)
        return redirect("season_whole", key, list_id)
    paper = read_paper(request.POST.dict(), whole, unit, now=now)
    if paper.to_mend:
        return _form(request, whole, paper, status=422)
    try:
        entered = enter_from_paper(
            account,
            list_id=list_id,
            ticks=paper.ticks,
            zones=paper.ends,
            now=now,
            actor=name_kept(request) or paper.who,
        )
    except NotFoundError:
        raise
    except EngineError as refusal:
        paper.faults.append(str(refusal))
        # What someone else told meanwhile is shown at its line, without a question.
        whole = season_list(account, list_id=list_id)
        conflict = isinstance(refusal, ConflictError)
        return _form(request, whole, paper, status=409 if conflict else 422)
    messages.success(request, _said(entered))
    return redirect("season_whole", key, list_id)


def _stored_already(whole: WholeList, token: str) -> bool:
    """Whether this form was sent before: then all of it is there."""
    return any(
        report.client_id == token
        for line in whole.all_steps
        for report in (line.report, *line.undone)
        if report is not None
    )


def _form(
    request: HttpRequest, whole: WholeList, paper: PaperEntry, *, status: int = 200
) -> HttpResponse:
    told = {line.id: line for line in whole.all_steps if line.report}
    ended = {zone.zone: zone for zone in whole.all_zones if zone.outcome}
    context = {
        "whole": whole,
        "title": list_title(whole.head),
        "paper": paper,
        "steps": [(each, told.get(each.line.id)) for each in paper.steps],
        "told_steps": [line for line in told.values() if not line.gone],
        "conflict": status == HTTPStatus.CONFLICT,
        "zones": [(each, ended.get(each.line.zone)) for each in paper.zones],
        "ends": END_WORDS.items(),
        "left": bool(whole.steps_left or whole.zones_left),
    }
    return show_page(request, "season_paper.html", context, status=status)


def _said(entered: Entered) -> str:
    parts = [
        counted(number, what)
        for number, what in ((entered.steps, "step"), (entered.zones, "zone"))
        if number
    ]
    if not parts:
        return STORED_ALREADY
    return f"Stored from paper: {' and '.join(parts)}."
