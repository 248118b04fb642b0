"""A rule of one's own is added, or superseded with its next version."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.documents.rule_words import rule_words
from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.engine.errors import InputError
from maintenance.services.backflow.own_rules import (
    add_rule,
    known_rule,
    supersede_rule,
)
from maintenance.services.backflow.rule_table import rule_table
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.own_rule import RuleForm
from maintenance.web.page import show_page
from maintenance.web.who import who_works

_LEAD_NEW = (
    "It counts from today on, beside the other rules of its place; the earliest date "
    "wins. It cannot be edited later, only superseded."
)
_LEAD_NEXT = (
    "The version shown stays as it is and keeps telling what it decided. The new one "
    "counts from today on."
)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new(request: HttpRequest) -> HttpResponse:
    """Add a rule."""
    account = account_of(request)
    form = RuleForm(
        request.POST if request.method == "POST" else None,
        places=rule_table(account).places,
    )

    def store() -> RuleRef:
        return add_rule(
            account,
            name=form.cleaned_data["name"],
            cells=form.cells(),
            now=timezone.now(),
            actor=who_works(request),
        )

    ref = _stored(request, form, store)
    if ref is not None:
        return redirect("rule", ref.id, ref.version)
    return _ask(request, form, "A rule of your own", _LEAD_NEW, reverse("rules"))


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def supersede(request: HttpRequest, rule_id: str, version: int) -> HttpResponse:
    """Put the next version in the place of a rule."""
    account = account_of(request)
    table = rule_table(account)
    known = known_rule(table, RuleRef(rule_id, version))
    form = RuleForm(
        request.POST if request.method == "POST" else None,
        places=table.places,
        former=known.rule,
    )

    def store() -> RuleRef:
        return supersede_rule(
            account,
            ref=known.rule.ref,
            cells=form.cells(),
            ended=form.cleaned_data["ended"],
            now=timezone.now(),
            actor=who_works(request),
        )

    ref = _stored(request, form, store)
    if ref is not None:
        return redirect("rule", ref.id, ref.version)
    heading = f"The next version of {rule_words(known.rule)}"
    back = reverse("rule", args=[rule_id, version])
    return _ask(request, form, heading, _LEAD_NEXT, back)


def _stored(
    request: HttpRequest, form: RuleForm, store: Callable[[], RuleRef]
) -> RuleRef | None:
    if request.method != "POST" or not form.is_valid():
        return None
    try:
        ref = store()
    except InputError as fault:
        form.refuse_input(fault)
    except NotFoundError:
        raise
    except ServiceError as refusal:
        # What was typed stays in the form, also where someone else was faster.
        form.add_error(None, str(refusal))
    else:
        messages.success(request, f"Stored as {ref}.")
        return ref
    return None


def _ask(
    request: HttpRequest, form: RuleForm, heading: str, lead: str, back: str
) -> HttpResponse:
    context = {
        "form": form,
        "heading": heading,
        "lead": lead,
        "button": "Store",
        "back": back,
        "back_name": "Rules",
    }
    status = 422 if form.errors else 200
    return show_page(request, "assembly_form.html", context, status=status)
