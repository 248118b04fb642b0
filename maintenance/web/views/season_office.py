"""The office's view of the season: every open list, and one list with its figures."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.documents.season_words import (
    counted,
    list_title,
    listed,
    progress_words,
    season_name,
)
from maintenance.documents.used_sheet import UsedRow, used_rows
from maintenance.services.inventory import queries
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.kept_list import StepLine, WholeList
from maintenance.services.seasons.office import OfficeLine, office_lines
from maintenance.services.seasons.queries import season_list
from maintenance.templatetags.paper import unit_of
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.season_units import units_of
from maintenance.web.views.season_list import refuse_elsewhere
from maintenance.web.views.season_print import checked_words

NAMED = 4
"""So many zones without an outcome are named; the rest is counted."""


@dataclass(frozen=True, slots=True)
class _Row:
    """An open list as the office reads it."""

    line: OfficeLine
    title: str
    progress: str
    without: str


@dataclass(frozen=True, slots=True)
class _Used:
    """A row of the sheet that was used, beside what was read and timed at it."""

    used: UsedRow
    name: str
    step: StepLine | None
    told: str


@require_safe
@answered
def season_office(request: HttpRequest) -> HttpResponse:
    """Show what is carried out where, how far it is, what blocks it and who was there."""
    account = account_of(request)
    lines = office_lines(account)
    busy = {line.head.site_key for line in lines}
    sites = [s for s in queries.sites(account) if not s.retired and s.key not in busy]
    rows = [
        _Row(
            line=line,
            title=list_title(line.head),
            progress=progress_words(line.whole),
            without=_without(line.whole),
        )
        for line in lines
    ]
    context = {"rows": rows, "answer": _answer(lines), "idle": sites}
    return show_page(request, "season_office.html", context)


@require_safe
@answered
def season_whole(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show one list whole: every outcome, the figures that it used, what was read."""
    account = account_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    site = queries.site(account, key=key)
    units = units_of(whole)
    sheet = sheet_used(account, list_id=list_id)
    context: dict[str, Any] = {
        "whole": whole,
        "title": list_title(whole.head),
        "name": season_name(whole.head.season),
        "progress": progress_words(whole),
        "checked": checked_words(site, whole),
        "sheet": sheet,
        "used": _used(whole, used_rows(sheet, units)),
        "unit": unit_of("pressure", units),
        "undone": [line for line in whole.all_steps if line.undone],
    }
    return show_page(request, "season_whole.html", context)


def _used(whole: WholeList, rows: dict[str, UsedRow]) -> list[_Used]:
    """Put each row of the sheet beside the step that blows it, in the list's order."""
    units = units_of(whole)
    blown = {
        line.step.row: line
        for line in whole.steps
        if line.step.row and line.step.act == "blow" and not line.gone
    }
    names = {zone.zone: zone.name for zone in whole.all_zones}
    order = [key for key in blown if key in rows] + [k for k in rows if k not in blown]
    found = []
    for key in order:
        step = blown.get(key)
        told = ""
        if step is not None and step.report is not None:
            told = rows[key].beside(step.report.reading, units)
        found.append(_Used(rows[key], names.get(key, ""), step, told))
    return found


def _without(whole: WholeList) -> str:
    """Say what has no outcome: steps by number, zones by name."""
    steps, zones = whole.steps_left, whole.zones_left
    parts = [counted(len(steps), "step")] if steps else []
    if zones:
        named = ", ".join(zone.zone for zone in zones[:NAMED])
        more = f" and {len(zones) - NAMED} more" if len(zones) > NAMED else ""
        parts.append(f"zone{'' if len(zones) == 1 else 's'} {named}{more}")
    return listed(parts) if parts else "nothing: it can be closed"


def _answer(lines: list[OfficeLine]) -> str:
    if not lines:
        return "No list is open."
    sites = len({line.head.site_key for line in lines})
    blocked = sum(bool(line.blocked) for line in lines)
    ready = sum(not (e.whole.steps_left or e.whole.zones_left) for e in lines)
    text = f"{counted(len(lines), 'list')} open at {counted(sites, 'site')}"
    text += f"; {blocked} blocked" if blocked else "; none is blocked"
    return f"{text}{f', {ready} ready to be closed' if ready else ''}."
