"""What is known of an assembly beside the site file is stated here."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.engine.errors import InputError
from maintenance.services.backflow.assembly_page import assembly_record
from maintenance.services.backflow.facts import store_facts
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.assembly_facts import FactsForm
from maintenance.web.page import show_page
from maintenance.web.views.assemblies import described
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def facts(request: HttpRequest, key: str, link: str, device_id: int) -> HttpResponse:
    """Ask for the facts, and store them under the version that was seen."""
    account, now = account_of(request), timezone.now()
    record = assembly_record(
        account, site_key=key, link=link, device_id=device_id, now=now
    )
    form = FactsForm(
        request.POST if request.method == "POST" else None,
        stated=record.assembly.stated,
        places=record.table.places,
    )
    given = request.POST.get("version", "")
    if request.method == "POST" and form.is_valid():
        try:
            store_facts(
                account,
                device_id=record.line.device_id,
                stated=form.facts(),
                version=int(given) if given.isascii() and given.isdigit() else -1,
                now=now,
                actor=who_works(request),
            )
        except InputError as fault:
            form.refuse_input(fault)
        except (ConflictError, NotFoundError):
            raise
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "Stored.")
            return redirect("one_assembly", key, link, device_id)
    context = {
        **described(record),
        "form": form,
        "heading": f"Facts of {link}",
        "version": given or record.facts_version,
        "button": "Store",
        "lead": (
            "Leave open what you don’t know: then more rules count, and a date can come "
            "earlier but not later."
        ),
    }
    status = 422 if form.errors else 200
    return show_page(request, "assembly_form.html", context, status=status)
