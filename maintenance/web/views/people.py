"""The people of an account: who they are, the account's name, all of it to take away."""

from typing import Any

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.account_archive import account_archive
from maintenance.services.inventory.queries import sites
from maintenance.services.people.invite import waiting_invitations
from maintenance.services.people.members import change_account, former_members, members
from maintenance.services.people.roles import IN_WORDS
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.forms.people import AccountForm
from maintenance.web.page import show_page


@require_safe
@answered
def people(request: HttpRequest) -> HttpResponse:
    """List the members and the invitations that wait."""
    return _show(request)


@require_POST
@answered
def change(request: HttpRequest) -> HttpResponse:
    """Store the account's name and whose sites it keeps."""
    form = AccountForm(request.POST)
    if not form.is_valid():
        return _show(request, form=form)
    change_account(
        account_of(request),
        name=form.cleaned_data["name"],
        kind=form.cleaned_data["kind"],
        now=timezone.now(),
        actor=actor_of(request),
    )
    messages.success(request, "Stored.")
    return redirect("people")


@require_POST
def export(request: HttpRequest) -> FileResponse:
    """Hand out everything that the account keeps, as one file."""
    stream = account_archive(account_of(request))
    name = f"everything-{timezone.now():%Y-%m-%d}.zip"
    return FileResponse(stream, as_attachment=True, filename=name)


def _show(request: HttpRequest, *, form: AccountForm | None = None) -> HttpResponse:
    account = account_of(request)
    names = {line.key: line.name for line in sites(account)}
    given = {"name": account.name, "kind": account.kind}
    context: dict[str, Any] = {
        "members": [
            (line, IN_WORDS[line.role], [names[key] for key in line.site_keys])
            for line in members(account)
        ],
        "gone": former_members(account),
        "invitations": [
            (line, IN_WORDS[line.role])
            for line in waiting_invitations(account, now=timezone.now())
        ],
        "form": form or AccountForm(initial=given),
    }
    return show_page(request, "people.html", context, status=422 if form else 200)
