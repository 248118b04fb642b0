"""A field test being written down: saved as typed, judged at once, signed."""

import re
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.engine.errors import EngineError
from maintenance.services.backflow.drafts import (
    Typed,
    begin_test,
    drop_draft,
    get_draft,
    save_draft,
    take_up_draft,
)
from maintenance.services.backflow.sign import sign_test
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of, accounts_on
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.test_sheet_page import Refusal, sheet_context, verdict_context
from maintenance.web.who import LONGEST, keep_name, name_kept, who_works

if TYPE_CHECKING:
    from maintenance.models import Account

_NUMBER: Final = re.compile(r"[0-9]{1,9}", re.ASCII)


@require_POST
@answered
def begin(request: HttpRequest, key: str, link: str) -> HttpResponse:
    """Begin the test of an assembly, or go on with its draft."""
    draft_id = begin_test(
        account_of(request),
        site_key=key,
        link=link,
        now=timezone.now(),
        actor=who_works(request),
    )
    return redirect("test_draft", draft_id)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def draft(request: HttpRequest, draft_id: int) -> HttpResponse:
    """Show a draft, or save what was typed into it."""
    account = account_of(request)
    if request.method != "POST":
        if get_draft(account, draft_id).signed_at is not None:
            return redirect("test_record", draft_id)
        return _show(request, account, draft_id)
    typed = typed_in(request)

    def save() -> HttpResponse:
        save_draft(
            account,
            draft_id=draft_id,
            version=_version(request),
            typed=typed,
            now=timezone.now(),
            actor=who_works(request),
        )
        if _swaps(request):
            context = verdict_context(account, draft_id, typed=typed, saved=True)
            return show_page(request, "test_draft_verdict.html", context)
        messages.success(request, "Saved. It is not signed yet.")
        return redirect("test_draft", draft_id)

    return _told(request, account, draft_id, typed, save)


@require_POST
@answered
def sign(request: HttpRequest, draft_id: int) -> HttpResponse:
    """Save what was typed, then sign it."""
    account = account_of(request)
    typed = typed_in(request)

    def save_and_sign() -> HttpResponse:
        now, who = timezone.now(), _signer(request)
        version = save_draft(
            account,
            draft_id=draft_id,
            version=_version(request),
            typed=typed,
            now=now,
            actor=who,
        )
        record = sign_test(
            account,
            draft_id=draft_id,
            version=version,
            now=now,
            actor=who,
            device_time=_device_time(request),
        )
        messages.success(request, f"Signed as test {record.number}.")
        answer = redirect("test_record", record.pk)
        if not accounts_on():
            keep_name(answer, who)
        return answer

    return _told(request, account, draft_id, typed, save_and_sign)


@require_POST
@answered
def drop(request: HttpRequest, draft_id: int) -> HttpResponse:
    """Drop a draft; it can be taken up again."""
    account = account_of(request)
    now, who = timezone.now(), who_works(request)
    drop_draft(account, draft_id=draft_id, now=now, actor=who)
    device = get_draft(account, draft_id).device
    messages.success(request, "The draft is dropped. It can be taken up again here.")
    return redirect("test_assembly", device.site.key, device.link.key)


@require_POST
@answered
def take_up(request: HttpRequest, draft_id: int) -> HttpResponse:
    """Take a dropped draft up again."""
    now, who = timezone.now(), who_works(request)
    take_up_draft(account_of(request), draft_id=draft_id, now=now, actor=who)
    return redirect("test_draft", draft_id)


def typed_in(request: HttpRequest) -> Typed:
    """Return what a page sends of its sheet."""
    post = request.POST
    return Typed(
        answers={key: str(post[key]) for key in post},
        tester_id=_id(post.get("tester", "")),
        gauge_id=_id(post.get("gauge", "")),
        seat=post.get("seat", "")[:40],
        count=_id(post.get("count", "")) or 0,
    )


def _told(
    request: HttpRequest,
    account: "Account",
    draft_id: int,
    typed: Typed,
    deed: Callable[[], HttpResponse],
) -> HttpResponse:
    """Do it, or say on the same page, with what was typed, why it was refused."""
    try:
        return deed()
    except NotFoundError:
        raise
    except EngineError as refused:
        conflict = isinstance(refused, ConflictError)
        refusal = Refusal(str(refused), conflict=conflict)
    if _swaps(request):
        context = verdict_context(account, draft_id, typed=typed, refusal=refusal)
        return show_page(request, "test_draft_verdict.html", context)
    status = 409 if refusal.conflict else 422
    return _show(
        request, account, draft_id, typed=typed, refusal=refusal, status=status
    )


def _show(
    request: HttpRequest,
    account: "Account",
    draft_id: int,
    *,
    typed: Typed | None = None,
    refusal: Refusal | None = None,
    status: int = 200,
) -> HttpResponse:
    context = sheet_context(account, draft_id, typed=typed, refusal=refusal)
    context |= {
        "asks_who": not accounts_on(),
        "who": request.POST.get("who", name_kept(request)),
    }
    return show_page(request, "field_test.html", context, status=status)


def _signer(request: HttpRequest) -> str:
    """Return who signs: whoever is signed in, else the name that is written."""
    if accounts_on():
        return who_works(request)
    name = " ".join(request.POST.get("who", "").split())[:LONGEST]
    if not name:
        raise ServiceError("Write who signs, above the button: a record carries it.")
    return name


def _swaps(request: HttpRequest) -> bool:
    """Whether a part of the page is asked for; refusals too must then arrive."""
    return bool(request.headers.get("HX-Request"))


def _version(request: HttpRequest) -> int:
    """Return the version that was seen, or that a person chose to write over."""
    text = request.POST.get("over") or request.POST.get("version", "")
    return int(text) if _NUMBER.fullmatch(text) else 0


def _id(text: str) -> int | None:
    return int(text) if _NUMBER.fullmatch(text) else None


def _device_time(request: HttpRequest) -> datetime | None:
    """Return what the clock of the signer's machine showed, where it says so."""
    try:
        time = datetime.fromisoformat(request.POST.get("device_time", ""))
    except ValueError:
        return None
    return time if time.tzinfo is not None else None
