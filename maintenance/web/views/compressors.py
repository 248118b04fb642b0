"""The compressors of the account: list, new, edit, off the list and on again."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.engine.site import Compressor
from maintenance.engine.site.record import Faults, from_record, to_record
from maintenance.exchange.compressor_file import write_compressor
from maintenance.services.inventory.queries import (
    compressor as compressor_of,
    compressor_version,
    compressors as list_compressors,
    retired_compressors,
)
from maintenance.services.inventory.store import (
    restore_compressor,
    retire_compressor,
    store_compressor,
)
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.forms.new_compressor import NewCompressorForm
from maintenance.web.forms.part import PartForm
from maintenance.web.page import hand_out, show_page
from maintenance.web.views.new_site import store_new_compressor

_NEVER_ASKED = frozenset({"format", "id"})


@require_safe
def compressors(request: HttpRequest) -> HttpResponse:
    """List the compressors."""
    account = account_of(request)
    context = {
        "compressors": list_compressors(account),
        "retired": retired_compressors(account),
    }
    return show_page(request, "compressors.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new_compressor(request: HttpRequest) -> HttpResponse:
    """Describe a compressor."""
    form = NewCompressorForm(request.POST if request.method == "POST" else None)
    if (
        request.method == "POST"
        and form.is_valid()
        and store_new_compressor(request, form)
    ):
        messages.success(request, "Stored.")
        return redirect("compressors")
    status = 422 if form.errors else 200
    return show_page(request, "compressor_new.html", {"form": form}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit_compressor(request: HttpRequest, key: str) -> HttpResponse:
    """Change a compressor."""
    account = account_of(request)
    version = compressor_version(account, key=key)
    held = compressor_of(account, key=key)
    form = PartForm(
        Compressor,
        record=to_record(held),
        data=request.POST if request.method == "POST" else None,
        without=_NEVER_ASKED,
    )
    if request.method == "POST" and form.is_valid():
        given = request.POST.get("version", "")
        try:
            store_compressor(
                from_record(Compressor, form.record()),
                account=account,
                now=timezone.now(),
                actor=actor_of(request),
                version=int(given) if given.isascii() and given.isdigit() else -1,
            )
            messages.success(request, "Stored.")
            return redirect("compressors")
        except Faults as refusal:
            form.refuse(refusal.faults)
    context = {
        "held": held,
        "form": form,
        "version": request.POST.get("version", version),
    }
    status = 422 if form.errors else 200
    return show_page(request, "compressor_edit.html", context, status=status)


@require_safe
@answered
def compressor_file(request: HttpRequest, key: str) -> HttpResponse:
    """Hand out the compressor as a file."""
    text = write_compressor(compressor_of(account_of(request), key=key))
    return hand_out(text, name=f"{key}.json")


@require_POST
@answered
def retire(request: HttpRequest, key: str) -> HttpResponse:
    """Take a compressor off the list."""
    retire_compressor(
        account_of(request), key=key, now=timezone.now(), actor=actor_of(request)
    )
    messages.success(request, "Retired. It stands under the list, to be restored.")
    return redirect("compressors")


@require_POST
@answered
def restore(request: HttpRequest, key: str) -> HttpResponse:
    """Put a compressor on the list again."""
    restore_compressor(
        account_of(request), key=key, now=timezone.now(), actor=actor_of(request)
    )
    messages.success(request, "Restored.")
    return redirect("compressors")
