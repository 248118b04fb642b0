"""One member: role and sites, taken out, erased."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.queries import sites
from maintenance.services.people.erase import ERASED, erase_member, named_on
from maintenance.services.people.members import (
    MemberLine,
    change_role,
    former_members,
    members,
    remove_member,
)
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.forms.people import RoleForm
from maintenance.web.page import show_page


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def member(request: HttpRequest, member: str) -> HttpResponse:
    """Change what a member may do."""
    account, line = account_of(request), _line(request, member)
    form = RoleForm(
        request.POST if request.method == "POST" else None,
        initial={"role": line.role, "sites": list(line.site_keys)},
        lines=sites(account),
        customers=account.kind == "contractor",
    )
    if request.method == "POST" and form.is_valid():
        try:
            change_role(
                account,
                member=member,
                role=form.cleaned_data["role"],
                site_keys=form.site_keys(),
                now=timezone.now(),
                actor=actor_of(request),
            )
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"Stored: {line.name} is {_a(form)} now.")
            return redirect("people")
    context = {"line": line, "form": form}
    status = 422 if form.errors else 200
    return show_page(request, "people_member.html", context, status=status)


@require_POST
@answered
def remove(request: HttpRequest, member: str) -> HttpResponse:
    """Take a member out; what they recorded stays under their name."""
    line = _line(request, member)
    remove_member(
        account_of(request), member=member, now=timezone.now(), actor=actor_of(request)
    )
    messages.success(request, f"{line.name} sees nothing of this account any more.")
    return redirect("people")


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def erase(request: HttpRequest, member: str) -> HttpResponse:
    """Say what erasing does, then do it."""
    account = account_of(request)
    line = _line(request, member, or_gone=True)
    if request.method == "POST":
        erase_member(
            account, member=member, now=timezone.now(), actor=actor_of(request)
        )
        messages.success(request, f"Erased. On records now stands: {ERASED}.")
        return redirect("people")
    context = {
        "line": line,
        "named": named_on(account, member=member),
        "erased": ERASED,
    }
    return show_page(request, "people_erase.html", context)


def _line(request: HttpRequest, member: str, *, or_gone: bool = False) -> MemberLine:
    account = account_of(request)
    lines = members(account) + (former_members(account) if or_gone else [])
    for line in lines:
        if line.key == member:
            return line
    raise NotFoundError("There is no such person here: see the list of people.")


def _a(form: RoleForm) -> str:
    role = form.cleaned_data["role"]
    return f"an {role}" if role[0] in "aeiou" else f"a {role}"
