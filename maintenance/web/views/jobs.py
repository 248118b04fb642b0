"""Long jobs: asked for, looked at while they run, called off."""

from collections.abc import Mapping
from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.test_report_pack import pack_name, pack_stream
from maintenance.documents.test_report_pdf import PAPERS, check_pdf
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.queries import compressors
from maintenance.services.jobs.ask import ask_for_job, cancel_job
from maintenance.services.jobs.build_lists import SEASONS
from maintenance.services.jobs.packs import open_pack
from maintenance.services.jobs.queries import jobs
from maintenance.services.jobs.values import PACK
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.job_rows import job_row
from maintenance.web.page import show_page
from maintenance.web.units import system_of
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
        "first": timezone.localdate().replace(month=1, day=1),
        "last": timezone.localdate().replace(month=12, day=31),
        "paper": PAPERS[system_of(request)],
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


@require_POST
@answered
def ask_reports(request: HttpRequest) -> HttpResponse:
    """Ask for the test reports of a period, if PDF files can be made at all."""
    first = _day(request.POST.get("first", ""))
    last = _day(request.POST.get("last", ""))
    if last < first:
        raise ServiceError(
            f"The period would end on {last}, before it begins on {first}: write the "
            "earlier day first."
        )
    check_pdf()
    asked = {
        "first": first.isoformat(),
        "last": last.isoformat(),
        "paper": PAPERS[system_of(request)],
    }
    return _ask(request, PACK, asked)


@require_safe
@answered
def pack(request: HttpRequest, pack_id: int) -> StreamingHttpResponse:
    """Hand out the reports that a job has printed, as they come."""
    found = open_pack(account_of(request), job=pack_id)
    answer = StreamingHttpResponse(pack_stream(found), content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="{pack_name(found)}"'
    answer["Cache-Control"] = "private, no-store"
    return answer


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as fault:
        raise ServiceError(
            f'"{text[:40]}" is no day: write it like 2026-04-15.'
        ) from fault


def _ask(request: HttpRequest, kind: str, asked: Mapping[str, object]) -> HttpResponse:
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
