"""Many sites roll over into a season on one page: same, changed, sold, stopped."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.season_words import counted
from maintenance.engine.errors import EngineError
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.visits.roll_over import (
    RollLine,
    Stated,
    roll_lines,
    state_seasons,
)
from maintenance.services.visits.words import SEASONS, STANDINGS
from maintenance.web.access.viewer import account_of
from maintenance.web.addresses import in_query
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.views.season_board import asked_season
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def roll_over(request: HttpRequest) -> HttpResponse:
    """Ask of each site how it stands in the season, and store all answers at once."""
    account = account_of(request)
    season, year = asked_season(request, timezone.localdate())
    after = request.GET.get("after", "").replace("\x00", "")
    lines, next_ = roll_lines(account, season=season, year=year, after=after)
    refused, typed = "", None
    if request.method == "POST":
        typed = request.POST
        try:
            count, visits = state_seasons(
                account,
                season=season,
                year=year,
                stated=_stated(typed, lines),
                plan="plan" in typed,
                now=timezone.now(),
                actor=who_works(request),
            )
        except (ConflictError, NotFoundError):
            raise
        except EngineError as refusal:
            refused = str(refusal)
        else:
            told = f"Stated for {counted(count, 'site')}."
            if visits:
                told += f" Planned, without a day yet: {counted(visits, 'visit')}."
            messages.success(request, told)
            last = next_ or after
            asked = f"season={season}&year={year}&after={in_query(last)}"
            return redirect(f"{reverse('roll_over')}?{asked}")
    context = {
        "rows": [_row(at, line, typed) for at, line in enumerate(lines)],
        "season": season,
        "season_words": SEASONS[season],
        "seasons": SEASONS.items(),
        "year": year,
        "before": year - 1,
        "standings": STANDINGS.items(),
        "after": after,
        "next": next_,
        "refused": refused,
    }
    return show_page(request, "roll_over.html", context, status=422 if refused else 200)


def _stated(typed: QueryDict, lines: list[RollLine]) -> list[Stated]:
    """Return what was chosen; ``rest`` states the others of the page as the same."""
    rest = "same" if "rest" in typed else ""
    found = []
    for at, line in enumerate(lines):
        key = typed.get(f"site-{at}", line.site_key)
        standing = typed.get(f"standing-{at}", "") or rest
        version = typed.get(f"version-{at}", "0")
        if standing:
            found.append(
                Stated(
                    site_key=key,
                    standing=standing,
                    note=typed.get(f"note-{at}", ""),
                    version=int(version) if version.isdecimal() else -1,
                )
            )
    return found


def _row(at: int, line: RollLine, typed: QueryDict | None) -> dict[str, object]:
    """Return a line with what was typed in it, where the page was refused."""
    told: QueryDict | dict[str, str] = typed or {}
    return {
        "line": line,
        "standing": told.get(f"standing-{at}", line.standing),
        "note": told.get(f"note-{at}", line.note),
    }
