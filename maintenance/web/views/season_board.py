"""The board of a season: every site with its outcome, those without one on top."""

from datetime import date
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.services.errors import ServiceError
from maintenance.services.seasons.open_list import FIRST_YEAR, LAST_YEAR
from maintenance.services.visits import board
from maintenance.services.visits.words import SEASONS
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page

LINES: Final = 200
"""On one page; more than anybody reads."""
GROUPS: Final = (
    ("", "all sites"),
    ("without", "without an outcome"),
    ("again", "to go back to"),
    ("settled", "settled"),
)
SUMMER: Final = range(3, 8)
"""Months in which the start-up is looked at first; in all others the shutdown."""


@require_safe
@answered
def season_board(request: HttpRequest) -> HttpResponse:
    """Show how each site ends a season."""
    season, year = asked_season(request, timezone.localdate())
    found = board.season_board(account_of(request), season=season, year=year)
    asked = request.GET.get("show", "")
    group = asked if asked in board.GROUPS else ""
    lines = list(board.shown_lines(found, group))
    at = _page(request, -(-len(lines) // LINES))
    context = {
        "board": found,
        "season": season,
        "season_words": SEASONS[season],
        "seasons": SEASONS.items(),
        "year": year,
        "groups": GROUPS,
        "group": group,
        "lines": lines[(at - 1) * LINES : at * LINES],
        "shown": len(lines),
        "at": at,
        "next": at + 1 if at * LINES < len(lines) else 0,
        "again": found.count("again"),
        "settled": found.count("settled"),
    }
    return show_page(request, "season_board.html", context)


def asked_season(request: HttpRequest, today: date) -> tuple[str, int]:
    """Return the season and year asked for, else those of this time of the year."""
    usual = "startup" if today.month in SUMMER else "shutdown"
    season = request.GET.get("season", "") or usual
    # In the first months it is last autumn's shutdown that is looked back at.
    this = today.year - 1 if season == "shutdown" and today.month < 3 else today.year
    text = request.GET.get("year", "") or str(this)
    fine = text.isascii() and text.isdigit() and len(text) == 4
    if season not in SEASONS or not fine or not FIRST_YEAR <= int(text) <= LAST_YEAR:
        raise ServiceError("Choose a season and a year such as 2026.")
    return season, int(text)


def _page(request: HttpRequest, last: int) -> int:
    text = request.GET.get("page", "1")
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 1
    return max(1, min(number, last))
