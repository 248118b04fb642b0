"""What befell an assembly is told here, and taken back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.documents.rule_words import in_days, rule_words
from maintenance.services.backflow.assembly_page import assembly_record
from maintenance.services.backflow.assembly_rows import get_assembly
from maintenance.services.backflow.due import DueLine
from maintenance.services.backflow.events import record_event, take_back_event
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.assembly_event import EventForm
from maintenance.web.page import show_page
from maintenance.web.views.assemblies import described
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def tell(request: HttpRequest, key: str, link: str, device_id: int) -> HttpResponse:
    """Ask what happened, store it, and say what follows from it."""
    account, now = account_of(request), timezone.now()
    where = {"site_key": key, "link": link, "device_id": device_id}
    record = assembly_record(account, **where, now=now)  # type: ignore[arg-type]
    form = EventForm(
        request.POST if request.method == "POST" else None,
        kind=request.GET.get("kind", ""),
        today=record.today,
    )
    if request.method == "POST" and form.is_valid():
        try:
            record_event(
                account,
                device_id=record.line.device_id,
                told=form.happened(),
                now=now,
                actor=who_works(request),
            )
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            after = assembly_record(account, **where, now=now)  # type: ignore[arg-type]
            messages.success(request, _stored(after.due))
            return redirect("one_assembly", key, link, device_id)
    context = {
        **described(record),
        "form": form,
        "heading": f"What happened to {link}",
        "button": "Store",
        "lead": (
            "Some rules ask for a test after a repair, a frost, or once it is put back: "
            "the page of the assembly then says so. A test is written down as a test."
        ),
    }
    status = 422 if form.errors else 200
    return show_page(request, "assembly_form.html", context, status=status)


@require_POST
@answered
def take_back(
    request: HttpRequest, key: str, link: str, device_id: int, event_id: int
) -> HttpResponse:
    """Take back what was told; it stays in the history."""
    account = account_of(request)
    row = get_assembly(account, site_key=key, link=link, device_id=device_id)
    take_back_event(
        account,
        device_id=row.pk,
        event_id=event_id,
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(request, "Taken back. It stays in the history, marked as such.")
    return redirect("one_assembly", key, link, device_id)


def _stored(due: DueLine) -> str:
    rule = f" {rule_words(due.rule)}." if due.rule else ""
    return f"Stored.{rule} {in_days(due.why)}"
