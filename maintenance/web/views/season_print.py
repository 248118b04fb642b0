"""A season's list for paper: to follow at the site, and what to hang up."""

import re

from django.http import HttpRequest, HttpResponse
from django.utils.dateformat import format as date_words
from django.views.decorators.http import require_safe

from maintenance.documents.row_words import minutes
from maintenance.documents.season_print import print_list
from maintenance.documents.season_words import (
    check_words,
    list_title,
    progress_words,
)
from maintenance.documents.used_sheet import used_rows
from maintenance.engine.errors import EngineError
from maintenance.engine.site import Site
from maintenance.services.inventory import queries
from maintenance.services.seasons.checked import check_list
from maintenance.services.seasons.figures import sheet_used
from maintenance.services.seasons.kept_list import WholeList
from maintenance.services.seasons.office import compiled_at
from maintenance.services.seasons.queries import season_list
from maintenance.templatetags.paper import unit_of
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.local_times import zone_of
from maintenance.web.page import show_page
from maintenance.web.readings_asked import meters_of, reading_asked
from maintenance.web.season_units import units_of
from maintenance.web.views.season_list import refuse_elsewhere


@require_safe
@answered
def season_print(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Show a list as it goes on paper, with what stays open on a sheet of its own."""
    account = account_of(request)
    whole = season_list(account, list_id=list_id)
    refuse_elsewhere(whole.head, key)
    site = queries.site(account, key=key)
    units, meters = units_of(whole), meters_of(site)
    rows = used_rows(sheet_used(account, list_id=list_id), units)
    asked = [
        line.id
        for line in whole.all_steps
        if reading_asked(line.step, meters, units) is not None
    ]
    printed = print_list(whole, rows, asked)
    context = {
        "whole": whole,
        "title": list_title(whole.head),
        "printed": printed,
        "takes": minutes(printed.minutes * 60),
        "progress": progress_words(whole) if _begun(whole) else "",
        "checked": checked_words(site, whole),
        "compiled_at": compiled_at(account, list_id=list_id),
        "unit": unit_of("pressure", units),
    }
    return show_page(request, "season_print.html", context)


@require_safe
@answered
def season_print_foot(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    """Hand out the style of the printed foot: site and date stand in it as text.

    The margins of a page take their text from a style sheet alone, and the policy
    of the pages lets none stand inside them.
    """
    account = account_of(request)
    head = season_list(account, list_id=list_id).head
    refuse_elsewhere(head, key)
    day = compiled_at(account, list_id=list_id).astimezone(zone_of(head.time_zone))
    foot = f"{head.site_name}: {list_title(head)}, compiled {date_words(day, 'j M Y')}"
    return HttpResponse(
        f"@page {{ @bottom-left {{ content: {css_text(foot)}; }} }}\n",
        content_type="text/css; charset=utf-8",
        headers={"Cache-Control": "no-store"},
    )


def css_text(text: str) -> str:
    """Write a text as a string of a style sheet, whatever stands in it."""
    plain = re.sub(r"[^A-Za-z0-9 ]", lambda sign: f"\\{ord(sign[0]):X} ", text)
    return f'"{plain}"'


def _begun(whole: WholeList) -> bool:
    steps = any(line.report for line in whole.all_steps)
    return steps or any(zone.outcome for zone in whole.all_zones)


def checked_words(site: Site, whole: WholeList) -> str:
    """Say against how many rules a list was checked, or why it cannot be."""
    try:
        return check_words(check_list(site, whole))
    except EngineError as refusal:
        return f"Not checked: the site is no longer as it was compiled from. {refusal}"
