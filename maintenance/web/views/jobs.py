"""Long jobs: asked for, looked at while they run, called off."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.services.errors import ServiceError
from maintenance.services.inventory.queries import compressors
from maintenance.services.jobs.ask import ask_for_job, cancel_job
from maintenance.services.jobs.build_lists import SEASONS
from maintenance.services.jobs.queries import jobs
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.job_rows import job_row
from maintenance.web.page import show_page
from maintenance.web.who import who_works


@require_safe
@answered
def job_list(request: HttpRequest) -> HttpResponse:
    """List the jobs, newest first, with the forms that ask for one."""
    account = account_of(request)
    lines = jobs(account)
    rows = [job_row(line) for line in lines]
    context = {
        "rows": rows,
        "working": any(line.unfinished for line in lines),
        "seasons": [(name, SEASON_NAMES[name]) for name in SEASONS],
        "year": timezone.now().year,
        "compressors": compressors(account),
    }
    return show_page(request, "jobs.html", context)


@require_POST
@answered
def ask_outlooks(request: HttpRequest) -> HttpResponse:
    """Ask for all outlooks."""
    return _ask(request, "refresh_outlooks", {})


@require_POST
@answered
def ask_lists(request: HttpRequest) -> HttpResponse:
    """Ask for the lists of a season, after a look at what was typed."""
    season, year = request.POST.get("season", ""), request.POST.get("year", "").strip()
    compressor = request.POST.get("compressor", "")
    if season not in SEASONS:
        raise ServiceError("Choose a season for the lists.")
    if not (year.isascii() and year.isdigit() and len(year) == 4):
        raise ServiceError(f'"{year}" is no year of a season: write one like 2026.')
    if compressor and compressor not in {
        each.id for each in compressors(account_of(request))
    }:
        raise ServiceError("Choose a compressor of the list, or none to drain only.")
    asked = {
        "season": season,
        "year": int(year),
        "compressor": compressor if season == "shutdown" else "",
    }
    return _ask(request, "build_lists", asked)


def _ask(request: HttpRequest, kind: str, asked: dict[str, object]) -> HttpResponse:
    actor = actor_of(request) or who_works(request)
    ask_for_job(
        account_of(request),
        kind=kind,
        asked=asked,
        now=timezone.now(),
        actor=actor,
    )
    messages.success(request, "It is at work; this page shows how far it is.")
    return redirect("jobs")


@require_POST
@answered
def cancel(request: HttpRequest, job_id: int) -> HttpResponse:
    """Call a job off."""
    cancel_job(account_of(request), job=job_id, now=timezone.now())
    messages.success(request, "It is called off: what is done stays done.")
    return redirect("jobs")
