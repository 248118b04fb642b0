"""The register of backflow assemblies, and each of them with its whole life."""

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.engine.backflow.readings import DEVICE_WORDS
from maintenance.services.backflow.assembly_page import AssemblyRecord, assembly_record
from maintenance.services.backflow.register import register_lines
from maintenance.services.backflow.removal import if_removed
from maintenance.web.access.viewer import account_of
from maintenance.web.assembly_life import life_of
from maintenance.web.feedback import answered
from maintenance.web.forms.assembly_removal import RemovalForm
from maintenance.web.page import show_page
from maintenance.web.views.sites import line_of

USUALLY_OUT = timedelta(days=180)
"""How long one that is taken out usually stays away: a winter (project choice)."""


@require_safe
@answered
def register(request: HttpRequest) -> HttpResponse:
    """List the assemblies of all sites."""
    lines = register_lines(account_of(request))
    return show_page(request, "assemblies.html", {"lines": lines, "site": None})


@require_safe
@answered
def site_register(request: HttpRequest, key: str) -> HttpResponse:
    """List the assemblies of a site."""
    account = account_of(request)
    context = {
        "site": line_of(account, key),
        "lines": register_lines(account, site_key=key),
    }
    return show_page(request, "assemblies.html", context)


@require_safe
@answered
def assembly(
    request: HttpRequest, key: str, link: str, device_id: int | None = None
) -> HttpResponse:
    """Show one assembly: that which stands at a link, or one that is named."""
    record = assembly_record(
        account_of(request),
        site_key=key,
        link=link,
        device_id=device_id,
        now=timezone.now(),
    )
    context = {
        **described(record),
        "life": life_of(record),
        "shown": [photo for photo in record.photos if photo.removed_at is None],
        "taken_out": [photo for photo in record.photos if photo.removed_at],
    }
    return show_page(request, "assembly.html", context)


@require_safe
@answered
def removal(request: HttpRequest, key: str, link: str, device_id: int) -> HttpResponse:
    """Tell what happens to its dates if it is taken out, and once it is back."""
    record = assembly_record(
        account_of(request),
        site_key=key,
        link=link,
        device_id=device_id,
        now=timezone.now(),
    )
    out = record.line.out_since or record.today
    form = RemovalForm(
        request.GET if request.GET else None,
        taken_out=out,
        put_back=_spring_after(out),
    )
    taken_out, put_back = form.days()
    found = None
    if not form.errors:
        found = if_removed(
            record.assembly,
            [each.rule for each in record.answers if each.rule],
            today=record.today,
            taken_out=taken_out,
            put_back=put_back,
        )
    context = {**described(record), "form": form, "found": found}
    return show_page(
        request, "assembly_removal.html", context, status=422 if form.errors else 200
    )


def described(record: AssemblyRecord) -> dict[str, object]:
    """Return what every page of one assembly shows of it."""
    kind = record.line.kind
    return {
        "record": record,
        "line": record.line,
        "due": record.due,
        "place_name": record.table.place_name(record.assembly.stated.place),
        "kind_words": next((w for k, w in DEVICE_WORDS.items() if k == kind), kind),
    }


def _spring_after(day: date) -> date:
    return day + USUALLY_OUT
