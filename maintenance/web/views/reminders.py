"""What is due, one thing of it, and what a person does about it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.reminders.deeds import (
    ENDS,
    add_obligation,
    end_obligation,
    get_obligation,
    reopen_obligation,
    snooze,
)
from maintenance.services.reminders.queries import (
    coming_about,
    due_row,
    due_rows,
    sent_about,
)
from maintenance.services.reminders.watch import has_looked, watch
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.reminder import NewDueForm, PutOffForm
from maintenance.web.page import show_page
from maintenance.web.reminder_pages import (
    ENDED,
    coming_words,
    days_words,
    doors,
    kind_words,
    sent_line,
    site_choices,
)
from maintenance.web.who import who_works

_SOON_DAYS = 60


@require_safe
@answered
def due(request: HttpRequest) -> HttpResponse:
    """List what is open: overdue, within 60 days, or all of it."""
    account, now = account_of(request), timezone.now()
    everything = request.GET.get("show") == "all"
    rows = due_rows(account, now=now, within_days=None if everything else _SOON_DAYS)
    lines = [(each, days_words(each), kind_words(each.row)) for each in rows]
    late = sum(each.overdue for each in rows)
    context = {
        "doors": doors(request),
        "late": [line for line in lines if line[0].overdue],
        "ahead": [line for line in lines if not line[0].overdue],
        "everything": everything,
        "answer": _answer(len(rows), late, everything=everything),
        "watch": watch(now=now, account=account),
    }
    return show_page(request, "due.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new(request: HttpRequest) -> HttpResponse:
    """Ask for something of one's own that is due, and add it."""
    account = account_of(request)
    form = NewDueForm(
        request.POST if request.method == "POST" else None, sites=site_choices(account)
    )
    if request.method == "POST" and form.is_valid():
        told = form.cleaned_data
        try:
            row = add_obligation(
                account,
                what=told["what"],
                due_on=told["due_on"],
                why=told["why"],
                site_key=told["site"],
                now=timezone.now(),
                actor=who_works(request),
            )
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "Stored. Whoever is reminded is told in time.")
            return redirect("due_one", row.pk)
    context = {"form": form, "refused": form if form.errors else None}
    return show_page(
        request, "due_new.html", context, status=422 if form.errors else 200
    )


@require_safe
@answered
def one(request: HttpRequest, obligation: int) -> HttpResponse:
    """Show one thing: why it is due, what will be sent, what was."""
    return _one(request, obligation, PutOffForm())


@require_POST
@answered
def end(request: HttpRequest, obligation: int) -> HttpResponse:
    """End it with a word."""
    row = end_obligation(
        account_of(request),
        obligation_id=obligation,
        word=request.POST.get("word", ""),
        version=_version(request),
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(
        request, f"Stored: {ENDED[row.ended_as]}. No more is sent about it."
    )
    return redirect("due_one", obligation)


@require_POST
@answered
def reopen(request: HttpRequest, obligation: int) -> HttpResponse:
    """Take its end back."""
    reopen_obligation(
        account_of(request),
        obligation_id=obligation,
        version=_version(request),
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(request, "Open again.")
    return redirect("due_one", obligation)


@require_POST
@answered
def put_off(request: HttpRequest, obligation: int) -> HttpResponse:
    """Let nobody be told before a day."""
    form = PutOffForm(request.POST)
    if form.is_valid():
        try:
            row = snooze(
                account_of(request),
                obligation_id=obligation,
                until=form.cleaned_data["until"],
                version=_version(request),
                now=timezone.now(),
                actor=who_works(request),
            )
        except (ConflictError, NotFoundError):
            raise
        except ServiceError as refusal:
            form.add_error("until", str(refusal))
        else:
            messages.success(
                request, f"Put off: nobody is told before {row.snoozed_until}."
            )
            return redirect("due_one", obligation)
    return _one(request, obligation, form)


def _one(request: HttpRequest, obligation: int, form: PutOffForm) -> HttpResponse:
    account, now = account_of(request), timezone.now()
    row = get_obligation(account, obligation_id=obligation)
    line = due_row(row, now=now)
    context = {
        "row": row,
        "line": line,
        "days": days_words(line),
        "kind": kind_words(row),
        "ended": ENDED.get(row.ended_as, ""),
        "ends": ENDS.items(),
        "form": form,
        "refused": form if form.errors else None,
        "coming": [
            (each, *coming_words(each)) for each in coming_about(account, row, now=now)
        ],
        "sent": [sent_line(each) for each in sent_about(row)],
    }
    return show_page(
        request, "due_one.html", context, status=422 if form.errors else 200
    )


def _version(request: HttpRequest) -> int:
    given = request.POST.get("version", "")
    return int(given) if given.isascii() and given.isdigit() and len(given) < 10 else -1


def _answer(count: int, late: int, *, everything: bool) -> str:
    if not count and not has_looked():
        return (
            "Not known yet: what is due is found soon after the background work began."
        )
    if not count:
        return "Nothing is due." if everything else "Nothing is due within 60 days."
    told = f"{count} thing{'' if count == 1 else 's'}"
    told += " open" if everything else " due within 60 days"
    return f"{told}, {late} of them overdue." if late else f"{told}, none overdue."
