"""Pages on testers and on gauges: the same four deeds on two lists."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from maintenance.documents.validity_words import standing
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.forms.kit import GaugeForm, TesterForm
from maintenance.web.page import show_page
from maintenance.web.who import who_works


@dataclass(frozen=True, slots=True)
class Kit:
    """One list: what its rows are called, and the verbs of the services.

    ``begins`` is the column with the first day on which one is valid.
    """

    name: str
    begins: str
    form: type[TesterForm] | type[GaugeForm]
    all_rows: Callable[..., Any]
    get: Callable[..., Any]
    store: Callable[..., int]
    set_retired: Callable[..., None]

    @property
    def list_name(self) -> str:
        """The name of the page with the list."""
        return f"{self.name}s"


def show_list(request: HttpRequest, kit: Kit) -> HttpResponse:
    """List the rows, and how the validity of each stands today."""
    today = timezone.now().date()
    rows = kit.all_rows(account_of(request))
    context = {
        "rows": [
            (row, standing(getattr(row, kit.begins), row.ends, today))
            for row in rows
            if row.retired_at is None
        ],
        "retired": [row for row in rows if row.retired_at is not None],
    }
    return show_page(request, f"{kit.list_name}.html", context)


def show_new(request: HttpRequest, kit: Kit) -> HttpResponse:
    """Ask for a new row, and add it."""
    form = kit.form(request.POST if request.method == "POST" else None)
    if request.method == "POST" and _store(request, kit, form):
        return redirect(kit.list_name)
    return _ask(request, kit, form, heading=f"A new {kit.name}")


def show_edit(request: HttpRequest, kit: Kit, kit_id: int) -> HttpResponse:
    """Ask for changes of a row, and store them under the version that was seen."""
    row = kit.get(account_of(request), kit_id=kit_id)
    form = kit.form(
        request.POST if request.method == "POST" else None,
        initial={name: getattr(row, name) for name in kit.form.base_fields},
    )
    given = request.POST.get("version", "")
    version = int(given) if given.isascii() and given.isdigit() else -1
    if request.method == "POST" and _store(
        request, kit, form, kit_id=kit_id, version=version
    ):
        return redirect(kit.list_name)
    return _ask(
        request,
        kit,
        form,
        heading=str(row),
        version=given or row.version,
        retire_at=reverse(f"retire_{kit.name}", args=[kit_id]),
        retired=row.retired_at is not None,
    )


def put_off(request: HttpRequest, kit: Kit, kit_id: int) -> HttpResponse:
    """Take a row off the list, or put it back on it."""
    retired = request.POST.get("put_back") != "yes"
    kit.set_retired(
        account_of(request),
        kit_id=kit_id,
        retired=retired,
        now=timezone.now(),
        actor=who_works(request),
    )
    said = "Taken off the list; it stands below, to be put back."
    messages.success(request, said if retired else "Put back on the list.")
    return redirect(kit.list_name)


def _store(
    request: HttpRequest, kit: Kit, form: TesterForm | GaugeForm, **row: int
) -> bool:
    if not form.is_valid():
        return False
    try:
        kit.store(
            account_of(request),
            stated=form.stated(),
            now=timezone.now(),
            actor=who_works(request),
            **row,
        )
    except NotFoundError:
        raise
    except ServiceError as refusal:
        # What was typed stays in the form, also where someone else was faster.
        form.add_error(None, str(refusal))
        return False
    messages.success(request, "Stored.")
    return True


def _ask(
    request: HttpRequest, kit: Kit, form: TesterForm | GaugeForm, **more: object
) -> HttpResponse:
    context = {
        "form": form,
        "button": "Store",
        "back": reverse(kit.list_name),
        "back_name": kit.list_name.capitalize(),
        **more,
    }
    status = 422 if form.errors else 200
    return show_page(request, "assembly_form.html", context, status=status)
