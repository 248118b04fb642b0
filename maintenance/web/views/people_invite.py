"""Inviting a person, and taking an invitation back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.services.errors import ServiceError
from maintenance.services.inventory.queries import sites
from maintenance.services.people.invite import (
    invite as make_invitation,
    withdraw_invitation,
)
from maintenance.services.people.letters import send_invitation
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.forms.people import InviteForm
from maintenance.web.page import show_page


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def invite(request: HttpRequest) -> HttpResponse:
    """Ask whom to invite; send the link, and show it this once."""
    account = account_of(request)
    form = InviteForm(
        request.POST if request.method == "POST" else None,
        lines=sites(account),
        customers=account.kind == "contractor",
    )
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        try:
            secret = make_invitation(
                account,
                email=email,
                role=form.cleaned_data["role"],
                site_keys=form.site_keys(),
                now=timezone.now(),
                actor=actor_of(request),
            )
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            link = request.build_absolute_uri(reverse("invitation", args=[secret]))
            sent = send_invitation(
                email=email,
                account=account.name,
                invited_by=actor_of(request),
                link=link,
            )
            context = {"link": link, "sent": sent, "email": email}
            return show_page(request, "people_invited.html", context)
    status = 422 if form.errors else 200
    return show_page(request, "people_invite.html", {"form": form}, status=status)


@require_POST
@answered
def withdraw(request: HttpRequest, invitation: int) -> HttpResponse:
    """Take an invitation back."""
    withdraw_invitation(
        account_of(request),
        invitation=invitation,
        now=timezone.now(),
        actor=actor_of(request),
    )
    messages.success(request, "Taken back: its link leads nowhere now.")
    return redirect("people")
