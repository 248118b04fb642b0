"""A person's own affairs: their accounts, their way in, an invitation they got."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.people.accept import (
    accept_as_known,
    accept_as_new,
    has_user,
)
from maintenance.services.people.invite import find_invitation
from maintenance.services.people.roles import IN_WORDS
from maintenance.services.people.standing import accounts_of_user
from maintenance.web.access.adapter import sign_in
from maintenance.web.access.viewer import CHOSEN
from maintenance.web.feedback import answered
from maintenance.web.forms.people import JoinForm, NameForm
from maintenance.web.page import show_page
from maintenance.web.undo import forget_undo


@require_safe
@answered
def you(request: HttpRequest) -> HttpResponse:
    """Show the person's accounts and the ways to sign in."""
    lines = accounts_of_user(request.user.pk or 0)
    context = {"lines": [(line, IN_WORDS[line.role]) for line in lines]}
    return show_page(request, "people_you.html", context)


@require_POST
@answered
def choose_account(request: HttpRequest) -> HttpResponse:
    """Work in another of the person's accounts."""
    key = request.POST.get("account", "")
    lines = accounts_of_user(request.user.pk or 0)
    line = next((line for line in lines if line.key == key), None)
    if line is None:
        raise NotFoundError("You belong to no such account.")
    request.session[CHOSEN] = line.key
    forget_undo(request)  # it holds parts of a site of the account left behind
    messages.success(request, f"You work in {line.name} now.")
    return redirect("home")


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def invitation(request: HttpRequest, secret: str) -> HttpResponse:
    """Accept an invitation: with a new sign-in, or with the one that is there."""
    line = find_invitation(secret, now=timezone.now())
    known = request.user.is_authenticated
    ask = NameForm if known else JoinForm
    form = ask(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            answer = _accepted(request, secret, form, line.email)
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"Welcome. You belong to {line.account} now.")
            return answer
    context = {
        "line": line,
        "role": IN_WORDS[line.role],
        "form": form,
        "sign_in_first": not known and has_user(line.email),
    }
    status = 422 if form.errors else 200
    return show_page(request, "people_invitation.html", context, status=status)


def _accepted(
    request: HttpRequest, secret: str, form: NameForm, email: str
) -> HttpResponse:
    name, now = form.cleaned_data["name"], timezone.now()
    if request.user.is_authenticated and request.user.pk:
        accept_as_known(secret, user_id=request.user.pk, name=name, now=now)
        return redirect("home")
    password = form.cleaned_data["password"]
    user_id = accept_as_new(secret, name=name, password=password, now=now)
    return sign_in(request, user_id, email=email)
